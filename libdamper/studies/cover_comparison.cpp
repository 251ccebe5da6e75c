// SPDX-License-Identifier: MIT
#include "libdamper/studies/cover_comparison.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/studies/cover_study.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>

namespace damper {

namespace {

/// What is compared.
struct Compared {
    std::string what, against, units;
    std::string_view x, y;  ///< Columns of the table.
    bool of_largest = false;
};

CoverComparison compare(const MeasuredTable& table, const Compared& of,
                        const std::function<double(double)>& computed) {
    CoverComparison one;
    one.what = of.what;
    one.against = of.against;
    one.units = of.units;
    one.file = table.file;
    one.sha256 = table.sha256;
    one.x = table.column(of.x).values;
    one.measured = table.column(of.y).values;
    double scale = 0.0;
    for (const double place : one.x) {
        one.computed.push_back(computed(place));
        scale = std::max(scale, std::abs(one.computed.back()));
    }
    for (std::size_t i = 0; i < one.x.size(); ++i) {
        const double base = of.of_largest ? scale : std::abs(one.computed[i]);
        if (!(base > 0.0)) {
            throw InputError(
                {{table.place(i), std::string(of.x),
                  fmt::format("{:.3g} mm, where the computed value is 0", 1e3 * one.x[i]),
                  "places at which the spring presses", ""}});
        }
        const double deviation = (one.measured[i] - one.computed[i]) / base;
        one.deviation.push_back(deviation);
        one.mean += deviation / static_cast<double>(one.x.size());
        if (std::abs(deviation) > std::abs(one.largest)) one.largest = deviation;
    }
    return one;
}

WantedColumn wanted(std::string key, const Dimension& due, std::vector<std::string> names,
                    bool required) {
    WantedColumn column;
    column.key = std::move(key);
    column.due = due;
    column.names = std::move(names);
    column.required = required;
    return column;
}

}  // namespace

MeasuredTable read_clamp_table(const std::filesystem::path& file) {
    TableRequest request;
    request.columns = {
        wanted("wear", Length::dimension,
               {"wear", "plate travel", "plate way", "travel", "deflection"}, true),
        wanted("load", Force::dimension, {"load", "clamp load", "force", "clamp force"}, true)};
    return read_measured_table(file, request);
}

MeasuredTable read_release_table(const std::filesystem::path& file) {
    TableRequest request;
    request.columns = {
        wanted("travel", Length::dimension, {"travel", "bearing travel", "release travel"}, true),
        wanted("load", Force::dimension,
               {"load", "release load", "bearing load", "force", "release force"}, false),
        wanted("lift", Length::dimension, {"lift", "plate lift"}, false)};
    MeasuredTable table = read_measured_table(file, request);
    if (table.has("load") || table.has("lift")) return table;
    throw InputError({{{table.file, 0, 0, ""},
                       "",
                       "neither a release load nor a plate lift",
                       "a column \"release load\" or \"plate lift\" beside the travel",
                       "Name it in the line of names, with its unit: release load [N]."}});
}

CoverComparison compare_clamp(const ClutchModel& model, const MeasuredTable& table) {
    const ClampedCover& cover = model.clamped_new;
    const auto load = [&](double way) { return spring_load(cover.spring, cover.deflection - way); };
    return compare(table, {"clamp load", "way of the plate", "N", "wear", "load", false}, load);
}

std::vector<CoverComparison> compare_release(const ClutchModel& model, const MeasuredTable& table) {
    std::vector<CoverComparison> all;
    const ClampedCover& cover = model.clamped_new;
    const std::vector<double>& travel = table.column("travel").values;
    for (std::size_t i = 0; i < travel.size(); ++i) {
        if (travel[i] >= 0.0) continue;
        throw InputError(
            {{table.place(i), "travel", fmt::format("{:.4g} mm", 1e3 * travel[i]), "0 mm and more",
              "Travel counts from contact of the bearing with the fingers."}});
    }
    if (table.has("load")) {
        all.push_back(compare(table,
                              {"release load", "bearing travel", "N", "travel", "load", true},
                              [&](double x) { return at_travel(cover, x).bearing_load; }));
    }
    if (table.has("lift")) {
        all.push_back(compare(table, {"plate lift", "bearing travel", "m", "travel", "lift", true},
                              [&](double x) { return at_travel(cover, x).lift; }));
    }
    return all;
}

}  // namespace damper
