// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <numbers>
#include <set>
#include <string>

namespace damper::command {

namespace {

constexpr const char* example =
    "The table goes to standard output, with --out also into DIR/NAME_loop.txt, .json or .csv.\n"
    "Numbers in json and csv are in SI units. Torque that drives the gearbox is positive.\n"
    "\nExample:\n"
    "  damper loop car_idle_hot --format csv\n";

constexpr std::size_t rows_shown = 41;  // of the text table; json and csv hold every point

double degrees(double radians) {
    return radians * 180.0 / std::numbers::pi;
}

/// About forty rows evenly over the range, and every corner and no twist among them.
std::set<std::size_t> rows_of(const DiscLoop& loop) {
    std::set<std::size_t> rows;
    const std::size_t count = loop.twist.size();
    const std::size_t steps = std::min(rows_shown, count);
    for (std::size_t row = 0; row < steps; ++row) {
        rows.insert(steps < 2 ? 0 : row * (count - 1) / (steps - 1));
    }
    const auto add = [&](double twist) {
        const auto at = std::find(loop.twist.begin(), loop.twist.end(), twist);
        if (at != loop.twist.end()) rows.insert(static_cast<std::size_t>(at - loop.twist.begin()));
    };
    for (const DiscLoop::Corner& corner : loop.corners) add(corner.twist);
    add(0.0);
    return rows;
}

std::string as_text(const std::string& title, const DiscLoop& loop) {
    std::string text = fmt::format("Torque over twist, turned slowly: {}\n\n", visible_text(title));
    text += fmt::format("{:<28}{:>12}{:>14}\n", "Corner", "twist [°]", "torque [N m]");
    for (const DiscLoop::Corner& corner : loop.corners) {
        const std::string name = visible_text(corner.name);
        const std::size_t width = std::max<std::size_t>(columns_of(name), 27) - columns_of(name);
        text += fmt::format("{}{:{}} {:>12.3f}{:>14.2f}\n", name, "", width, degrees(corner.twist),
                            corner.torque);
    }
    text +=
        fmt::format("\n{:>12}{:>16}{:>16}{:>12}\n{:>12}{:>16}{:>16}{:>12}\n", "twist",
                    "torque, rising", "torque, falling", "width", "[°]", "[N m]", "[N m]", "[N m]");
    for (const std::size_t i : rows_of(loop)) {
        text += fmt::format("{:>12.3f}{:>16.2f}{:>16.2f}{:>12.2f}\n", degrees(loop.twist[i]),
                            loop.upward[i], loop.downward[i], loop.upward[i] - loop.downward[i]);
    }
    return text;
}

std::string as_csv(const DiscLoop& loop) {
    std::string text = "twist_rad,torque_rising_Nm,torque_falling_Nm\n";
    for (std::size_t i = 0; i < loop.twist.size(); ++i) {
        text +=
            fmt::format("{:.9g},{:.9g},{:.9g}\n", loop.twist[i], loop.upward[i], loop.downward[i]);
    }
    return text;
}

std::string as_json(const std::string& title, const DiscLoop& loop) {
    nlohmann::ordered_json json;
    json["disc"] = title;
    json["units"] = {{"twist", "rad"}, {"torque", "N.m"}};
    json["corners"] = nlohmann::ordered_json::array();
    for (const DiscLoop::Corner& corner : loop.corners) {
        json["corners"].push_back(
            {{"name", corner.name}, {"twist", corner.twist}, {"torque", corner.torque}});
    }
    json["twist"] = loop.twist;
    json["torque_rising"] = loop.upward;
    json["torque_falling"] = loop.downward;
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace

int loop(const Words& words) {
    std::string file;
    std::string out;
    std::string format = "text";
    bool quiet = false;
    DescriptionOptions description;
    CLI::App app{"Torque over twist of a disc, turned slowly to and fro.", "damper loop"};
    app.add_option("FILE", file, "Disc, vehicle or scenario: a file, or the name of a built-in one")
        ->required();
    app.add_option("-o,--out", out, "Folder in which the table is kept as well")->type_name("DIR");
    description.tie_to(app);
    tie_format(app, format, {"text", "json", "csv"});
    app.add_flag("--quiet", quiet, "Print errors only");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", format, {"text", "json", "csv"});

    const auto [name, disc] = read_disc_of(file, description.read_options(), "damper loop");
    const DiscLoop table = quasi_static_loop(disc);
    std::string text = format == "json"  ? as_json(disc.title, table)
                       : format == "csv" ? as_csv(table)
                                         : as_text(disc.title, table);
    if (!out.empty()) {
        const OutputLock lock(out);
        const std::string ending = format == "text" ? "txt" : format;
        const auto path = std::filesystem::path(out) / fmt::format("{}_loop.{}", name, ending);
        write_file_atomically(path, text);
        if (format == "text") text += fmt::format("\nWritten: {}\n", printable(path.string()));
    }
    if (!quiet) print_result(text);
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
