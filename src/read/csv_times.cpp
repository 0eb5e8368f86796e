#include "read/csv_times.hpp"

#include <algorithm>
#include <cstdlib>

namespace tracehold {
namespace {

std::uint64_t scale_between(std::size_t few, std::size_t many) {
    return static_cast<std::uint64_t>(kPowersOfTen[many - few]);
}

}  // namespace

std::vector<double> all_of(const TimesView& times) {
    std::vector<double> all(times.size());
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = times[i];
    return all;
}

// False for what would not fit. More decimals than before make all earlier ticks smaller ones.
bool CsvTimes::as_ticks(PlainDecimal time, std::int32_t& ticks) {
    if (time.digits > kMostTicks || (time.minus && time.digits == 0)) return false;
    if (time.decimals > decimals_) {
        const std::uint64_t scale = scale_between(decimals_, time.decimals);
        const auto most = static_cast<std::int32_t>(std::min(kMostTicks, kMostTicks / scale));
        const auto fits = [most](std::int32_t t) { return t <= most && t >= -most; };
        if (!std::all_of(ticks_.begin(), ticks_.end(), fits)) return false;
        for (std::int32_t& t : ticks_) t *= static_cast<std::int32_t>(std::min(kMostTicks, scale));
        decimals_ = time.decimals;
    }
    const std::uint64_t scale = scale_between(time.decimals, decimals_);
    if (time.digits > kMostTicks / scale) return false;
    ticks = static_cast<std::int32_t>(time.digits * scale) * (time.minus ? -1 : 1);
    return true;
}

void CsvTimes::become_values() {
    if (!values_.empty()) return;
    values_ = all_of(view());
    values_.reserve(ticks_.capacity());
    std::vector<std::int32_t>().swap(ticks_);
}

void CsvTimes::add_unlike(PlainDecimal time) {
    std::int32_t ticks = 0;
    if (values_.empty() && as_ticks(time, ticks)) {
        ticks_.push_back(ticks);
    } else {
        add(time.value());
    }
}

void CsvTimes::add(double time) {
    become_values();
    values_.push_back(time);
}

void CsvTimes::add(const CsvTimes& more) {
    if (values_.empty() && (decimals_ == more.decimals_ || ticks_.empty())) {
        decimals_ = more.decimals_;
        ticks_.insert(ticks_.end(), more.ticks_.begin(), more.ticks_.end());
    } else {
        for (const std::int32_t tick : more.ticks_) add(PlainDecimal{static_cast<std::uint64_t>(std::abs(tick)), more.decimals_, tick < 0});
    }
    for (const double time : more.values_) add(time);
}

void CsvTimes::cut(std::size_t rows) {
    ticks_.resize(std::min(ticks_.size(), rows));
    values_.resize(std::min(values_.size(), rows));
}

}  // namespace tracehold
