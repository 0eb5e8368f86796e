#pragma once
// Discrete Fourier transforms of many real blocks of one length.
#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace tracehold {

// A[k] = sum_n a[n] exp(-2 pi i k n / length), of up to kMostBlocks blocks at once. In: length >= 1, best with factors 2, 3
// and 5 only. Use: make_room, put every sample, run, read.
class BlockTransform {
public:
    static constexpr std::size_t kMostBlocks = 8;

    explicit BlockTransform(std::size_t length);

    // For so many blocks; every sample of them must be put.
    void make_room(std::size_t blocks);
    // Where the first sample of a block goes; the next ones stand stride() further on each.
    double* first(std::size_t block) { return (block < stride() ? now_.re : now_.im).data() + block % stride(); }
    static constexpr std::size_t stride() { return kMostBlocks / 2; }
    // All of it at once: (x - mean) * window of each block that begins there. In: one mean a block; `length` weights.
    void put_windowed(std::span<const float* const> blocks, std::span<const double> means, std::span<const double> window);
    void run();
    std::complex<double> bin(std::size_t block, std::size_t k) const;
    // |A[k]|^2 of each block, [k][block]. In: kMostBlocks values for each k up to length / 2.
    void put_squares(std::span<double> squares) const;
    // Adds the sum over all blocks of |A[k]|^2 to each power[k]. In: length / 2 + 1 values.
    void add_powers(std::span<double> power) const;

private:
    struct Plane {
        std::vector<double> re, im;  // [place][pair]
    };
    std::size_t length_;
    std::vector<std::size_t> factors_;
    std::vector<double> root_re_, root_im_;  // exp(-2 pi i t / length)
    Plane now_, next_;
    std::vector<float> nothing_;  // stands for blocks that are not there
};

}  // namespace tracehold
