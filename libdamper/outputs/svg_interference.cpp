// SPDX-License-Identifier: MIT
#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/modes_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/svg_modes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace damper {

namespace {

constexpr double rpm = std::numbers::pi / 30.0;
constexpr double width = 760.0, height = 470.0;
constexpr double left = 52.0, top = 30.0, bottom = 424.0;
constexpr double ladder = 24.0;  // width of the ladder of one gear

bool swings(const ModeRow& mode) {
    return mode.damped_frequency > 0.0;
}

class InterferenceDrawing {
  public:
    explicit InterferenceDrawing(const ModesRecord& record)
        : record_(record),
          right_(std::max(width - 20.0 - ladder * static_cast<double>(record.gears.size()),
                          0.5 * width)),
          most_speed_(1.04 * record.highest_speed) {
        const double highest = highest_met(record);
        low_ = highest;
        for (const GearModes& gear : record.gears) {
            if (!gear.modes.empty()) low_ = std::min(low_, gear.modes.front().frequency);
        }
        low_ = std::pow(10.0, std::floor(std::log10(std::max(0.7 * low_, 1e-3))));
        high_ = std::max(highest, 10.0 * low_);
    }

    std::string draw() {
        put(out_, R"(<svg class="still" viewBox="0 0 {} {}" role="img" aria-label="{}">)", width,
            height, html_escape(words()));
        put(out_,
            R"(<clipPath id="orders-clip"><rect x="{}" y="{}" width="{:.1f}" height="{}"/>)"
            R"(</clipPath>)",
            left, top, right_ - left, bottom - top);
        const double idle = x(record_.lowest_speed);
        put(out_, R"(<rect class="outside" x="{}" y="{}" width="{:.1f}" height="{}"/>)", left, top,
            idle - left, bottom - top);
        draw_grid();
        draw_levels();
        draw_orders();
        draw_meetings();
        return out_ + "</svg>";
    }

  private:
    [[nodiscard]] double x(double speed) const {
        return left + (right_ - left) * speed / most_speed_;
    }
    [[nodiscard]] double y(double frequency) const {
        return bottom - (bottom - top) * std::log(frequency / low_) / std::log(high_ / low_);
    }
    [[nodiscard]] double ladder_x(std::size_t gear) const {
        return right_ + 6.0 + ladder * static_cast<double>(gear);
    }

    [[nodiscard]] std::string words() const {
        std::string text = "Natural frequencies against engine orders.";
        for (const GearModes& gear : record_.gears) {
            for (std::size_t m = 0; m < modes_met(record_, gear); ++m) {
                const double frequency = gear.modes[m].frequency;
                const double speed = critical_speed(frequency, record_.firing_order);
                if (!in_range(record_, speed) || !swings(gear.modes[m])) continue;
                text += fmt::format(" {}: {} at {} Hz meets the firing order at {:.0f} rpm.",
                                    gear_title(gear), mode_title(gear, m), number_text(frequency),
                                    speed / rpm);
            }
        }
        return text;
    }

    void draw_grid() {
        for (const double tick : ticks({.low = 0.0, .high = most_speed_ / rpm}, 7)) {
            put(out_, R"(<line class="grid" x1="{0:.1f}" x2="{0:.1f}" y1="{1}" y2="{2}"/>)",
                x(tick * rpm), top, bottom);
            put(out_, R"(<text x="{:.1f}" y="{}" text-anchor="middle">{}</text>)", x(tick * rpm),
                bottom + 16.0, number_text(tick));
        }
        for (double decade = low_; decade < high_; decade *= 10.0) {
            for (const double lead : {1.0, 2.0, 5.0}) {
                const double at = lead * decade;
                if (at > high_) break;
                put(out_, R"(<line class="grid" y1="{0:.1f}" y2="{0:.1f}" x1="{1}" x2="{2:.1f}"/>)",
                    y(at), left, right_);
                put(out_, R"(<text x="{}" y="{:.1f}" text-anchor="end">{}</text>)", left - 6.0,
                    y(at) + 4.0, number_text(at));
            }
        }
        put(out_, R"(<text x="4" y="14">Frequency in Hz</text>)");
        put(out_, R"(<text x="{:.1f}" y="{}" text-anchor="middle">Engine speed in rpm</text>)",
            0.5 * (left + right_), height - 10.0);
        put(out_, R"(<text x="{:.1f}" y="{}" text-anchor="middle">Gear</text>)",
            0.5 * (ladder_x(0) + ladder_x(record_.gears.size())), height - 10.0);
    }

