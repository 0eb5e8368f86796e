// Two real blocks a, b travel as one complex a + ib, for their transforms part again: A[k] = (Z[k] + conj Z[-k]) / 2,
// B[k] = (Z[k] - conj Z[-k]) / 2i, and |A|^2 + |B|^2 = (|Z[k]|^2 + |Z[-k]|^2) / 2. Four such pairs, the first block with the
// fifth and so on, lie side by side in memory and go through every step together; where there are fewer, the others are zero.
// The steps (Stockham; Cochran et al. 1967, from memory): with n = r m, what stands m apart is transformed by r,
//     y[q + s (r p + j)] = w^(p j) sum_k x[q + s (p + m k)] exp(-2 pi i j k / r),   w = exp(-2 pi i / n),
// then n becomes m and s becomes s r; the last step leaves everything in order.
#include "clean/block_transform.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

std::vector<std::size_t> factors_of(std::size_t n) {
    std::vector<std::size_t> factors;
    for (std::size_t r : {4, 2, 3, 5}) {
        for (; n % r == 0; n /= r) factors.push_back(r);
    }
    for (std::size_t r = 7; n > 1; ++r) {
        for (; n % r == 0; n /= r) factors.push_back(r);
    }
    return factors;
}

struct Step {
    const FourInArray* in_re;
    const FourInArray* in_im;
    FourInArray* out_re;
    FourInArray* out_im;
    const double* root_re;  // of the whole length
    const double* root_im;
    std::size_t turn;  // whole length / n: the root of n is every turn-th
    std::size_t m;     // n / r
    std::size_t s;     // neighbours that are treated alike
};

// The transform by R in place, R = 2, 4 or odd.
template <std::size_t R>
[[gnu::always_inline]] inline void turn_small(FourDoubles* re, FourDoubles* im, const double* cosine, const double* sine) {
    if constexpr (R == 2) {
        const FourDoubles ar = re[0], ai = im[0];
        re[0] = ar + re[1], im[0] = ai + im[1];
        re[1] = ar - re[1], im[1] = ai - im[1];
    } else if constexpr (R == 4) {
        const FourDoubles ar = re[0] + re[2], ai = im[0] + im[2], br = re[0] - re[2], bi = im[0] - im[2];
        const FourDoubles cr = re[1] + re[3], ci = im[1] + im[3], dr = re[1] - re[3], di = im[1] - im[3];
        re[0] = ar + cr, im[0] = ai + ci;
        re[1] = br + di, im[1] = bi - dr;
        re[2] = ar - cr, im[2] = ai - ci;
        re[3] = br - di, im[3] = bi + dr;
    } else {
        // Sums t and differences u of mirrored inputs: x[k] e^-ia + x[R-k] e^ia = t cos a - i u sin a.
        constexpr std::size_t h = R / 2;
        FourDoubles tr[h], ti[h], ur[h], ui[h];
        const FourDoubles xr = re[0], xi = im[0];
        for (std::size_t k = 0; k < h; ++k) {
            tr[k] = re[k + 1] + re[R - 1 - k], ti[k] = im[k + 1] + im[R - 1 - k];
            ur[k] = re[k + 1] - re[R - 1 - k], ui[k] = im[k + 1] - im[R - 1 - k];
            re[0] += tr[k], im[0] += ti[k];
        }
        for (std::size_t j = 1; j <= h; ++j) {
            FourDoubles cr = xr + tr[0] * cosine[j], ci = xi + ti[0] * cosine[j];
            FourDoubles sr = ur[0] * sine[j], si = ui[0] * sine[j];
            for (std::size_t k = 1; k < h; ++k) {
                const std::size_t at = j * (k + 1) % R;
                cr += tr[k] * cosine[at], ci += ti[k] * cosine[at];
                sr += ur[k] * sine[at], si += ui[k] * sine[at];
            }
            re[j] = cr + si, im[j] = ci - sr;
            re[R - j] = cr - si, im[R - j] = ci + sr;
        }
    }
}

