#include "measures/window.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::testing;

TEST_CASE("sums side by side are those of a plain loop over the finite samples") {
    for (const std::size_t size : {0, 1, 63, 64, 65, 1000, 12345}) {
        Envelope envelope;
        envelope.rate = Hertz{1000.0};
        envelope.uv = white_noise(size, size + 1);
        for (std::size_t i = 0; i < size; ++i) {
            envelope.uv[i] = std::abs(envelope.uv[i]);
            if (i % 7 == 3) envelope.uv[i] = std::nanf("");
            if (i % 97 == 5) envelope.uv[i] = std::numeric_limits<float>::infinity();
        }
        double sum = 0.0, squares = 0.0;
        std::size_t valid = 0;
        for (const float e : envelope.uv) {
            if (!std::isfinite(e)) continue;
            sum += static_cast<double>(e);
            squares += static_cast<double>(e) * static_cast<double>(e);
            ++valid;
        }
        const Window window = window_of(envelope, {0.0, static_cast<double>(size) / 1000.0});
        CHECK(window.valid == valid);
        if (valid == 0) continue;
        CHECK(window.mean == doctest::Approx(sum / static_cast<double>(valid)).epsilon(1e-13));
        CHECK(window.mean_square == doctest::Approx(squares / static_cast<double>(valid)).epsilon(1e-13));
    }
}
