#include "clean/block_spectra.hpp"

#include <cmath>
#include <list>
#include <numbers>

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

// Eight sums side by side, for a single one would wait for itself at every sample. NaN where any is masked.
TRACEHOLD_WIDE double mean_of(std::span<const float> uv) {
    FourDoubles even{}, odd{};
    std::size_t i = 0;
    for (; i + 8 <= uv.size(); i += 8) {
        even += FourDoubles{uv[i], uv[i + 1], uv[i + 2], uv[i + 3]};
        odd += FourDoubles{uv[i + 4], uv[i + 5], uv[i + 6], uv[i + 7]};
    }
    const FourDoubles sums = even + odd;
    double sum = (sums[0] + sums[1]) + (sums[2] + sums[3]);
    for (; i < uv.size(); ++i) sum += uv[i];
    return sum / static_cast<double>(uv.size());
}

}  // namespace

BlockSpectra::BlockSpectra(std::size_t length) : window_(length), transform_(length) {
    for (std::size_t i = 0; i < length; ++i) {
        const double w = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(length));
        window_[i] = w;
        whole_ += w;
        window_power_ += w * w;
    }
}

void BlockSpectra::take(std::span<const float> uv, std::span<const std::size_t> begins) {
    std::array<const float*, kMost> blocks;
    std::array<double, kMost> means;
    for (std::size_t b = 0; b < begins.size(); ++b) {
        blocks[b] = &uv[begins[b]];
        means[b] = mean_of(uv.subspan(begins[b], length()));
    }
    transform_.put_windowed(std::span(blocks).first(begins.size()), std::span(means).first(begins.size()), window_);
    for (std::size_t b = 0; b < begins.size(); ++b) {
        is_whole_[b] = !std::isnan(means[b]);
        seen_[b] = is_whole_[b] ? 1.0 : put_valid(uv.subspan(begins[b], length()), b);
    }
    transform_.run();
}

double BlockSpectra::put_valid(std::span<const float> block, std::size_t b) {
    double* place = transform_.first(b);
    double seen = 0.0;
    for (std::size_t i = 0; i < block.size(); ++i, place += transform_.stride()) {
        const bool valid = !std::isnan(block[i]);
        *place = valid ? block[i] * window_[i] : 0.0;
        seen += valid ? window_[i] : 0.0;
    }
    return seen / whole_;
}

std::span<const double> BlockSpectra::squares() {
    squares_.resize(bins() * kMost);
    transform_.put_squares(squares_);
    return squares_;
}

BlockSpectra& block_spectra(std::size_t length) {
    constexpr std::size_t kMostKept = 4;
    thread_local std::list<BlockSpectra> kept;
    const auto found = std::find_if(kept.begin(), kept.end(), [length](const BlockSpectra& s) { return s.length() == length; });
    if (found != kept.end()) return *found;
    if (kept.size() == kMostKept) kept.pop_front();
    return kept.emplace_back(length);
}

std::vector<std::size_t> begins_of_blocks(std::size_t samples, std::size_t length, std::size_t step) {
    std::vector<std::size_t> begins;
    for (std::size_t begin = 0; begin + length <= samples; begin += step) begins.push_back(begin);
    return begins;
}

}  // namespace tracehold
