// SPDX-License-Identifier: MIT
#include "libdamper/signals/knocks.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <span>
#include <utility>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;

/// Share of a top below which another one, so much later [s] (or earlier: negative), is its echo:
/// a case rings on for some milliseconds, with beats between its tones, and the band filter rings
/// to both sides.
double echo_share(double later, double reach) {
    constexpr double beat = 0.0015, fade = 0.002;  // [s]; common practice, no source
    constexpr double of_filter = 0.15;
    const double filter = std::abs(later) < reach ? of_filter : 0.0;
    return later < 0.0 ? filter : std::max(filter, std::exp(-std::max(0.0, later - beat) / fade));
}

void leave_out_echoes(Knocks& knocks, double reach) {
    constexpr double farthest = 0.015;  // [s]
    Knocks kept;
    for (std::size_t i = 0; i < knocks.time.size(); ++i) {
        bool echo = false;
        for (const int way : {-1, 1}) {
            for (auto k = static_cast<std::ptrdiff_t>(i) + way;
                 !echo && k >= 0 && k < std::ssize(knocks.time); k += way) {
                const auto other = static_cast<std::size_t>(k);
                const double later = knocks.time[i] - knocks.time[other];
                if (std::abs(later) > farthest) break;
                echo = knocks.height[i] < echo_share(later, reach) * knocks.height[other];
            }
        }
        if (echo) continue;
        kept.time.push_back(knocks.time[i]);
        kept.height.push_back(knocks.height[i]);
    }
    knocks.time = std::move(kept.time);
    knocks.height = std::move(kept.height);
}

}  // namespace

Knocks find_knocks(const Envelope& envelope) {
    Knocks out;
    const auto lost = static_cast<std::size_t>(std::ceil(envelope.lost / envelope.step));
    if (envelope.value.size() <= 2 * lost + 4) return out;
    const std::span<const double> values =
        std::span(envelope.value).subspan(lost, envelope.value.size() - 2 * lost);
    std::vector<double> sorted(values.begin(), values.end());
    const auto fifth = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 5);
    std::nth_element(sorted.begin(), fifth, sorted.end());
    const double sigma = *fifth / std::sqrt(-2.0 * std::log(0.8));  // Rayleigh's 20 % point
    // Rice: √(2π)·(deviation of the frequency)·ρ·e^(−ρ²/2) times a second noise rises through ρ·σ.
    const double deviation = envelope.bandwidth / std::sqrt(12.0);
    constexpr double seldom = 0.5;  // [1/s]
    double level = 3.0;
    for (int i = 0; i < 20; ++i) {
        level =
            std::sqrt(2.0 * std::log(std::max(2.0, std::sqrt(turn) * deviation * level / seldom)));
    }
    out.threshold = sigma * level;
    double floor = 0.0, above = 0.0;  // lowest since the last top, and that top
    bool open = false;                // a top may still grow
    std::size_t at = 0;
    double shallow = 0.0;
    const auto close = [&] {
        if (!open) return;
        out.time.push_back(static_cast<double>(at + lost) * envelope.step);
        out.height.push_back(above);
        open = false;
    };
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (open) {
            if (values[i] > above) {
                above = values[i];
                at = i;
            } else if (values[i] < 0.5 * above) {
                close();
                floor = values[i];
            }
            continue;
        }
        floor = std::min(floor, values[i]);
        if (values[i] > out.threshold && values[i] > 2.0 * floor) {
            if (floor > out.threshold) shallow += 1.0;
            open = true;
            above = values[i];
            at = i;
        }
    }
    close();
    leave_out_echoes(out, envelope.lost);
    out.crowded = shallow > 0.2 * static_cast<double>(out.time.size());
    return out;
}

}  // namespace damper
