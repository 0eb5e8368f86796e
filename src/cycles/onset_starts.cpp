#include "cycles/onset_starts.hpp"

#include <algorithm>
#include <limits>

#include "cycles/wide_math.hpp"

namespace tracehold {

// Idea: sums of the best gain in a band about each block's level bound many starts at once (bound_log_likelihood), and only
// chunks whose bound comes within reach of the likeliest start are walked, a quarter of them.

namespace {

constexpr float kRounding = 1.0F;   // nats: more than bounds are rounded by

}  // namespace

// Its bound becomes what it is.
void Starts::walk_chunk(const LevelTable& table, const Ramp& ramp, std::size_t chunk) {
    const std::size_t begin = chunk * kStartsAtOnce, end = std::min(begin + kStartsAtOnce, blocks_);
    float& most = bounds_[chunk] = -std::numeric_limits<float>::infinity();
    for (std::size_t phase = 0; phase < phases_; ++phase) {
        const auto starts = std::span(all_).subspan(phase * stride_ + begin, kStartsAtOnce);
        most = std::max(most, onset_log_likelihood(table, ramp, static_cast<int>(phase), starts.first(end - begin), begin));
        std::fill(starts.begin() + static_cast<std::ptrdiff_t>(end - begin), starts.end(), -std::numeric_limits<float>::infinity());
    }
    top_ = std::max(top_, most);
}

// Chunks outside of [begin_, end_) are below.
void Starts::keep_chunks_from(float least) {
    const auto matters = [least](float bound) { return bound >= least; };
    begin_ = static_cast<std::size_t>(std::find_if(bounds_.begin(), bounds_.end(), matters) - bounds_.begin()) * kStartsAtOnce;
    end_ = static_cast<std::size_t>(bounds_.rend() - std::find_if(bounds_.rbegin(), bounds_.rend(), matters)) * kStartsAtOnce;
}

bool Starts::is_far(std::size_t begin) const {
    float most = -std::numeric_limits<float>::infinity();
    for (std::size_t phase = 0; phase < phases_; ++phase) most = std::max(most, largest_of_eight(eight_at(&all_[phase * stride_ + begin])));
    return most < top_ - kFarBelow;
}

// The likeliest chunk, as bounds have it, is walked first: it says how far the others may be below.
void Starts::walk(const LevelTable& table, const Ramp& ramp, std::size_t searched) {
    const std::size_t chunks = (searched + kStartsAtOnce - 1) / kStartsAtOnce;
    blocks_ = searched, phases_ = ramp.levels.size(), stride_ = chunks * kStartsAtOnce;
    all_.resize(std::max(all_.size(), phases_ * stride_));
    bounds_.resize(chunks);
    bound_log_likelihood(table, ramp, bounds_);
    const auto likeliest = static_cast<std::size_t>(std::max_element(bounds_.begin(), bounds_.end()) - bounds_.begin());
    top_ = -std::numeric_limits<float>::infinity();
    if (chunks > 0) walk_chunk(table, ramp, likeliest);
    keep_chunks_from(top_ - kFarBelow - kRounding);
    for (std::size_t chunk = begin_ / kStartsAtOnce; chunk < end_ / kStartsAtOnce; ++chunk)
        if (chunk != likeliest) walk_chunk(table, ramp, chunk);
    keep_chunks_from(top_ - kFarBelow);
    const std::size_t first = begin_ / kStartsAtOnce, last = end_ / kStartsAtOnce;
    while (begin_ < end_ && is_far(begin_)) begin_ += kEight;
    while (begin_ < end_ && is_far(end_ - kEight)) end_ -= kEight;
    if (begin_ > 0 && begin_ == first * kStartsAtOnce) walk_chunk(table, ramp, first - 1);
    if (end_ < stride_ && end_ == last * kStartsAtOnce) walk_chunk(table, ramp, last);
}

void Starts::add_to(LikelyStarts& likely, std::size_t kind, std::size_t length) const {
    const std::size_t begin = begin_ - std::min(begin_, kEight), end = std::min(end_ + kEight, blocks_);
    likely.ramps.push_back({kind, length, phases_, begin, end, likely.ll.size(), top_});
    for (std::size_t phase = 0; phase < phases_; ++phase) {
        const float* const row = all_.data() + phase * stride_;
        likely.ll.insert(likely.ll.end(), row + begin, row + end);
    }
}

}  // namespace tracehold
