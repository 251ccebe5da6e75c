// SPDX-License-Identifier: MIT
#include "libdamper/outputs/cover_text.hpp"
#include "libdamper/outputs/html_cover.hpp"
#include "libdamper/results/cover_file.hpp"
#include "libdamper/studies/cover_study.hpp"

#include "tools/damper/driven.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/keep.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <fmt/format.h>

namespace damper::command {

namespace {

constexpr const char* example =
    "Clamp load, torque held, wear reserve, release load, lift and disc clearance, with the\n"
    "facings new, as they are (facing.wear) and worn by all they may; quasi-static.\n"
    "Measured curves are tables of text: a line of names with units, columns parted by comma,\n"
    "semicolon or tab, decimal point or comma.\n"
    "  --clamp FILE    wear (way of the plate since new, all faces together) and clamp load\n"
    "  --release FILE  bearing travel with release load, plate lift or both; facings new\n"
    "With --out also into DIR/NAME_cover.h5, NAME_cover.html and NAME_cover.txt, .json or .csv.\n"
    "Exit status 1: a limit is missed.\n"
    "\nExample:\n"
    "  damper cover car_petrol\n"
    "  damper cover heavy_truck --set 'release.bearing_travel=9 mm' --set 'facing.runout=0.9 mm'\n"
    "  damper cover van_diesel --set 'flywheel.face_ground=0.5 mm' --out damper_out\n";

struct CoverOptions {
    std::string file, out, torque, warm, hot, clamp, release;
    std::string format = "text";
    std::string curve = "wear";
    bool quiet = false;
    DescriptionOptions description;
};

void tie(CLI::App& app, CoverOptions& options) {
    app.add_option("FILE", options.file,
                   "Vehicle or scenario: a file, or the name of a built-in one")
        ->required();
    app.add_option("--torque", options.torque,
                   "Torque to be held, for example '200 N m'; else the engine's peak torque")
        ->type_name("TORQUE");
    app.add_option("--warm", options.warm, "Temperature of warm faces, else 100 degC")
        ->type_name("TEMPERATURE");
    app.add_option("--hot", options.hot, "Temperature of hot faces, else 200 degC")
        ->type_name("TEMPERATURE");
    app.add_option("--clamp", options.clamp, "Measured clamp load over wear")->type_name("FILE");
    app.add_option("--release", options.release, "Measured release load or lift over travel")
        ->type_name("FILE");
    app.add_option("--curve", options.curve, "What --format csv prints")
        ->type_name("wear|spring|release|temperature|states|cases|measured")
        ->capture_default_str();
    app.add_option("-o,--out", options.out, "Folder for the file of results, its page and the text")
        ->type_name("DIR");
    options.description.tie_to(app);
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only");
    app.footer(example);
}

CoverSettings settings_of(const CoverOptions& options, const Words& words) {
    CoverSettings settings;
    const auto temperature = [](const char* option, const std::string& text, double& value) {
        if (text.empty()) return;
        value = quantity_in(option, text, Temperature::dimension, 213.15, 1073.15, "-60 degC",
                            "800 degC");
    };
    if (!options.torque.empty()) {
        settings.torque = quantity_in("--torque", options.torque, Torque::dimension, 1.0, 10000.0,
                                      "1 N m", "10000 N m");
    }
    temperature("--warm", options.warm, settings.warm);
    temperature("--hot", options.hot, settings.hot);
    if (!options.clamp.empty()) settings.clamp = read_clamp_table(options.clamp);
    if (!options.release.empty()) settings.release = read_release_table(options.release);
    settings.command_line = as_typed("damper cover", words);
    return settings;
}

}  // namespace

int cover(const Words& words) {
    CoverOptions options;
    CLI::App app{"Clamp, wear, release and torque of a clutch, new and worn.", "damper cover"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    require_one_of("--curve", options.curve, cover_curves());
    const CoverSettings settings = settings_of(options, words);
    const Scenario scenario =
        read_driven(options.file, options.description.read_options(), "damper cover");
    const CoverRecord record = study_cover(scenario, settings);

    std::string text = options.format == "json"  ? cover_json(record)
                       : options.format == "csv" ? cover_csv(record, options.curve)
                                                 : cover_text(record);
    keep({.folder = options.out,
          .name = scenario.name + "_cover",
          .format = options.format,
          .write_results = [&](const std::string& path) { write_cover(path, record); },
          .page = [&] { return html_cover(record); }},
         text);
    if (!options.quiet) print_result(text);
    return to_int(record.verdict.grade == Grade::bad ? ExitStatus::limit_missed : ExitStatus::done);
}

}  // namespace damper::command
