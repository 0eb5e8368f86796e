// Two real blocks a, b travel as one complex a + ib, for their transforms part again: A[k] = (Z[k] + conj Z[-k]) / 2,
// B[k] = (Z[k] - conj Z[-k]) / 2i, and |A|^2 + |B|^2 = (|Z[k]|^2 + |Z[-k]|^2) / 2. Four such pairs lie side by side, so that
// every step is a plain loop over neighbours in memory, which a compiler turns into wide instructions.
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
    const double* in_re;
    const double* in_im;
    double* out_re;
    double* out_im;
    const double* root_re;  // of the whole length
    const double* root_im;
    std::size_t turn;  // whole length / n: the root of n is every turn-th
    std::size_t m;     // n / r
    std::size_t row;   // s times pairs: neighbours that are treated alike
};

// The transform by R in place, R = 2, 4 or odd.
template <std::size_t R>
[[gnu::always_inline]] inline void turn_small(double* re, double* im, const double* cosine, const double* sine) {
    if constexpr (R == 2) {
        const double ar = re[0], ai = im[0];
        re[0] = ar + re[1], im[0] = ai + im[1];
        re[1] = ar - re[1], im[1] = ai - im[1];
    } else if constexpr (R == 4) {
        const double ar = re[0] + re[2], ai = im[0] + im[2], br = re[0] - re[2], bi = im[0] - im[2];
        const double cr = re[1] + re[3], ci = im[1] + im[3], dr = re[1] - re[3], di = im[1] - im[3];
        re[0] = ar + cr, im[0] = ai + ci;
        re[1] = br + di, im[1] = bi - dr;
        re[2] = ar - cr, im[2] = ai - ci;
        re[3] = br - di, im[3] = bi + dr;
    } else {
        // Sums t and differences u of mirrored inputs: x[k] e^-ia + x[R-k] e^ia = t cos a - i u sin a.
        constexpr std::size_t h = R / 2;
        double tr[h], ti[h], ur[h], ui[h];
        const double xr = re[0], xi = im[0];
        for (std::size_t k = 0; k < h; ++k) {
            tr[k] = re[k + 1] + re[R - 1 - k], ti[k] = im[k + 1] + im[R - 1 - k];
            ur[k] = re[k + 1] - re[R - 1 - k], ui[k] = im[k + 1] - im[R - 1 - k];
            re[0] += tr[k], im[0] += ti[k];
        }
        for (std::size_t j = 1; j <= h; ++j) {
            double cr = xr, ci = xi, sr = 0.0, si = 0.0;
            for (std::size_t k = 0; k < h; ++k) {
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
[[gnu::always_inline]] inline void small_step(const Step& s) {
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
        const double* in_re = s.in_re + p * s.row;
        const double* in_im = s.in_im + p * s.row;
        double* out_re = s.out_re + p * R * s.row;
        double* out_im = s.out_im + p * R * s.row;
        TRACEHOLD_INDEPENDENT
        for (std::size_t q = 0; q < s.row; ++q) {
            double re[R], im[R];
            for (std::size_t k = 0; k < R; ++k) {
                re[k] = in_re[q + k * s.m * s.row];
                im[k] = in_im[q + k * s.m * s.row];
            }
            turn_small<R>(re, im, cosine, sine);
            out_re[q] = re[0], out_im[q] = im[0];
            for (std::size_t j = 1; j < R; ++j) {
                out_re[q + j * s.row] = re[j] * wr[j] - im[j] * wi[j];
                out_im[q + j * s.row] = re[j] * wi[j] + im[j] * wr[j];
            }
        }
    }
}

// Any factor, straight from the definition.
[[gnu::always_inline]] inline void any_step(const Step& s, std::size_t r) {
    const std::size_t n = r * s.m;
    for (std::size_t p = 0; p < s.m; ++p) {
        for (std::size_t j = 0; j < r; ++j) {
            double* out_re = s.out_re + (r * p + j) * s.row;
            double* out_im = s.out_im + (r * p + j) * s.row;
            std::fill_n(out_re, s.row, 0.0);
            std::fill_n(out_im, s.row, 0.0);
            for (std::size_t k = 0; k < r; ++k) {
                const double* in_re = s.in_re + (p + k * s.m) * s.row;
                const double* in_im = s.in_im + (p + k * s.m) * s.row;
                const double wr = s.root_re[j * (p + k * s.m) % n * s.turn], wi = s.root_im[j * (p + k * s.m) % n * s.turn];
                TRACEHOLD_INDEPENDENT
                for (std::size_t q = 0; q < s.row; ++q) {
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

}  // namespace

BlockTransform::BlockTransform(std::size_t length) : length_(length), factors_(factors_of(length)) {
    root_re_.reserve(length);
    root_im_.reserve(length);
    for (std::size_t t = 0; t < length; ++t) {
        const double angle = 2.0 * std::numbers::pi * static_cast<double>(t) / static_cast<double>(length);
        root_re_.push_back(std::cos(angle));
        root_im_.push_back(-std::sin(angle));
    }
}

void BlockTransform::make_room(std::size_t blocks) {
    pairs_ = (blocks + 1) / 2;
    for (Plane* plane : {&now_, &next_}) {
        const std::size_t size = std::max(plane->re.size(), length_ * pairs_);  // never less: to grow again costs zeros
        plane->re.resize(size);
        plane->im.resize(size);
    }
    if (blocks % 2 == 0) return;
    for (std::size_t i = 0; i < length_; ++i) now_.im[(i + 1) * pairs_ - 1] = 0.0;  // the last one has no partner
}

void BlockTransform::run() {
    std::size_t n = length_, s = 1;
    for (const std::size_t r : factors_) {
        run_step({now_.re.data(), now_.im.data(), next_.re.data(), next_.im.data(), root_re_.data(), root_im_.data(), length_ / n,
                  n / r, s * pairs_},
                 r);
        std::swap(now_, next_);
        n /= r;
        s *= r;
    }
}

std::complex<double> BlockTransform::bin(std::size_t block, std::size_t k) const {
    const std::size_t at = k * pairs_ + block / 2, mirrored = (k == 0 ? 0 : length_ - k) * pairs_ + block / 2;
    const double re = now_.re[at], im = now_.im[at], re_m = now_.re[mirrored], im_m = now_.im[mirrored];
    if (block % 2 == 0) return {0.5 * (re + re_m), 0.5 * (im - im_m)};
    return {0.5 * (im + im_m), 0.5 * (re_m - re)};
}

void BlockTransform::add_powers(std::span<double> power) const {
    const auto squares = [&](std::size_t k) {
        double sum = 0.0;
        for (std::size_t at = k * pairs_; at < (k + 1) * pairs_; ++at)
            sum += now_.re[at] * now_.re[at] + now_.im[at] * now_.im[at];
        return sum;
    };
    for (std::size_t k = 0; k < power.size(); ++k) power[k] += 0.5 * (squares(k) + squares(k == 0 ? 0 : length_ - k));
}

}  // namespace tracehold
