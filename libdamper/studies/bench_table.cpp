// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/studies/fit_study.hpp"

#include <algorithm>
#include <numeric>

namespace damper {

namespace {

constexpr std::size_t fewest_rows = 20;

TableRequest request_of(const BenchTableOptions& options) {
    TableRequest request;
    const std::string torque = options.has_options ? "--torque-unit 'N m'" : "";
    request.columns = {{.key = "twist",
                        .due = Angle::dimension,
                        .names = {"twist", "angle", "twist angle", "angle of twist"},
                        .unit = options.angle_unit,
                        .unit_option = options.has_options ? "--angle-unit deg" : ""},
                       {.key = "torque",
                        .due = Torque::dimension,
                        .names = {"torque", "moment"},
                        .unit = options.torque_unit,
                        .unit_option = torque,
                        .required = false},
                       {.key = "torque rising",
                        .due = Torque::dimension,
                        .names = {"torque rising"},
                        .unit = options.torque_unit,
                        .unit_option = torque,
                        .required = false},
                       {.key = "torque falling",
                        .due = Torque::dimension,
                        .names = {"torque falling"},
                        .unit = options.torque_unit,
                        .unit_option = torque,
                        .required = false},
                       {.key = "time",
                        .due = Time::dimension,
                        .names = {"time"},
                        .unit = {},
                        .unit_option = {},
                        .required = false,
                        .rising = true}};
    request.fewest_rows = fewest_rows;
    request.separator = options.separator;
    request.decimal = options.decimal;
    request.has_options = options.has_options;
    return request;
}

/// Both ways of a table in one run: up along rising twist, down again.
BenchRun both_ways(const MeasuredTable& table) {
    const std::vector<double>& twist = table.column("twist").values;
    std::vector<std::size_t> order(twist.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return twist[a] < twist[b]; });
    BenchRun run;
    for (const std::size_t i : order) {
        run.twist.push_back(twist[i]);
        run.torque.push_back(table.column("torque rising").values[i]);
    }
    for (std::size_t k = order.size(); k-- > 0;) {
        run.twist.push_back(twist[order[k]]);
        run.torque.push_back(table.column("torque falling").values[order[k]]);
    }
    return run;
}

}  // namespace

BenchTable read_bench_table(const std::filesystem::path& file, const BenchTableOptions& options) {
    const MeasuredTable table = read_measured_table(file, request_of(options));
    const bool one = table.has("torque");
    const bool up = table.has("torque rising"), down = table.has("torque falling");
    if (one == (up || down) || up != down) {
        throw InputError(
            {{{table.file, 1, 1, ""},
              "torque",
              one          ? "a column of torque beside columns for its two ways"
              : up || down ? "a column for one way of the torque only"
                           : "no column of torque",
              "a column \"torque\" in the order in which it was measured, or two columns "
              "\"torque rising\" and \"torque falling\"",
              "Rename the columns, with their unit: \"torque [N m]\"."}});
    }
    BenchTable out;
    out.sha256 = table.sha256;
    if (one) {
        out.run.twist = table.column("twist").values;
        out.run.torque = table.column("torque").values;
    } else {
        out.run = both_ways(table);
    }
    out.run.name = table.file;
    return out;
}

}  // namespace damper
