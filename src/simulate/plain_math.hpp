#pragma once
// Functions that libraries round differently, from the four operations and sqrt alone: the same digits on every
// machine.
namespace tracehold::plain {

double exp(double x);        // relative error below 1e-14 for |x| <= 700
double log(double x);        // absolute error below 1e-14 near 1, relative elsewhere; x > 0, normal
double sin_turns(double x);  // sin(2 pi x), absolute error below 1e-14 for |x| <= 1e6 as far as x itself is exact
double cos_turns(double x);

}  // namespace tracehold::plain
