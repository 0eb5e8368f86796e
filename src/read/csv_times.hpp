#pragma once
// The times of the rows as the column writes them. Plain decimals, as nearly all are, are kept as whole numbers of their
// last decimal: half the memory of doubles, which give the same numbers to the last bit.
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "read/decimal.hpp"

namespace tracehold {

// A look at times, however they are kept. NaN where one could not be read.
struct TimesView {
    std::span<const std::int32_t> ticks;
    double ticks_per_unit = 1.0;
    std::span<const double> values;  // where they are no ticks

    TimesView(const std::vector<double>& times) : values(times) {}  // implicit: any column of times is one
    TimesView(std::span<const std::int32_t> t, double per_unit, std::span<const double> v)
        : ticks(t), ticks_per_unit(per_unit), values(v) {}

    std::size_t size() const { return ticks.size() + values.size(); }
    bool empty() const { return size() == 0; }
    double operator[](std::size_t i) const {
        return values.empty() ? static_cast<double>(ticks[i]) / ticks_per_unit : values[i];
    }
    double front() const { return (*this)[0]; }
    double back() const { return (*this)[size() - 1]; }
};

std::vector<double> all_of(const TimesView& times);

class CsvTimes {
public:
    void reserve(std::size_t rows) { ticks_.reserve(rows); }
    void add(PlainDecimal time) {
        const bool like_those_before = time.decimals == decimals_ && time.digits - 1 < kMostTicks && values_.empty();
        if (!like_those_before) return add_unlike(time);
        const auto ticks = static_cast<std::int32_t>(time.digits);
        ticks_.push_back(time.minus ? -ticks : ticks);
    }
    void add(double time);
    void add(const CsvTimes& more);
    void clear() { ticks_.clear(), values_.clear(), decimals_ = 0; }
    // Leaves out the last ones.
    void cut(std::size_t rows);
    TimesView view() const { return {ticks_, kPowersOfTen[decimals_], values_}; }

private:
    static constexpr std::uint64_t kMostTicks = std::numeric_limits<std::int32_t>::max();

    void add_unlike(PlainDecimal time);
    bool as_ticks(PlainDecimal time, std::int32_t& ticks);
    void become_values();

    // One of the two is empty.
    std::vector<std::int32_t> ticks_;
    std::vector<double> values_;
    unsigned decimals_ = 0;
};

}  // namespace tracehold
