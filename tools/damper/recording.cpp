// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/recording_text.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/read_recording.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>
#include <string>
#include <vector>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "FILE is a WAV file, or a table with a line of names: \"time [s]\" with \"flywheel speed "
    "[rpm]\",\n"
    "\"gearbox input speed [rpm]\", both, or \"acceleration [m/s2]\"; or \"pulse time [s]\" or\n"
    "\"gearbox input pulse time [s]\" of a toothed wheel. Several files are of one moment and one "
    "clock.\n"
    "What the quality of a recording speaks against is marked (?); without a usable recording the\n"
    "exit status is 1.\n"
    "\nExample:\n"
    "  damper recording car_idle_weak_cylinder --cylinders 4\n";

constexpr std::size_t most_files = 12;
constexpr double rpm = std::numbers::pi / 30.0;

struct RecordingWords {
    std::vector<std::string> files;
    std::string out, name, cylinders, speed, teeth, missing, input_teeth, input_missing, run_down;
    std::string band_from, band_to, channel, of = "flywheel", manoeuvre = "running";
    std::string separator, decimal, models, format = "text";
    bool quiet = false;
};

void tie(CLI::App& app, RecordingWords& words) {
    const auto add = [&](const char* name, std::string& value, const char* what, const char* type) {
        app.add_option(name, value, what)->type_name(type);
    };
    app.add_option("FILE", words.files, "Recordings of one moment")->required();
    add("--cylinders", words.cylinders,
        "Of the four-stroke engine, else the strongest order is its "
        "firing order",
        "N");
    add("--manoeuvre", words.manoeuvre, "What was driven: orders and knocks, shuffle, or judder",
        "running|torque-change|take-up");
    add("--speed", words.speed, "Engine speed, for sound without a recorded speed", "SPEED");
    add("--teeth", words.teeth,
        "Places of the flywheel's wheel, missing ones counted, else found "
        "from its mark",
        "N");
    add("--missing", words.missing, "Of them without a tooth, 0 to 2", "N");
    add("--input-teeth", words.input_teeth, "The same of the wheel at the gearbox input", "N");
    add("--input-missing", words.input_missing, "The same of the wheel at the gearbox input", "N");
    add("--run-down", words.run_down,
        "Pulses of the flywheel's wheel in a run-down without "
        "firing: tells its teeth's errors in full",
        "FILE");
    add("--of", words.of, "Whose a column \"speed\" or \"pulse time\" is", "flywheel|input");
    add("--band-from", words.band_from, "Band of the knocks, else from 1000 Hz", "FREQUENCY");
    add("--band-to", words.band_to, "Band of the knocks, else to 6000 Hz", "FREQUENCY");
    add("--channel", words.channel, "Channel of a sound, else 1", "N");
    add("--separator", words.separator, "What parts the columns, else found",
        "comma|semicolon|tab");
    add("--decimal", words.decimal, "Decimal sign, else found", "point|comma");
    app.add_option("-o,--out", words.out, "Folder for the page and the text")->type_name("DIR");
    add("--name", words.name, "Name of the files written, else that of the first recording",
        "NAME");
    add("--models", words.models, "Folder of models, for recordings built in", "DIR");
    tie_format(app, words.format, {"text", "json"});
    app.add_flag("--quiet", words.quiet, "Print errors only");
    app.footer(example);
}

int whole(const char* option, const std::string& text, int low, int high, int otherwise) {
    if (text.empty()) return otherwise;
    const double number = number_in(option, text, low, high);
    if (number != std::floor(number)) {
        throw InputError(
            fmt::format("{} is \"{}\"; expected a whole number", option, visible_text(text)));
    }
    return static_cast<int>(number);
}

RecordingOptions options_of(const RecordingWords& words) {
    RecordingOptions options{.has_options = true};
    require_one_of("--of", words.of, {"flywheel", "input"});
    options.shaft = words.of == "input" ? RecordedShaft::input : RecordedShaft::flywheel;
    options.channel = whole("--channel", words.channel, 1, 64, 1);
    if (!words.separator.empty()) {
        require_one_of("--separator", words.separator, {"comma", "semicolon", "tab"});
        options.separator = words.separator == "comma"       ? ','
                            : words.separator == "semicolon" ? ';'
                                                             : '\t';
    }
    if (!words.decimal.empty()) {
        require_one_of("--decimal", words.decimal, {"point", "comma"});
        options.decimal = words.decimal == "point" ? '.' : ',';
    }
    return options;
}

ToothWheel wheel_of(const char* teeth_option, const std::string& teeth, const char* missing_option,
                    const std::string& missing) {
    constexpr int most_teeth = 1000;
    ToothWheel wheel{whole(teeth_option, teeth, 4, most_teeth, 0),
                     whole(missing_option, missing, 0, 2, 0)};
    if (wheel.missing > 0 && wheel.teeth == 0) {
        throw InputError(fmt::format("{} needs {}", missing_option, teeth_option));
    }
    if (wheel.teeth > 0 && wheel.teeth - wheel.missing < 4) {
        throw InputError(fmt::format("{} {} with {} missing leaves fewer than 4 teeth",
                                     teeth_option, wheel.teeth, wheel.missing));
    }
    return wheel;
}

