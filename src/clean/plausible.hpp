#pragma once
// Which amplitudes an electrode on a muscle can give at all.
#include <span>
#include <string>

#include "clean/found.hpp"
#include "clean/frames.hpp"
#include "tracehold/clean/clean.hpp"

namespace tracehold {

// RMS of the loud parts above which no surface EMG lies: 10 mV peak to peak, 1.5 mV RMS. Source: De Luca, Surface
// electromyography: detection and recording, 2002 (from memory).
constexpr double kLargest_uv = 1500.0;

// Below this no electrode with its amplifier is silent: 0.1 µV RMS over 20-450 Hz, less over a narrower band by the
// root of its width. 1 kOhm of electrode and skin alone make 0.08 µV by their warmth (Nyquist 1928), real electrodes
// several times that (Huigen et al. 2002, from memory). For an exported amplitude 0.1 µV: its band is not known.
double smallest_uv(double low_hz, double high_hz);

// RMS of the loud parts of a trace, or of an exported amplitude: the 97th percentile of half seconds.
double loud_level(std::span<const float> half_second_powers);

// Why a resting level cannot be read; "" where it can. The digits must not be coarser than what they measure: rounding
// adds step^2 / 12 only to a signal of at least half a step (Widrow & Kollár, Quantization Noise, from memory), so less
// than step / sqrt 3 of a raw trace may be rounding alone; an amplitude hardly moves at rest and is off by up to half a
// step, so it must be a whole one. Nor may rest be quieter than an electrode.
std::string why_no_rest(const Found& found, ChannelKind kind, double low_hz, double high_hz);

}  // namespace tracehold
