// SPDX-License-Identifier: MIT
#include "libdamper/outputs/svg_tune_front.hpp"

#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/tune_rows.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace damper {

namespace {

constexpr double left = 64.0, right = 740.0, top = 26.0, bottom = 430.0;
constexpr double width = 760.0, height = 476.0;
constexpr double percent = 100.0;
/// So far below the best of the front the picture goes [%].
constexpr double below = 75.0;

struct Dot {
    std::size_t candidate = 0;
    double x = 0.0, y = 0.0;  ///< Margins [%]
    Grade grade = Grade::good;
};

std::optional<Dot> dot_of(const TuneRecord& record, std::size_t index) {
    const TuneCandidate& one = record.candidates[index];
    if (one.end != TuneCandidate::End::done) return std::nullopt;
    const TuneWorst x = tune_worst(one, &record.objectives[0]);
    const TuneWorst y = tune_worst(one, &record.objectives[1]);
    if (x.figure == nullptr || y.figure == nullptr) return std::nullopt;
    Dot dot{index, percent * x.figure->margin, percent * y.figure->margin,
            std::max(x.figure->grade, y.figure->grade)};
    if (!std::isfinite(dot.x) || !std::isfinite(dot.y)) return std::nullopt;
    return dot;
}

class FrontDrawing {
  public:
    explicit FrontDrawing(const TuneRecord& record) : record_(record) {
        for (std::size_t i = 0; i < record.candidates.size(); ++i) {
            if (const auto dot = dot_of(record, i)) dots_.push_back(*dot);
        }
        if (dots_.empty()) return;
        range_of(&Dot::x, x_);
        range_of(&Dot::y, y_);
    }

    std::string draw() {
        if (dots_.size() < 2) return "";
        put(out_, R"(<svg class="still" viewBox="0 0 {} {}" role="img" aria-label="{}">)", width,
            height, html_escape(words()));
        draw_grid();
        for (const Grade grade : {Grade::bad, Grade::watch, Grade::good}) draw_dots(grade);
        draw_front();
        draw_named();
        return out_ + "</svg>";
    }

  private:
    void range_of(double Dot::*axis, AxisRange& range) const {
        double high = -1e300, low = 1e300;
        for (const Dot& one : dots_) {
            high = std::max(high, one.*axis);
            low = std::min(low, one.*axis);
        }
        low = std::max(low, high - below);
        const double edge = std::max(0.06 * (high - low), 1.0);
        range = {.low = low - edge, .high = high + edge};
    }
    [[nodiscard]] double px(double at) const {
        const double inside = std::clamp(at, x_.low, x_.high);
        return left + (right - left) * (inside - x_.low) / (x_.high - x_.low);
    }
    [[nodiscard]] double py(double at) const {
        const double inside = std::clamp(at, y_.low, y_.high);
        return bottom - (bottom - top) * (inside - y_.low) / (y_.high - y_.low);
    }

    [[nodiscard]] std::string words() const {
        const TuneWorst x = tune_worst(record_.candidates[record_.best], &record_.objectives[0]);
        const TuneWorst y = tune_worst(record_.candidates[record_.best], &record_.objectives[1]);
        std::string text = fmt::format("{} discs by worst margin in {} and {}, {} on the front.",
                                       dots_.size(), record_.objectives[0].name,
                                       record_.objectives[1].name, record_.front.size());
        if (x.figure != nullptr && y.figure != nullptr) {
            text += fmt::format(" The tuned disc has {:.0f} % and {:.0f} %.",
                                percent * x.figure->margin, percent * y.figure->margin);
        }
        return text;
    }

