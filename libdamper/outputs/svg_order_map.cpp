// SPDX-License-Identifier: MIT
#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_orbit.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/orbit_axis.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr double left = 66.0, right = 736.0, top = 34.0, row_height = 20.0;
constexpr std::size_t columns = 120;
constexpr int shades = 12;
constexpr double decades = 3.0;

/// Largest amplitude over a column: the curve is straight between neighbouring points.
std::vector<double> row_of(const OrbitRecord& record, std::size_t signal, std::size_t order,
                           double low, double step) {
    std::vector<double> row(columns, 0.0);
    for (std::size_t k = 0; k + 1 < record.points.size(); ++k) {
        const OrbitPoint& a = record.points[k];
        const OrbitPoint& b = record.points[k + 1];
        const auto within = [&](const OrbitGap& gap) {
            const double middle = 0.5 * (a.parameter + b.parameter);
            return middle > gap.low && middle < gap.high;
        };
        if (std::any_of(record.gaps.begin(), record.gaps.end(), within)) continue;
        const double from = std::min(a.parameter, b.parameter);
        const double to = std::max(a.parameter, b.parameter);
        for (std::size_t c = 0; c < columns; ++c) {
            const double begin = std::max(from, low + step * static_cast<double>(c));
            const double end = std::min(to, low + step * static_cast<double>(c + 1));
            if (begin > end) continue;
            for (const double at : {begin, end}) {
                const double span = b.parameter - a.parameter;
                const double share = span != 0.0 ? (at - a.parameter) / span : 0.0;
                row[c] = std::max(row[c], std::lerp(a.amplitude[signal][order],
                                                    b.amplitude[signal][order], share));
            }
        }
    }
    return row;
}

int shade_of(double value, double most) {
    if (!(value > 0.0) || !(most > 0.0)) return 0;
    const double level = 1.0 + std::log10(value / most) / decades;
    return std::clamp(static_cast<int>(std::ceil(shades * level)), 0, shades);
}

}  // namespace

std::string svg_order_map(const OrbitRecord& record, std::size_t signal) {
    if (record.points.size() < 2) return "";
    const auto by_parameter = [](const OrbitPoint& a, const OrbitPoint& b) {
        return a.parameter < b.parameter;
    };
    const auto [first, last] =
        std::minmax_element(record.points.begin(), record.points.end(), by_parameter);
    const double low = first->parameter;
    const double high = last->parameter;
    if (!(high > low)) return "";
    const double step = (high - low) / columns;
    const double wide = (right - left) / columns;
    double most = 0.0;
    for (const OrbitPoint& point : record.points) {
        for (const double a : point.amplitude[signal]) most = std::max(most, a);
    }
    const double bottom = top + row_height * static_cast<double>(record.orders.size());
    const Shown shown = shown_as(record.signals[signal].units);
    std::string out;
    put(out, R"(<svg class="still" viewBox="0 0 760 {:.0f}" role="img" aria-label="Map of {}">)",
        bottom + 44.0, html_escape(record.signals[signal].name));
    for (std::size_t k = 0; k < record.orders.size(); ++k) {
        const std::vector<double> row = row_of(record, signal, k, low, step);
        const double y = bottom - row_height * static_cast<double>(k + 1);
        for (std::size_t c = 0; c < columns;) {
            const int shade = shade_of(row[c], most);
            std::size_t end = c + 1;
            while (end < columns && shade_of(row[end], most) == shade) ++end;
            if (shade > 0) {
                put(out,
                    R"(<rect class="bar tone-1" fill-opacity="{:.3f}" x="{:.2f}" y="{:.1f}" )"
                    R"(width="{:.2f}" height="{}"/>)",
                    static_cast<double>(shade) / shades, left + wide * static_cast<double>(c), y,
                    wide * static_cast<double>(end - c), row_height - 1.0);
            }
            c = end;
        }
        put(out, R"(<text x="{}" y="{:.1f}" text-anchor="end">{:g}</text>)", left - 6.0, y + 14.0,
            record.orders[k]);
    }
    const OrbitAxis axis(record);
    for (const double tick : ticks({.low = axis.of(low), .high = axis.of(high)}, 8)) {
        put(out, R"(<text x="{:.1f}" y="{:.1f}" text-anchor="middle">{}</text>)",
            left + (right - left) * (axis.parameter(tick) - low) / (high - low), bottom + 16.0,
            number_text(tick));
    }
    put(out, R"(<text x="{}" y="{:.1f}" text-anchor="middle">{}</text>)", 0.5 * (left + right),
        bottom + 36.0, html_escape(axis.heading()));
    out += R"(<text x="4" y="14">Engine order</text>)";
    // The scale, from a thousandth of the largest to the largest.
    for (int s = 1; s <= shades; ++s) {
        put(out,
            R"(<rect class="bar tone-1" fill-opacity="{:.3f}" x="{}" y="4" width="14" )"
            R"(height="12"/>)",
            static_cast<double>(s) / shades, 440 + 14 * s);
    }
    put(out, R"(<text x="448" y="14" text-anchor="end">{}</text>)",
        number_text(1e-3 * most * shown.factor));
    put(out, R"(<text x="628" y="14">{} {}</text>)", number_text(most * shown.factor),
        html_escape(shown.units));
    return out + "</svg>";
}

}  // namespace damper