    void draw_orders() {
        out_ += "<g clip-path=\"url(#orders-clip)\">";
        constexpr int points = 60;
        for (const EngineOrder& order : record_.orders) {
            std::string path;
            for (int i = 1; i <= points; ++i) {
                const double speed = most_speed_ * i / points;
                const double frequency = order.order * speed / (2.0 * std::numbers::pi);
                put(path, "{}{:.1f} {:.1f}", path.empty() ? 'M' : 'L', x(speed), y(frequency));
            }
            const bool firing = order.order == record_.firing_order;
            put(out_, R"(<path class="order{}" d="{}"/>)", firing ? " firing" : "", path);
        }
        out_ += "</g>";
        // Named where the line runs flat, left of its end.
        for (const EngineOrder& order : record_.orders) {
            const double speed = 0.93 * record_.highest_speed;
            const double at = y(order.order * speed / (2.0 * std::numbers::pi));
            const std::string number = fmt::format("{:g}", order.order);
            put(out_,
                R"(<text class="small-text" x="{:.1f}" y="{:.1f}" text-anchor="end">{}</text>)",
                x(speed), at - 5.0,
                order.name == number
                    ? "order " + number
                    : html_escape(fmt::format("{} (order {})", order.name, number)));
        }
    }

    void draw_levels() {
        for (std::size_t g = 0; g < record_.gears.size(); ++g) {
            const GearModes& gear = record_.gears[g];
            const double from = ladder_x(g);
            put(out_, R"(<line class="base" x1="{0:.1f}" x2="{0:.1f}" y1="{1}" y2="{2}"/>)",
                from + 0.5 * ladder, top, bottom);
            put(out_,
                R"(<text class="small-text" x="{:.1f}" y="{}" text-anchor="middle">{}</text>)",
                from + 0.5 * ladder, bottom + 16.0,
                html_escape(gear.gear == "neutral" ? "N" : gear.gear));
            for (std::size_t m = 0; m < modes_met(record_, gear); ++m) {
                const double at = y(gear.modes[m].frequency);
                put(out_, R"(<line class="level" x1="{}" x2="{:.1f}" y1="{:.1f}" y2="{:.1f}"/>)",
                    left, from, at, at);
                put(out_,
                    R"(<line class="rung" x1="{:.1f}" x2="{:.1f}" y1="{:.1f}" y2="{:.1f}">)"
                    R"(<title>{}: {}, {} Hz</title></line>)",
                    from + 4.0, from + ladder - 4.0, at, at, html_escape(gear_title(gear)),
                    html_escape(mode_title(gear, m)), number_text(gear.modes[m].frequency));
            }
        }
    }

    void draw_meetings() {
        for (const GearModes& gear : record_.gears) {
            for (std::size_t m = 0; m < modes_met(record_, gear); ++m) {
                const double frequency = gear.modes[m].frequency;
                const double speed = critical_speed(frequency, record_.firing_order);
                if (!in_range(record_, speed) || !swings(gear.modes[m])) continue;
                put(out_,
                    R"(<circle class="meets" cx="{:.1f}" cy="{:.1f}" r="4"><title>)"
                    R"({}: {} at {:.0f} rpm</title></circle>)",
                    x(speed), y(frequency), html_escape(gear_title(gear)),
                    html_escape(mode_title(gear, m)), speed / rpm);
            }
        }
    }

    const ModesRecord& record_;
    double right_;
    double most_speed_;
    double low_ = 1.0;
    double high_ = 10.0;
    std::string out_;
};

}  // namespace

std::string svg_interference(const ModesRecord& record) {
    return InterferenceDrawing(record).draw();
}

}  // namespace damper