RecordingRequest request_of(const RecordingWords& words) {
    RecordingRequest request;
    require_one_of("--manoeuvre", words.manoeuvre, {"running", "torque-change", "take-up"});
    request.manoeuvre = words.manoeuvre == "take-up"         ? RecordedManoeuvre::take_up
                        : words.manoeuvre == "torque-change" ? RecordedManoeuvre::torque_change
                                                             : RecordedManoeuvre::running;
    request.cylinders = whole("--cylinders", words.cylinders, 1, 16, 0);
    if (!words.speed.empty()) {
        request.mean_speed = quantity_in("--speed", words.speed, AngularSpeed::dimension,
                                         100.0 * rpm, 10000.0 * rpm, "100 rpm", "10000 rpm");
    }
    const auto frequency = [](const char* option, const std::string& text, double& value) {
        if (text.empty()) return;
        value = quantity_in(option, text, Rate::dimension, 20.0, 1e6, "20 Hz", "1 MHz");
    };
    frequency("--band-from", words.band_from, request.band_low);
    frequency("--band-to", words.band_to, request.band_high);
    if (!(request.band_high >= 1.5 * request.band_low)) {
        throw InputError(
            fmt::format("the band from {:.4g} Hz to {:.4g} Hz is too narrow; expected "
                        "--band-to at least 1.5 times --band-from",
                        request.band_low, request.band_high));
    }
    request.flywheel_wheel = wheel_of("--teeth", words.teeth, "--missing", words.missing);
    request.input_wheel =
        wheel_of("--input-teeth", words.input_teeth, "--input-missing", words.input_missing);
    return request;
}

std::string name_of(const RecordingWords& words) {
    const std::string name =
        words.name.empty() ? fs::path(words.files.front()).stem().string() : words.name;
    const bool plain =
        !name.empty() && name[0] != '.' && name.find_first_of("/\\\"'\n\r\t") == std::string::npos;
    if (!plain) {
        throw InputError(fmt::format("--name is \"{}\"; expected the name of a file without folder",
                                     visible_text(name)));
    }
    return name + "_recording";
}

}  // namespace

int recording(const Words& typed) {
    RecordingWords words;
    CLI::App app{"What workshop recordings show: orders, isolation, knocks, swings.",
                 "damper recording"};
    tie(app, words);
    if (!read_words(app, typed)) return to_int(ExitStatus::done);
    require_one_of("--format", words.format, {"text", "json"});
    if (words.files.size() > most_files) {
        throw InputError(
            fmt::format("{} recordings; expected at most {}", words.files.size(), most_files));
    }
    const RecordingOptions options = options_of(words);
    RecordingRequest request = request_of(words);
    const std::string name = name_of(words);
    const fs::path models = models_folder(words.models);
    const auto read = [&](const std::string& file) {
        return read_recording(locate(file, "recordings", models), options);
    };
    if (!words.run_down.empty()) {
        try {
            request.flywheel_pattern =
                pattern_of_run_down(read(words.run_down), request.flywheel_wheel);
        } catch (const ModelError& error) {
            throw InputError(
                fmt::format("--run-down {}: {}", visible_text(words.run_down), error.what()));
        }
        request.flywheel_wheel = request.flywheel_pattern->wheel;
    }
    std::vector<WorkshopRecording> recordings;
    for (const std::string& file : words.files) {
        for (WorkshopRecording& one :
             read_recordings(locate(file, "recordings", models), options)) {
            recordings.push_back(std::move(one));
        }
    }
    std::vector<RecordingFindings> found = find_in_recordings(recordings, request);
    for (RecordingFindings& one : found) {
        for (QualityNote& note : one.quality) {
            if (note.about == "take-up" || note.about == "torque-change") {
                note.text.append(" Read it with --manoeuvre ").append(note.about).append(".");
            }
        }
    }

    const std::string command_line = as_typed("damper recording", typed);
    std::string text =
        words.format == "json" ? recordings_json(found, command_line) : recordings_text(found);
    if (!words.out.empty()) {
        const OutputLock lock(words.out);
        const std::string stem = (fs::path(words.out) / name).string();
        const std::string table = stem + (words.format == "text" ? ".txt" : ".json");
        write_file_atomically(stem + ".html", html_recordings(found, command_line));
        write_file_atomically(table, text);
        if (words.format == "text") {
            for (const std::string& path : {stem + ".html", table}) {
                text += fmt::format("Written: {}\n", printable(path));
            }
        }
    }
    if (!words.quiet) print_result(text);
    const bool any = std::ranges::any_of(found, [](const auto& one) { return one.usable(); });
    return to_int(any ? ExitStatus::done : ExitStatus::limit_missed);
}

}  // namespace damper::command
