// SPDX-License-Identifier: MIT
#include "libdamper/outputs/svg_figure_strip.hpp"

#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

// Narrow, with names above the bars, so that it can be read on a phone as well.
constexpr double width = 440.0, side = 8.0, row_height = 36.0, foot = 26.0;

struct Scale {
    double low = 0.0, high = 1.0;
    [[nodiscard]] double at(double value) const {
        const double share = (value - low) / (high - low);
        return side + std::clamp(share, 0.0, 1.0) * (width - 2.0 * side);
    }
};

Scale scale_of(const FigureStrip& strip) {
    double low = 0.0, high = 0.0;
    const auto take = [&](double value) {
        if (!std::isfinite(value)) return;
        low = std::min(low, value);
        high = std::max(high, value);
    };
    for (const FigureStrip::Row& row : strip.rows) {
        take(row.low);
        take(row.high);
    }
    if (strip.seen) {
        // What is measured above zero is not below it, however poorly it is known.
        take(std::max(*strip.seen - 2.0 * strip.error, std::min(*strip.seen, 0.0)));
        take(*strip.seen + 2.0 * strip.error);
    }
    if (!(high > low)) high = low + 1.0;
    return {low, high + 0.03 * (high - low)};
}

std::string cut(const std::string& text) {
    constexpr std::size_t most = 62;
    if (text.size() <= most) return text;
    std::size_t end = most - 1;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
    return text.substr(0, end) + "…";
}

}  // namespace

std::string figure_strip(const FigureStrip& strip) {
    const Scale scale = scale_of(strip);
    const double bottom = row_height * static_cast<double>(strip.rows.size());
    std::string out;
    put(out, "<figure><figcaption>{}{}</figcaption>", html_escape(strip.title),
        strip.units.empty() ? "" : html_escape(" in " + strip.units));
    put(out, R"(<svg class="still" viewBox="0 0 {} {}" role="img" aria-label="{}">)", width,
        bottom + foot, html_escape(strip.title + ", simulated and measured"));
    if (strip.seen) {
        const double from = scale.at(*strip.seen - 2.0 * strip.error);
        const double to = scale.at(*strip.seen + 2.0 * strip.error);
        put(out, R"(<rect class="zone watch" x="{:.1f}" y="0" width="{:.1f}" height="{:.1f}"/>)",
            from, std::max(to - from, 1.0), bottom);
    }
    for (std::size_t i = 0; i < strip.rows.size(); ++i) {
        const FigureStrip::Row& row = strip.rows[i];
        const double middle = row_height * (static_cast<double>(i) + 1.0) - 9.0;
        put(out, R"(<text x="{}" y="{:.1f}">{}</text>)", side, middle - 11.0,
            html_escape(cut(row.name)));
        if (!std::isfinite(row.middle)) continue;
        put(out,
            R"x(<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="9" fill="var(--tone-{})" opacity="0.55"/>)x",
            scale.at(row.low), middle - 4.0, std::max(scale.at(row.high) - scale.at(row.low), 1.5),
            i == 0 ? 4 : 1);
        put(out, R"x(<rect x="{:.1f}" y="{:.1f}" width="3" height="14" fill="var(--tone-{})"/>)x",
            scale.at(row.middle) - 1.5, middle - 7.0, i == 0 ? 4 : 1);
    }
    if (strip.seen) {
        put(out, R"(<line class="limit" x1="{0:.1f}" x2="{0:.1f}" y1="0" y2="{1:.1f}"/>)",
            scale.at(*strip.seen), bottom);
    }
    put(out, R"(<line class="grid" x1="{}" x2="{}" y1="{:.1f}" y2="{:.1f}"/>)", side, width - side,
        bottom, bottom);
    for (const double value : ticks({scale.low, scale.high}, 4)) {
        const double x = scale.at(value);
        const char* anchor = x < 30.0 ? "start" : x > width - 30.0 ? "end" : "middle";
        put(out, R"(<line class="grid" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", x,
            bottom, bottom + 5.0);
        put(out, R"(<text x="{:.1f}" y="{:.1f}" text-anchor="{}">{}</text>)", x, bottom + 18.0,
            anchor, html_escape(table_number(value)));
    }
    out += "</svg>";
    std::string words;
    if (strip.seen) {
        put(words, "Measured: {} {} (from {}). ", number_text(*strip.seen), strip.units,
            strip.from);
    } else {
        words += "Not measured. ";
    }
    words += strip.meaning;
    put(out, R"(<p class="reading">{}</p></figure>)", html_escape(words));
    return out;
}

}  // namespace damper
