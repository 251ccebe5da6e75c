// SPDX-License-Identifier: MIT
#include "libdamper/outputs/svg_study_map.hpp"

#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace damper {

namespace {

constexpr double left = 86.0, right = 736.0, top = 34.0, bottom = 354.0;
constexpr int columns = 104, rows = 64;
constexpr int shades = 12;
constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// Values at the crossings of the levels, in shown units.
struct Lattice {
    std::vector<double> x, y;
    std::vector<std::vector<double>> value;  ///< [y][x]
    AxisRange range{.low = 1e300, .high = -1e300};
    int known = 0;

    [[nodiscard]] double px(double at) const {
        return left + (right - left) * (at - x.front()) / (x.back() - x.front());
    }
    [[nodiscard]] double py(double at) const {
        return bottom - (bottom - top) * (at - y.front()) / (y.back() - y.front());
    }
    /// Straight between the four crossings around a point.
    [[nodiscard]] double at(double px, double py) const {
        const auto cell = [](const std::vector<double>& levels, double place) {
            const auto above = std::ranges::upper_bound(levels, place) - levels.begin();
            return static_cast<std::size_t>(
                std::clamp<std::ptrdiff_t>(above - 1, 0, std::ssize(levels) - 2));
        };
        const std::size_t i = cell(x, px);
        const std::size_t j = cell(y, py);
        const double u = (px - x[i]) / (x[i + 1] - x[i]);
        const double v = (py - y[j]) / (y[j + 1] - y[j]);
        return std::lerp(std::lerp(value[j][i], value[j][i + 1], u),
                         std::lerp(value[j + 1][i], value[j + 1][i + 1], u), v);
    }
};

Lattice lattice_of(const StudyRecord& record, std::size_t x_key, std::size_t y_key,
                   std::size_t column, const Shown& shown) {
    const auto& keys = record.head.keys;
    Lattice out;
    const Shown xs = shown_as(keys[x_key].units), ys = shown_as(keys[y_key].units);
    for (const double level : keys[x_key].levels) out.x.push_back(xs.of(level));
    for (const double level : keys[y_key].levels) out.y.push_back(ys.of(level));
    out.value.assign(out.y.size(), std::vector<double>(out.x.size(), nothing));
    const auto index = [&](std::size_t key, double value) {
        const auto& levels = keys[key].levels;
        return static_cast<std::size_t>(std::ranges::find(levels, value) - levels.begin());
    };
    for (std::size_t r = 0; r < record.variants.size(); ++r) {
        bool middle = true;
        for (std::size_t k = 0; k < keys.size(); ++k) {
            if (k == x_key || k == y_key) continue;
            middle = middle && record.values[k][r] == keys[k].levels[keys[k].levels.size() / 2];
        }
        const double value = shown.of(record.measures[column][r]);
        if (!middle || !std::isfinite(value)) continue;
        out.value.at(index(y_key, record.values[y_key][r]))
            .at(index(x_key, record.values[x_key][r])) = value;
        out.range.low = std::min(out.range.low, value);
        out.range.high = std::max(out.range.high, value);
        ++out.known;
    }
    return out;
}

void draw_shades(std::string& out, const Lattice& lattice) {
    const double wide = (right - left) / columns, high = (bottom - top) / rows;
    const double span = lattice.range.high - lattice.range.low;
    for (int row = 0; row < rows; ++row) {
        const double y = std::lerp(lattice.y.front(), lattice.y.back(), (row + 0.5) / rows);
        const auto shade = [&](int column) {
            const double x =
                std::lerp(lattice.x.front(), lattice.x.back(), (column + 0.5) / columns);
            const double value = lattice.at(x, y);
            if (!std::isfinite(value)) return -1;
            if (!(span > 0.0)) return 0;
            return std::clamp(static_cast<int>(shades * (value - lattice.range.low) / span), 0,
                              shades - 1);
        };
        for (int column = 0; column < columns;) {
            const int one = shade(column);
            int end = column + 1;
            while (end < columns && shade(end) == one) ++end;
            if (one >= 0) {
                put(out,
                    R"(<rect class="bar tone-1" fill-opacity="{:.3f}" x="{:.1f}" y="{:.1f}" )"
                    R"(width="{:.1f}" height="{:.1f}"/>)",
                    0.06 + 0.74 * one / (shades - 1.0), left + wide * column,
                    bottom - high * (row + 1), wide * (end - column), high);
            }
            column = end;
        }
    }
}

/// Where a level is crossed on the four edges of each cell, joined by straight lines; in a saddle
/// the crossings are joined in the order of the edges.
/// A label that would lie on one of `labels` is left out, else added there.
void draw_contour(std::string& out, const Lattice& lattice, double level, double width,
                  const std::string& label, std::vector<std::array<double, 2>>& labels) {
    std::string path;
    double label_x = 0.0, label_y = 0.0;
    for (std::size_t j = 0; j + 1 < lattice.y.size(); ++j) {
        for (std::size_t i = 0; i + 1 < lattice.x.size(); ++i) {
            struct Corner {
                double x, y, value;
            };
            const auto corner = [&](std::size_t a, std::size_t b) {
                return Corner{lattice.px(lattice.x[a]), lattice.py(lattice.y[b]),
                              lattice.value[b][a]};
            };
            const std::array<Corner, 4> corners = {corner(i, j), corner(i + 1, j),
                                                   corner(i + 1, j + 1), corner(i, j + 1)};
            std::vector<std::array<double, 2>> met;
            for (std::size_t e = 0; e < 4; ++e) {
                const Corner& a = corners[e];
                const Corner& b = corners[(e + 1) % 4];
                if (!((a.value < level) != (b.value < level))) continue;
                const double share = (level - a.value) / (b.value - a.value);
                if (!std::isfinite(share)) continue;
                met.push_back({std::lerp(a.x, b.x, share), std::lerp(a.y, b.y, share)});
            }
            for (std::size_t m = 0; m + 1 < met.size(); m += 2) {
                put(path, "M{:.1f} {:.1f}L{:.1f} {:.1f}", met[m][0], met[m][1], met[m + 1][0],
                    met[m + 1][1]);
                if (met[m][0] > label_x) {
                    label_x = met[m][0];
                    label_y = met[m][1];
                }
            }
        }
    }
    if (path.empty()) return;
    put(out, R"(<path fill="none" stroke="currentColor" stroke-width="{}" d="{}"/>)", width, path);
    constexpr double wide = 74.0, high = 13.0;  // of the longest label
    const bool taken = std::ranges::any_of(labels, [&](const auto& other) {
        return std::abs(other[0] - label_x) < wide && std::abs(other[1] - label_y) < high;
    });
    if (taken) return;
    labels.push_back({label_x, label_y});
    put(out, R"(<text x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)",
        std::max(label_x - 4.0, left + 40.0), std::max(label_y - 4.0, top + 12.0),
        html_escape(label));
}

void draw_axes(std::string& out, const Lattice& lattice, const StudyHead& head, std::size_t x_key,
               std::size_t y_key) {
    const auto name = [&](std::size_t key) {
        const StudyKey& one = head.keys[key];
        const std::string units = one.multiplies ? "times" : shown_as(one.units).units;
        return html_escape(units.empty() ? one.key : fmt::format("{} in {}", one.key, units));
    };
    for (const double tick : ticks({.low = lattice.x.front(), .high = lattice.x.back()}, 7)) {
        put(out, R"(<text x="{:.1f}" y="{}" text-anchor="middle">{}</text>)", lattice.px(tick),
            bottom + 16.0, number_text(tick));
    }
    for (const double tick : ticks({.low = lattice.y.front(), .high = lattice.y.back()}, 6)) {
        put(out, R"(<text x="{}" y="{:.1f}" text-anchor="end">{}</text>)", left - 6.0,
            lattice.py(tick) + 4.0, number_text(tick));
    }
    put(out, R"(<text x="{}" y="{}" text-anchor="middle">{}</text>)", 0.5 * (left + right),
        bottom + 36.0, name(x_key));
    put(out, R"(<text x="4" y="{}">{}</text>)", top - 12.0, name(y_key));
}

}  // namespace

