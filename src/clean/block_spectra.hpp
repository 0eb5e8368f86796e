#pragma once
// Spectra of many blocks of one length, under a periodic Hann window.
#include <algorithm>
#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "clean/block_transform.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

class BlockSpectra {
public:
    static constexpr std::size_t kMost = BlockTransform::kMostBlocks;  // blocks at once

    explicit BlockSpectra(std::size_t length);  // >= 1

    // Those of the blocks that begin there, kMost at most; what was taken before is gone. Each is freed of its mean. Where
    // samples are masked (NaN) they count as 0, and the mean stays.
    void take(std::span<const float> uv, std::span<const std::size_t> begins);

    std::size_t length() const { return window_.size(); }
    std::size_t bins() const { return length() / 2 + 1; }
    bool is_whole(std::size_t block) const { return is_whole_[block]; }    // nothing of it is masked
    double seen(std::size_t block) const { return seen_[block]; }  // how much of the window lies on samples that are numbers, 0..1
    std::complex<double> bin(std::size_t block, std::size_t k) const { return transform_.bin(block, k); }
    // The square of every bin of every block, [bin][block], kMost of them a bin.
    std::span<const double> squares();
    // Adds the sum of the squares over all blocks to each power[k]. In: bins() values.
    void add_powers(std::span<double> power) const { transform_.add_powers(power); }
    // From a square to a one-sided density; bins without a mirror image have half of it.
    double density(Hertz rate) const { return 2.0 / (rate.value * window_power_); }
    bool is_alone(std::size_t k) const { return k == 0 || 2 * k == length(); }

private:
    double put_valid(std::span<const float> block, std::size_t b);

    std::vector<double> window_;
    double whole_ = 0.0, window_power_ = 0.0;  // sums of the window and of its squares
    BlockTransform transform_;
    std::array<bool, kMost> is_whole_{};
    std::array<double, kMost> seen_{};
    std::vector<double> squares_;
};

// Kept by each thread from call to call, for a session asks for hundreds of spectra with few lengths, most of them quicker to
// make than the tables are. Stays until four other lengths were asked for.
BlockSpectra& block_spectra(std::size_t length);

// 0, step, 2 step, ... for blocks of that length among so many samples.
std::vector<std::size_t> begins_of_blocks(std::size_t samples, std::size_t length, std::size_t step);

// Takes them all, as many at once as there is room for: use(their begins) sees each lot.
template <class Use>
void take_all(BlockSpectra& spectra, std::span<const float> uv, std::span<const std::size_t> begins, Use use) {
    for (std::size_t first = 0; first < begins.size(); first += BlockSpectra::kMost) {
        const auto some = begins.subspan(first, std::min(BlockSpectra::kMost, begins.size() - first));
        spectra.take(uv, some);
        use(some);
    }
}

}  // namespace tracehold
