#pragma once
// A number with its standard error, or no number with the reason. Never a guess, never NaN.
#include <optional>
#include <string>
#include <utility>

namespace tracehold {

// Either value is set and reason is empty, or value is empty and reason says why in plain lower-case words.
// error (standard error, same unit) may be set only with a value.
struct Estimate {
    std::optional<double> value;
    std::optional<double> error;
    std::string reason;

    static Estimate of(double v) { return {v, std::nullopt, {}}; }
    static Estimate of(double v, double standard_error) { return {v, standard_error, {}}; }
    static Estimate none(std::string why) { return {std::nullopt, std::nullopt, std::move(why)}; }
    explicit operator bool() const { return value.has_value(); }
    bool operator==(const Estimate&) const = default;
};

}  // namespace tracehold