std::string svg_study_map(const StudyRecord& record, std::size_t x_key, std::size_t y_key,
                          std::size_t column) {
    const StudyHead& head = record.head;
    if (head.design != "grid" || x_key == y_key) return "";
    for (const std::size_t key : {x_key, y_key}) {
        if (head.keys[key].levels.size() < 2 || !head.keys[key].choices.empty()) return "";
    }
    const StudyMeasure& measure = head.measures[record.present[column]];
    double most = 1e-12;
    for (const double value : record.measures[column]) {
        if (std::isfinite(value)) most = std::max(most, std::abs(value));
    }
    const Shown shown = measure_shown_as(measure.name, measure.units, most);
    const Lattice lattice = lattice_of(record, x_key, y_key, column, shown);
    if (lattice.known < 4) return "";
    std::string out;
    put(out, R"(<svg class="still" viewBox="0 0 760 {:.0f}" role="img" aria-label="Map of {}">)",
        bottom + 44.0, html_escape(key_text(measure.name)));
    draw_shades(out, lattice);
    std::vector<std::array<double, 2>> labels;
    if (measure.has_limit) {
        draw_contour(out, lattice, shown.of(measure.good), 2.5, "good to here", labels);
        draw_contour(out, lattice, shown.of(measure.bad), 4.0, "bad beyond", labels);
    }
    for (const double level : ticks(lattice.range, 7)) {
        draw_contour(out, lattice, level, 1.0, number_text(level), labels);
    }
    draw_axes(out, lattice, head, x_key, y_key);
    return out + "</svg>";
}

}  // namespace damper
