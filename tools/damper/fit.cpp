// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/describe/write_disc.hpp"
#include "libdamper/outputs/fit_text.hpp"
#include "libdamper/outputs/fit_words.hpp"
#include "libdamper/outputs/html_fit.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/parts/check.hpp"
#include "libdamper/results/fit_file.hpp"
#include "libdamper/studies/fit_study.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "FILE is a table of a torsion bench: a line of names with units, then rows in the order in "
    "which\n"
    "they were measured. Columns \"twist [deg]\" and \"torque [N m]\", or \"twist\", \"torque "
    "rising\" and\n"
    "\"torque falling\". Several files are runs of the same disc in the same clamping: one through "
    "all\n"
    "of its range, others inside the inner stages with a fine range of the torque sensor.\n"
    "With --out also into DIR/NAME.toml, a disc that damper run takes with --set "
    "disc=DIR/NAME.toml,\n"
    "DIR/NAME_fit.h5 and DIR/NAME_fit.html. Exit status 1: not as the nominal disc.\n"
    "\nExample:\n"
    "  damper fit bench_car_full bench_car_idle --nominal car_soft_long_idle --out damper_out\n";

constexpr std::size_t most_files = 12;

struct FitWords {
    std::vector<std::string> files;
    std::string out, name, title, nominal;
    std::string stages, angle_unit, torque_unit, separator, decimal, zero_error, tolerance;
    std::string format = "text";
    bool quiet = false;
    DescriptionOptions description;
};

void tie(CLI::App& app, FitWords& words) {
    app.add_option("FILE", words.files, "Tables of a torsion bench")->required();
    app.add_option("-o,--out", words.out, "Folder for the disc, its record and page")
        ->type_name("DIR");
    app.add_option("--name", words.name, "Name of the files written, else that of the first table")
        ->type_name("NAME");
    app.add_option("--title", words.title, "Title of the disc, else its name")->type_name("TEXT");
    app.add_option("--nominal", words.nominal,
                   "Disc to compare with: a disc, vehicle or scenario, file or built in")
        ->type_name("DISC");
    app.add_option("--tolerance", words.tolerance,
                   "Tolerance of every stiffness, else 10 %, and 20 % for the innermost of several")
        ->type_name("SHARE");
    app.add_option("--stages", words.stages, "Number of stages, 1 to 6; else the data choose")
        ->type_name("N");
    app.add_option("--angle-unit", words.angle_unit, "Unit of the twist, if the table has none")
        ->type_name("UNIT");
    app.add_option("--torque-unit", words.torque_unit, "Unit of the torque, if the table has none")
        ->type_name("UNIT");
    app.add_option("--separator", words.separator, "What parts the columns, else found")
        ->type_name("comma|semicolon|tab");
    app.add_option("--decimal", words.decimal, "Decimal sign, else found")
        ->type_name("point|comma");
    app.add_option("--zero-error", words.zero_error,
                   "Standard deviation of the zero of the torque sensor, as a share of the largest "
                   "torque of a run, else 0.5 %")
        ->type_name("SHARE");
    words.description.tie_to(app);
    tie_format(app, words.format, {"text", "json"});
    app.add_flag("--quiet", words.quiet, "Print errors only");
    app.footer(example);
}

BenchTableOptions table_options(const FitWords& words) {
    BenchTableOptions options{
        .angle_unit = words.angle_unit, .torque_unit = words.torque_unit, .has_options = true};
    const auto take = [](const char* option, const std::string& word,
                         const std::vector<std::string>& names, std::string_view signs,
                         char& sign) {
        if (word.empty()) return;
        require_one_of(option, word, names);
        sign = signs[static_cast<std::size_t>(std::ranges::find(names, word) - names.begin())];
    };
    take("--separator", words.separator, {"comma", "semicolon", "tab"}, ",;\t", options.separator);
    take("--decimal", words.decimal, {"point", "comma"}, ".,", options.decimal);
    return options;
}

