// Answers questions about filters, spectra and the moving RMS, one a line on standard input, for a check against a
// reference library.
//   sections  low|high ORDER CORNER RATE             b0 b1 b2 a1 a2 of each section
//   settling  low|high ORDER CORNER RATE             samples
//   response  low|high ORDER CORNER RATE F...        real and imaginary part at each F
//   factor    ORDER PASSES
//   zerophase low|high ORDER CORNER RATE X...        the samples, filtered forward and backward
//   welch     RATE SEGMENT X...                      density, bin by bin
//   rms       WINDOW X...                            moving RMS, 'nan' where masked; X may be 'nan'
// Out: one line of numbers in full precision.
#include <cmath>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "tracehold/clean/butterworth.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/envelope/follow_envelope.hpp"

namespace {

using namespace tracehold;

std::vector<FilterSection> designed(std::istream& in, Hertz& rate) {
    std::string kind;
    int order = 0;
    double corner = 0.0;
    in >> kind >> order >> corner >> rate.value;
    return kind == "low" ? butterworth_low_pass(order, Hertz{corner}, rate)
                         : butterworth_high_pass(order, Hertz{corner}, rate);
}

std::vector<float> rest_of(std::istream& in) {
    std::vector<float> out;
    std::string word;
    while (in >> word) out.push_back(word == "nan" ? std::nanf("") : static_cast<float>(parse_number(word).value()));
    return out;
}

std::vector<double> of_filter(const std::string& question, std::istream& in) {
    Hertz rate;
    const auto sections = designed(in, rate);
    std::vector<double> out;
    if (question == "settling") return {static_cast<double>(settling_samples(sections))};
    if (question == "sections") {
        for (const FilterSection& s : sections) out.insert(out.end(), {s.b0, s.b1, s.b2, s.a1, s.a2});
        return out;
    }
    auto values = rest_of(in);
    if (question == "zerophase") {
        run_zero_phase(sections, values);
        return {values.begin(), values.end()};
    }
    for (const float f : values) {
        const auto r = response(sections, Hertz{f}, rate);
        out.insert(out.end(), {r.real(), r.imag()});
    }
    return out;
}

std::vector<double> answer(const std::string& question, std::istream& in) {
    if (question == "factor") {
        int order = 0, passes = 0;
        in >> order >> passes;
        return {pass_factor(order, passes)};
    }
    if (question == "welch") {
        double rate = 0.0;
        std::size_t segment = 0;
        in >> rate >> segment;
        return welch_spectrum(rest_of(in), Hertz{rate}, segment).uv2_per_hz;
    }
    if (question == "rms") {
        std::size_t window = 0;
        in >> window;
        const auto values = moving_rms(rest_of(in), window);
        return {values.begin(), values.end()};
    }
    return of_filter(question, in);
}

}  // namespace

int main() {
    std::string line;
    while (std::getline(std::cin, line)) {
        std::istringstream in(line);
        std::string question;
        in >> question;
        std::string text;
        for (const double v : answer(question, in))
            text += (text.empty() ? "" : " ") + (std::isnan(v) ? "nan" : number_text(v));
        std::cout << text << "\n";
    }
}
