#pragma once
// Where one ramp is likely to start: the few starts of all that were searched which are not far below the likeliest.
#include <cstddef>
#include <span>
#include <vector>

#include "cycles/rise_model.hpp"

namespace tracehold {

inline constexpr float kFarBelow = 40.0F;  // nats below the likeliest start; those beyond add nothing, and they are nearly all

// Log likelihoods of the starts of one contraction: of ramps that may count, where they are not far below the likeliest.
struct LikelyStarts {
    struct OfRamp {
        std::size_t kind = 0, length = 0;                    // of kRiseKinds and rise_lengths_s()
        std::size_t phases = 0, begin = 0, end = 0, at = 0;  // blocks; where they stand in ll: [phase][block]
        float top = 0.0F;
    };
    std::vector<OfRamp> ramps;
    std::vector<float> ll;
};

// The log likelihoods of the starts of one ramp that are not far below the likeliest. One object for many ramps keeps its
// memory.
class Starts {
public:
    void walk(const LevelTable& table, const Ramp& ramp, std::size_t searched);

    std::size_t blocks() const { return blocks_; }
    std::size_t phases() const { return phases_; }
    float top() const { return top_; }
    // All that are not far below lie in blocks from begin() on; whole eights, behind the last block minus infinity.
    std::size_t begin() const { return begin_; }
    std::span<const float> of_phase(std::size_t phase) const { return std::span(all_).subspan(phase * stride_ + begin_, end_ - begin_); }
    // These and the blocks next to them.
    void add_to(LikelyStarts& likely, std::size_t kind, std::size_t length) const;

private:
    void walk_chunk(const LevelTable& table, const Ramp& ramp, std::size_t chunk);
    void keep_chunks_from(float least);
    bool is_far(std::size_t begin) const;

    static constexpr std::size_t kEight = 8;
    std::size_t blocks_ = 0, phases_ = 0, stride_ = 0, begin_ = 0, end_ = 0;
    float top_ = 0.0F;
    std::vector<float> all_, bounds_;
};

}  // namespace tracehold
