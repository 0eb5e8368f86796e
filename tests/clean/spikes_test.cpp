#include "clean/spikes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

// At 1 kHz: a quarter second is 250 samples, a millisecond one.
float slow_size(const std::vector<float>& x, std::size_t i) {
    return i < 1 || i + 1 >= x.size() ? std::nanf("") : std::abs(x[i] - 0.5F * (x[i - 1] + x[i + 1]));
}

float slow_scale(const std::vector<float>& x, std::ptrdiff_t block) {
    std::vector<float> sizes;
    for (std::ptrdiff_t i = 250 * block; i < 250 * (block + 1); ++i) {
        if (i < 0 || i >= static_cast<std::ptrdiff_t>(x.size())) continue;
        const float size = slow_size(x, static_cast<std::size_t>(i));
        if (!std::isnan(size)) sizes.push_back(size);
    }
    std::sort(sizes.begin(), sizes.end());
    return sizes.empty() ? 0.0F : 1.4826F * sizes[sizes.size() / 2];
}

double slow_spread(const std::vector<float>& x, std::size_t at) {
    std::vector<double> values;
    for (std::size_t k = at - std::min<std::size_t>(at, 20); k < std::min(at + 21, x.size()); ++k) {
        if (!std::isnan(x[k]) && (k + 1 < at || k > at + 1)) values.push_back(x[k]);
    }
    if (values.size() < 4) return INFINITY;
    std::sort(values.begin(), values.end());
    const double middle = values[values.size() / 2];
    for (double& v : values) v = std::abs(v - middle);
    std::sort(values.begin(), values.end());
    double squares = 0.0;
    for (std::size_t i = 0; i + 1 < values.size(); ++i) squares += values[i] * values[i];
    return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

// The slow twin: the rule above spikes.cpp with every median found by sorting, for every sample.
std::vector<bool> slow_spikes(const std::vector<float>& x) {
    std::vector<bool> out(x.size(), false), marked(x.size(), false);
    for (std::size_t i = 0; i < x.size(); ++i) {
        const auto block = static_cast<std::ptrdiff_t>(i / 250);
        const float own = slow_scale(x, block);
        const float livelier = std::max({own, slow_scale(x, block - 1), slow_scale(x, block + 1)});
        const double size = slow_size(x, i);
        if (!(own > 0.0F) || !(size > 12.0 * own)) continue;
        marked[i] = size > (size > 12.0 * livelier ? 7.0 : 15.0) * slow_spread(x, i);
    }
    for (std::size_t i = 0; i < x.size(); ++i) {
        std::size_t end = i;
        while (end < x.size() && marked[end]) ++end;
        for (std::size_t k = i - std::min<std::size_t>(i, 2); end > i && end - i <= 6 && k < std::min(end + 2, x.size()); ++k)
            out[k] = true;
        i = std::max(i, end);
    }
    return out;
}

}  // namespace

TEST_CASE("calm blocks that are passed over hold no spike") {
    std::size_t found = 0;
    for (unsigned seed = 1; seed <= 12; ++seed) {
        auto x = white_noise(2000, seed);
        for (std::size_t i = 0; i < x.size(); ++i) x[i] *= i / 500 % 2 == 0 ? 1.0F : 8.0F;  // rest and work
        for (std::size_t k = 0; k < 8; ++k) x[130 + 250 * k + seed] += static_cast<float>((10 + 4 * k) * (seed % 3 + 1));
        for (std::size_t k = 900; k < 905; ++k) x[k] = std::nanf("");
        const auto slow = slow_spikes(x);
        std::vector<bool> fast(x.size(), false);
        for (const SampleRange range : find_spikes(x, Hertz{1000.0}))
            for (std::size_t k = range.begin; k < range.end; ++k) fast[k] = true;
        CHECK(fast == slow);
        found += static_cast<std::size_t>(std::count(slow.begin(), slow.end(), true));
    }
    CHECK(found > 100);
}