    void draw_grid() {
        for (const double tick : ticks(x_, 7)) {
            put(out_, R"(<line class="grid" x1="{0:.1f}" x2="{0:.1f}" y1="{1}" y2="{2}"/>)",
                px(tick), top, bottom);
            put(out_, R"(<text x="{:.1f}" y="{}" text-anchor="middle">{}</text>)", px(tick),
                bottom + 16.0, number_text(tick));
        }
        for (const double tick : ticks(y_, 7)) {
            put(out_, R"(<line class="grid" y1="{0:.1f}" y2="{0:.1f}" x1="{1}" x2="{2}"/>)",
                py(tick), left, right);
            put(out_, R"(<text x="{}" y="{:.1f}" text-anchor="end">{}</text>)", left - 6.0,
                py(tick) + 4.0, number_text(tick));
        }
        if (x_.low < 0.0 && x_.high > 0.0) {
            put(out_, R"(<line class="limit" x1="{0:.1f}" x2="{0:.1f}" y1="{1}" y2="{2}"/>)",
                px(0.0), top, bottom);
        }
        if (y_.low < 0.0 && y_.high > 0.0) {
            put(out_, R"(<line class="limit" y1="{0:.1f}" y2="{0:.1f}" x1="{1}" x2="{2}"/>)",
                py(0.0), left, right);
        }
        put(out_, R"(<text x="4" y="14">Worst margin in {}, %</text>)",
            html_escape(record_.objectives[1].name));
        put(out_, R"(<text x="{:.1f}" y="{}" text-anchor="middle">Worst margin in {}, %</text>)",
            0.5 * (left + right), height - 10.0, html_escape(record_.objectives[0].name));
    }

    void draw_dots(Grade grade) {
        const char* tone = grade == Grade::good ? "good" : grade == Grade::watch ? "watch" : "bad";
        put(out_, R"(<g class="dot {}">)", tone);
        for (const Dot& one : dots_) {
            if (one.grade != grade) continue;
            const double x = px(one.x), y = py(one.y);
            if (grade == Grade::good) {
                put(out_, R"(<circle cx="{:.1f}" cy="{:.1f}" r="3"/>)", x, y);
            } else if (grade == Grade::watch) {
                put(out_, R"(<path d="M{:.1f} {:.1f}l3.4 6h-6.8z"/>)", x, y - 3.5);
            } else {
                put(out_, R"(<path d="M{:.1f} {:.1f}h5v5h-5z"/>)", x - 2.5, y - 2.5);
            }
        }
        out_ += "</g>";
    }

    void draw_front() {
        std::string path;
        for (const std::size_t index : record_.front) {
            const auto dot = dot_of(record_, index);
            if (!dot) continue;
            // What a disc of the front can do, one that is worse in either can do too.
            if (path.empty()) {
                put(path, "M{} {:.1f}H{:.1f}", left, py(dot->y), px(dot->x));
            } else {
                put(path, "V{:.1f}H{:.1f}", py(dot->y), px(dot->x));
            }
        }
        if (path.empty()) return;
        put(out_, R"(<path class="front" d="{}V{}"/>)", path, bottom);
    }

    void draw_named() {
        draw_name(0, "fitted");
        if (record_.best != 0) draw_name(record_.best, "tuned");
    }

    void draw_name(std::size_t index, const char* name) {
        const auto dot = dot_of(record_, index);
        if (!dot) return;
        const double x = px(dot->x), y = py(dot->y);
        put(out_, R"(<circle class="ring {}" cx="{:.1f}" cy="{:.1f}" r="7"/>)", name, x, y);
        const bool at_right = x > right - 80.0;
        put(out_, R"(<text x="{:.1f}" y="{:.1f}" text-anchor="{}" font-weight="bold">{}</text>)",
            at_right ? x - 11.0 : x + 11.0, std::max(y - 9.0, top + 12.0),
            at_right ? "end" : "start", name);
    }

    const TuneRecord& record_;
    std::vector<Dot> dots_;
    AxisRange x_, y_;
    std::string out_;
};

}  // namespace

std::string svg_tune_front(const TuneRecord& record) {
    return FrontDrawing(record).draw();
}

}  // namespace damper