FitSettings settings_of(const FitWords& words, const fs::path& first, const Words& typed) {
    FitSettings settings;
    settings.name = words.name.empty() ? first.stem().string() : words.name;
    const bool plain = !settings.name.empty() && settings.name[0] != '.' &&
                       settings.name.find_first_of("/\\\"'\n\r\t") == std::string::npos;
    if (!plain) {
        throw InputError(fmt::format("--name is \"{}\"; expected the name of a file without folder",
                                     visible_text(settings.name)));
    }
    settings.title = words.title.empty() ? settings.name : words.title;
    settings.command_line = as_typed("damper fit", typed);
    if (!words.stages.empty()) {
        const double stages = number_in("--stages", words.stages, 1.0, 6.0);
        if (stages != std::floor(stages)) {
            throw InputError(
                fmt::format("--stages is \"{}\"; expected a whole number", words.stages));
        }
        settings.options.stages = static_cast<int>(stages);
    }
    if (!words.zero_error.empty()) {
        settings.options.zero_error =
            quantity_in("--zero-error", words.zero_error, {}, 0.0, 0.5, "0 %", "50 %");
    }
    if (!words.tolerance.empty()) {
        settings.tolerances.stiffness = settings.tolerances.first_stiffness =
            quantity_in("--tolerance", words.tolerance, {}, 0.001, 1.0, "0.1 %", "100 %");
    }
    return settings;
}

/// Behind each value of the file: how well it is known.
std::map<std::string, std::string> comments_of(const FitRecord& record) {
    std::map<std::string, std::string> out;
    for (const FitFigure& figure : record.figures) {
        out[figure.key] =
            figure.known == "measured"
                ? fmt::format("measured, {} {}", figure_interval(figure), figure_units(figure))
            : figure.known == "none" ? "cannot be told from none"
                                     : "not measured: filled";
    }
    return out;
}

std::string written(const FitRecord& record, const Disc& disc, const std::string& folder) {
    const OutputLock lock(folder);
    const fs::path stem = fs::path(folder) / record.name;
    const auto ending = [&](const char* end) { return fs::path(stem.string() + end); };
    std::vector<std::string> remarks = {
        "Fitted by damper fit to the loops of a bench; ± is a 95 % interval."};
    remarks.insert(remarks.end(), record.notes.begin(), record.notes.end());
    write_file_atomically(ending(".toml"), disc_toml(disc, comments_of(record), remarks));
    write_fit(ending("_fit.h5"), record);
    write_file_atomically(ending("_fit.html"), html_fit(record));
    std::string text = "\n";
    for (const char* end : {".toml", "_fit.h5", "_fit.html"}) {
        text += fmt::format("Written: {}\n", printable(ending(end).string()));
    }
    return text;
}

}  // namespace

int fit(const Words& typed) {
    FitWords words;
    CLI::App app{"Disc from torque and twist measured on a bench.", "damper fit"};
    tie(app, words);
    if (!read_words(app, typed)) return to_int(ExitStatus::done);
    require_one_of("--format", words.format, {"text", "json"});
    if (words.files.size() > most_files) {
        throw InputError(
            fmt::format("{} tables; expected at most {}", words.files.size(), most_files));
    }
    const BenchTableOptions options = table_options(words);
    const ReadOptions read_options = words.description.read_options();
    std::vector<BenchTable> tables;
    for (const std::string& file : words.files) {
        tables.push_back(read_bench_table(locate(file, "bench", read_options.models), options));
    }
    const FitSettings settings = settings_of(words, words.files.front(), typed);
    std::optional<Disc> nominal;
    if (!words.nominal.empty())
        nominal = read_disc_of(words.nominal, read_options, "damper fit --nominal").disc;
    const FitOutcome outcome = fit_bench(tables, nominal, settings);
    const std::vector<Finding> faults = check(outcome.disc);
    if (!faults.empty()) {
        throw InputError("the loops fit no disc that can be: " + to_text(faults));
    }

    std::string text = words.format == "json" ? fit_json(outcome.record) : fit_text(outcome.record);
    if (!words.out.empty()) {
        const std::string files = written(outcome.record, outcome.disc, words.out);
        if (words.format == "text") text += files;
    }
    if (!words.quiet) print_result(text);
    return to_int(outcome.record.within ? ExitStatus::done : ExitStatus::limit_missed);
}

}  // namespace damper::command