template <std::size_t R>
[[gnu::always_inline]] inline void small_step(const Step s) {
    double cosine[R], sine[R], wr[R], wi[R];
    for (std::size_t k = 0; k < R; ++k) {
        cosine[k] = s.root_re[k * s.m * s.turn];
        sine[k] = -s.root_im[k * s.m * s.turn];
    }
    for (std::size_t p = 0; p < s.m; ++p) {
        for (std::size_t j = 0; j < R; ++j) {
            wr[j] = s.root_re[p * j * s.turn];
            wi[j] = s.root_im[p * j * s.turn];
        }
        for (std::size_t q = p * s.s; q < (p + 1) * s.s; ++q) {
            FourDoubles re[R], im[R];
            for (std::size_t k = 0; k < R; ++k) {
                re[k] = s.in_re[q + k * s.m * s.s];
                im[k] = s.in_im[q + k * s.m * s.s];
            }
            turn_small<R>(re, im, cosine, sine);
            FourInArray* const out_re = s.out_re + q + p * (R - 1) * s.s;
            FourInArray* const out_im = s.out_im + q + p * (R - 1) * s.s;
            out_re[0] = re[0], out_im[0] = im[0];
            for (std::size_t j = 1; j < R; ++j) {
                out_re[j * s.s] = p == 0 ? re[j] : re[j] * wr[j] - im[j] * wi[j];
                out_im[j * s.s] = p == 0 ? im[j] : re[j] * wi[j] + im[j] * wr[j];
            }
        }
    }
}

// Any factor, straight from the definition.
[[gnu::always_inline]] inline void any_step(const Step s, std::size_t r) {
    const std::size_t n = r * s.m;
    for (std::size_t p = 0; p < s.m; ++p) {
        for (std::size_t j = 0; j < r; ++j) {
            FourInArray* const out_re = s.out_re + (r * p + j) * s.s;
            FourInArray* const out_im = s.out_im + (r * p + j) * s.s;
            for (std::size_t q = 0; q < s.s; ++q) out_re[q] = out_im[q] = FourDoubles{};
            for (std::size_t k = 0; k < r; ++k) {
                const FourInArray* const in_re = s.in_re + (p + k * s.m) * s.s;
                const FourInArray* const in_im = s.in_im + (p + k * s.m) * s.s;
                const double wr = s.root_re[j * (p + k * s.m) % n * s.turn], wi = s.root_im[j * (p + k * s.m) % n * s.turn];
                for (std::size_t q = 0; q < s.s; ++q) {
                    out_re[q] += in_re[q] * wr - in_im[q] * wi;
                    out_im[q] += in_re[q] * wi + in_im[q] * wr;
                }
            }
        }
    }
}

TRACEHOLD_WIDE void run_step(const Step& step, std::size_t factor) {
    switch (factor) {
        case 2: return small_step<2>(step);
        case 3: return small_step<3>(step);
        case 4: return small_step<4>(step);
        case 5: return small_step<5>(step);
        default: return any_step(step, factor);
    }
}

using BlockStarts = std::array<const float*, BlockTransform::kMostBlocks>;

// in: a copy, which what is written here cannot be suspected to change.
TRACEHOLD_WIDE void put_rows(const BlockStarts in, const double* means, std::span<const double> window, double* re, double* im) {
    const FourDoubles mean = four_at(means), other_mean = four_at(means + 4);
    for (std::size_t i = 0; i < window.size(); ++i) {
        const FourDoubles x{in[0][i], in[1][i], in[2][i], in[3][i]}, y{in[4][i], in[5][i], in[6][i], in[7][i]};
        four_at(re + 4 * i) = (x - mean) * window[i];
        four_at(im + 4 * i) = (y - other_mean) * window[i];
    }
}

