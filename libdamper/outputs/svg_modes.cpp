// SPDX-License-Identifier: MIT
#include "libdamper/outputs/svg_modes.hpp"

#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/modes_words.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <vector>

namespace damper {

namespace {

constexpr double width = 760.0;

/// Inertias along the drawing: those that a name without its side stands for, in the order in which
/// the torque passes them; loose gears last, on the gearbox.
struct Station {
    std::string name;
    std::vector<std::size_t> inertias;  ///< One, or left and right.
    bool loose = false;
};

constexpr std::array along = {"engine",         "released disc", "disc flange",  "input shaft",
                              "gearbox output", "pinion",        "differential", "wheel",
                              "tyre",           "vehicle"};

std::vector<Station> stations_of(const GearModes& gear) {
    std::vector<Station> trunk;
    std::vector<Station> loose;
    const auto add = [&](std::vector<Station>& list, const std::string& name, bool is_loose) {
        Station station{.name = name, .inertias = {}, .loose = is_loose};
        for (std::size_t i = 0; i < gear.inertias.size(); ++i) {
            if (without_side(gear.inertias[i].name) == name) station.inertias.push_back(i);
        }
        if (!station.inertias.empty()) list.push_back(std::move(station));
    };
    for (const char* name : along) add(trunk, name, false);
    for (const GearModes::Inertia& inertia : gear.inertias) {
        const std::string name = without_side(inertia.name);
        const auto has = [&](const std::vector<Station>& list) {
            return std::any_of(list.begin(), list.end(),
                               [&](const Station& s) { return s.name == name; });
        };
        if (!has(trunk) && !has(loose)) add(loose, name, true);
    }
    trunk.insert(trunk.end(), loose.begin(), loose.end());
    return trunk;
}

/// Share of the twist energy in the elements between two stations.
double strain_between(const GearModes& gear, const ModeRow& mode, const Station& a,
                      const Station& b) {
    const auto reaches = [](const GearModes::Element& element, const Station& station) {
        return std::any_of(station.inertias.begin(), station.inertias.end(),
                           [&](std::size_t i) { return element.row[i] != 0.0; });
    };
    double sum = 0.0;
    for (std::size_t e = 0; e < gear.elements.size(); ++e) {
        if (reaches(gear.elements[e], a) && reaches(gear.elements[e], b)) {
            sum += mode.strain_share[e];
        }
    }
    return sum;
}

/// Angle of an inertia as the engine sees it.
double seen_from_engine(const GearModes& gear, const ModeRow& mode, std::size_t inertia) {
    const double ratio = gear.inertias[inertia].ratio;
    return ratio == 0.0 ? mode.shape[inertia] : mode.shape[inertia] / ratio;
}

/// Names of two words on two lines.
void put_label(std::string& out, double x, double y, const std::string& name) {
    const std::size_t space = name.find(' ');
    const auto line = [&](double at, const std::string& text) {
        put(out, R"(<text class="small-text" x="{:.1f}" y="{:.1f}" text-anchor="middle">{}</text>)",
            x, at, html_escape(text));
    };
    line(y, name.substr(0, space));
    if (space != std::string::npos) line(y + 11.0, name.substr(space + 1));
}

/// "gear 3 loose" is no more than "3 loose" among its like.
std::string label_of(const Station& station) {
    constexpr std::string_view gear = "gear ";
    const bool short_enough = !station.loose || !station.name.starts_with(gear);
    return short_enough ? station.name : station.name.substr(gear.size());
}

// Heights of the drawing of a mode.
constexpr double mode_height = 176.0, swing_middle = 48.0, swing_half = 40.0,
                 machine_middle = 122.0, machine_half = 24.0, label_base = 160.0;

class ModeDrawing {
  public:
    ModeDrawing(const GearModes& gear, const ModeRow& mode)
        : gear_(gear), mode_(mode), stations_(stations_of(gear)) {
        for (std::size_t i = 0; i < mode.shape.size(); ++i) {
            largest_ = std::max(largest_, std::abs(seen_from_engine(gear, mode, i)));
            const double ratio = gear.inertias[i].ratio;
            tallest_ = std::max(tallest_, gear.inertias[i].inertia * ratio * ratio);
        }
    }

