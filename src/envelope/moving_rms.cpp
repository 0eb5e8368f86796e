// Sums over a window of W samples without ever subtracting: the trace is cut into blocks of W; every window is the tail
// of one block and the head of the next, and both are plain running sums. A large artefact therefore leaves no rounding
// error behind it, and the cost per sample does not depend on W.
// Idea: van Herk 1992 and Gil & Werman 1993, who do the same for maxima.
#include <cassert>
#include <cmath>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/memory.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/envelope/follow_envelope.hpp"

namespace tracehold {
namespace {

struct Sum {
    double squares = 0.0;
    std::size_t valid = 0;
    void add(float v) {
        if (std::isnan(v)) return;
        squares += static_cast<double>(v) * v;
        ++valid;
    }
};

// Several blocks side by side, for a single sum would wait for itself at every sample. Only where all their samples are
// valid: in: the places of kSide blocks and of the one behind them. tails: kSide for each place of a block.
constexpr std::size_t kSide = 8;
constexpr std::size_t kPart = 512;  // blocks that one thread sums

TRACEHOLD_WIDE void whole_blocks(const float* uv, std::size_t window, double* tails, float* out) {
    const double samples = static_cast<double>(window);
    FourDoubles some{}, others{};
    const auto add_squares = [&](const float* v) {
        const FourDoubles a{v[0], v[window], v[2 * window], v[3 * window]}, b{v[4 * window], v[5 * window], v[6 * window], v[7 * window]};
        some += a * a, others += b * b;
    };
    for (std::size_t k = window; k-- > 0;) {
        add_squares(uv + k);
        four_at(tails + k * kSide) = some, four_at(tails + k * kSide + 4) = others;
    }
    some = others = FourDoubles{};
    for (std::size_t k = 0; k < window; ++k) {
        double means[kSide];
        four_at(means) = (four_at(tails + k * kSide) + some) / samples, four_at(means + 4) = (four_at(tails + k * kSide + 4) + others) / samples;
        for (double& mean : means) mean = std::sqrt(mean);
        for (std::size_t b = 0; b < kSide; ++b) out[b * window + k] = static_cast<float>(means[b]);
        add_squares(uv + window + k);
    }
}

}  // namespace

std::vector<float> moving_rms(std::span<const float> uv, std::size_t window_samples) {
    assert(window_samples % 2 == 1);
    const std::size_t half = window_samples / 2;
    std::vector<float> out;
    reserve_large(out, uv.size());
    out.resize(uv.size());
    const auto are_whole = [&](std::size_t block) {
        return block >= half && block - half + (kSide + 1) * window_samples <= uv.size() &&
               !any_missing(uv.subspan(block - half, (kSide + 1) * window_samples));
    };
    // Places are counted from `half` before the first sample: window s covers places [s, s + W) and is centred on
    // sample s.
    const auto at = [&](std::size_t place) {
        const bool inside = place >= half && place - half < uv.size();
        return inside ? uv[place - half] : std::nanf("");
    };
    const std::size_t part_samples = kPart * window_samples;
    each_side_by_side((uv.size() + part_samples - 1) / part_samples, [&](std::size_t part) {
        std::vector<Sum> tails(window_samples);
        std::vector<double> tails_beside(kSide * window_samples);
        const std::size_t end = std::min((part + 1) * part_samples, uv.size());
        for (std::size_t block = part * part_samples; block < end; block += window_samples) {
            if (block + kSide * window_samples <= end && are_whole(block)) {
                whole_blocks(&uv[block - half], window_samples, tails_beside.data(), &out[block]);
                block += (kSide - 1) * window_samples;
                continue;
            }
            Sum tail;
            for (std::size_t k = window_samples; k-- > 0;) {
                tail.add(at(block + k));
                tails[k] = tail;
            }
            Sum head;
            for (std::size_t k = 0; k < window_samples && block + k < end; ++k) {
                if (k > 0) head.add(at(block + window_samples + k - 1));
                const std::size_t valid = tails[k].valid + head.valid;
                const double squares = tails[k].squares + head.squares;
                out[block + k] = 2 * valid < window_samples
                                     ? std::nanf("")
                                     : static_cast<float>(std::sqrt(squares / static_cast<double>(valid)));
            }
        }
    });
    return out;
}

}  // namespace tracehold