TRACEHOLD_WIDE void add_rows(const double* re, const double* im, std::size_t length, std::span<double> power) {
    for (std::size_t k = 0; k < power.size(); ++k) {
        const std::size_t here = 4 * k, mirrored = k == 0 ? 0 : 4 * (length - k);
        const FourDoubles squares = (four_at(re + here) * four_at(re + here) + four_at(im + here) * four_at(im + here)) +
                                    (four_at(re + mirrored) * four_at(re + mirrored) + four_at(im + mirrored) * four_at(im + mirrored));
        power[k] += 0.5 * ((squares[0] + squares[1]) + (squares[2] + squares[3]));
    }
}

TRACEHOLD_WIDE void put_square_rows(const double* re, const double* im, std::size_t length, std::span<double> squares) {
    for (std::size_t k = 0; k < squares.size() / 8; ++k) {
        const std::size_t here = 4 * k, mirrored = k == 0 ? 0 : 4 * (length - k);
        const FourDoubles a = four_at(re + here) + four_at(re + mirrored), b = four_at(im + here) - four_at(im + mirrored);
        const FourDoubles c = four_at(im + here) + four_at(im + mirrored), d = four_at(re + mirrored) - four_at(re + here);
        four_at(&squares[8 * k]) = 0.25 * (a * a + b * b);
        four_at(&squares[8 * k + 4]) = 0.25 * (c * c + d * d);
    }
}

}  // namespace

BlockTransform::BlockTransform(std::size_t length) : length_(length), factors_(factors_of(length)), nothing_(length) {
    for (Plane* plane : {&now_, &next_}) plane->re.resize(length * stride()), plane->im.resize(length * stride());
    root_re_.reserve(length);
    root_im_.reserve(length);
    for (std::size_t t = 0; t < length; ++t) {
        const double angle = 2.0 * std::numbers::pi * static_cast<double>(t) / static_cast<double>(length);
        root_re_.push_back(std::cos(angle));
        root_im_.push_back(-std::sin(angle));
    }
}

void BlockTransform::make_room(std::size_t blocks) {
    for (std::size_t b = blocks; b < kMostBlocks; ++b)
        for (std::size_t i = 0; i < length_; ++i) first(b)[i * stride()] = 0.0;
}

void BlockTransform::put_windowed(std::span<const float* const> blocks, std::span<const double> means, std::span<const double> window) {
    BlockStarts in;
    std::array<double, kMostBlocks> mean{};
    in.fill(nothing_.data());
    std::copy(blocks.begin(), blocks.end(), in.begin());
    std::copy(means.begin(), means.end(), mean.begin());
    put_rows(in, mean.data(), window, now_.re.data(), now_.im.data());
}

void BlockTransform::run() {
    const auto fours = [](std::vector<double>& plane) -> FourInArray* { return &four_at(plane.data()); };
    std::size_t n = length_, s = 1;
    for (const std::size_t r : factors_) {
        run_step({fours(now_.re), fours(now_.im), fours(next_.re), fours(next_.im), root_re_.data(), root_im_.data(), length_ / n, n / r, s}, r);
        std::swap(now_, next_);
        n /= r;
        s *= r;
    }
}

std::complex<double> BlockTransform::bin(std::size_t block, std::size_t k) const {
    const std::size_t pair = block % stride(), at = k * stride() + pair, mirrored = (k == 0 ? 0 : length_ - k) * stride() + pair;
    const double re = now_.re[at], im = now_.im[at], re_m = now_.re[mirrored], im_m = now_.im[mirrored];
    if (block < stride()) return {0.5 * (re + re_m), 0.5 * (im - im_m)};
    return {0.5 * (im + im_m), 0.5 * (re_m - re)};
}

void BlockTransform::put_squares(std::span<double> squares) const { put_square_rows(now_.re.data(), now_.im.data(), length_, squares); }

void BlockTransform::add_powers(std::span<double> power) const { add_rows(now_.re.data(), now_.im.data(), length_, power); }

}  // namespace tracehold