    std::string draw(const std::string& words) {
        put(out_, R"(<svg class="still" viewBox="0 0 {} {}" role="img" aria-label="{}">)", width,
            mode_height, html_escape(words));
        put(out_, R"(<line class="base" x1="10" x2="{}" y1="{}" y2="{}"/>)", width - 10.0,
            swing_middle, swing_middle);
        draw_shafts();
        for (std::size_t s = 0; s < stations_.size(); ++s) draw_disc(s);
        draw_swing();
        return out_ + "</svg>";
    }

  private:
    [[nodiscard]] double x(std::size_t station) const {
        return (static_cast<double>(station) + 0.5) * width / static_cast<double>(stations_.size());
    }
    [[nodiscard]] double y(std::size_t inertia) const {
        return swing_middle - swing_half * seen_from_engine(gear_, mode_, inertia) / largest_;
    }

    void draw_shafts() {
        for (std::size_t s = 0; s + 1 < stations_.size(); ++s) {
            if (stations_[s + 1].loose) break;
            const double strain = strain_between(gear_, mode_, stations_[s], stations_[s + 1]);
            constexpr double tells = 0.05;
            put(out_,
                R"(<line class="shaft{}" x1="{:.1f}" x2="{:.1f}" y1="{:.0f}" y2="{:.0f}" )"
                R"(stroke-width="{:.1f}"/>)",
                strain >= tells ? " strained" : "", x(s), x(s + 1), machine_middle, machine_middle,
                1.5 + 12.0 * strain);
            if (strain >= tells) {
                put(out_,
                    R"(<text class="small-text" x="{:.1f}" y="{:.1f}" text-anchor="middle">)"
                    R"({:.0f} %</text>)",
                    0.5 * (x(s) + x(s + 1)), machine_middle - 12.0, 100.0 * strain);
            }
        }
    }

    void draw_disc(std::size_t s) {
        double inertia = 0.0;
        for (const std::size_t i : stations_[s].inertias) {
            const double ratio = gear_.inertias[i].ratio;
            inertia += gear_.inertias[i].inertia * ratio * ratio;
        }
        const double half =
            std::max(3.0, machine_half * std::min(1.0, std::pow(inertia / tallest_, 0.25)));
        put(out_, R"(<rect class="disc" x="{:.1f}" y="{:.1f}" width="9" height="{:.1f}"/>)",
            x(s) - 4.5, machine_middle - half, 2.0 * half);
        put_label(out_, x(s), label_base, label_of(stations_[s]));
    }

    void draw_swing() {
        std::string first;
        std::string second;
        bool differ = false;
        for (std::size_t s = 0; s < stations_.size(); ++s) {
            const std::vector<std::size_t>& own = stations_[s].inertias;
            const double left = y(own.front());
            const double right = y(own.back());
            const bool two = std::abs(left - right) > 1.0;
            differ = differ || two;
            const double aside = two ? 3.0 : 0.0;
            bar(x(s) - aside, left, "");
            if (two) bar(x(s) + aside, right, " second");
            if (stations_[s].loose) continue;
            put(first, "{}{:.1f} {:.1f}", first.empty() ? 'M' : 'L', x(s) - aside, left);
            put(second, "{}{:.1f} {:.1f}", second.empty() ? 'M' : 'L', x(s) + aside, right);
        }
        put(out_, R"(<path class="swing" d="{}"/>)", first);
        if (differ) put(out_, R"(<path class="swing second" d="{}"/>)", second);
    }

    void bar(double at, double to, std::string_view which) {
        put(out_, R"(<line class="amplitude{}" x1="{:.1f}" x2="{:.1f}" y1="{:.1f}" y2="{:.1f}"/>)",
            which, at, at, swing_middle, to);
    }

    const GearModes& gear_;
    const ModeRow& mode_;
    std::vector<Station> stations_;
    double largest_ = 1e-300;
    double tallest_ = 1e-300;
    std::string out_;
};

}  // namespace

std::string svg_mode(const GearModes& gear, std::size_t m) {
    const ModeRow& mode = gear.modes[m];
    return ModeDrawing(gear, mode)
        .draw(fmt::format("{}, {}, {} Hz. Moving: {}. Twisting: {}.", gear_title(gear),
                          mode_title(gear, m), number_text(mode.frequency), moving_text(gear, mode),
                          twisting_text(gear, mode)));
}

}  // namespace damper
