// SPDX-License-Identifier: MIT
#include "libdamper/recordings/read_recording.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/measured_table.hpp"
#include "libdamper/quantity/quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"
#include "libdamper/recordings/read_wav.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <variant>

namespace damper {

namespace {

constexpr double most_speed = 20000.0 * std::numbers::pi / 30.0;  // [rad/s]
constexpr double most_acceleration = 1e5;                         // [m/s2]
constexpr double latest = 3.2e8;                                  // [s]
constexpr std::size_t most_findings = 5;

TableRequest request_of(const RecordingOptions& options) {
    TableRequest request;
    const auto column = [&](const char* key, const Dimension& due, std::vector<std::string> names) {
        request.columns.push_back({.key = key,
                                   .due = due,
                                   .names = std::move(names),
                                   .required = false,
                                   .rising = due == Time::dimension});
    };
    column("time", Time::dimension, {"time", "t"});
    column("speed", AngularSpeed::dimension, {"speed", "n"});
    column("flywheel", AngularSpeed::dimension,
           {"flywheel speed", "engine speed", "crank speed", "crankshaft speed", "flywheel"});
    column("input", AngularSpeed::dimension,
           {"gearbox input speed", "input speed", "input shaft speed", "gearbox input"});
    column("acceleration", Acceleration::dimension, {"acceleration", "a", "vehicle acceleration"});
    column("pulse", Time::dimension, {"pulse time", "edge time", "tooth time"});
    column("flywheel pulse", Time::dimension, {"flywheel pulse time", "crank pulse time"});
    column("input pulse", Time::dimension, {"gearbox input pulse time", "input pulse time"});
    request.fewest_rows = 4;
    request.fewest_columns = 1;
    request.example = "time [s]; flywheel speed [rpm]";
    request.separator = options.separator;
    request.decimal = options.decimal;
    request.has_options = options.has_options;
    return request;
}

[[noreturn]] void refuse(const std::string& name, std::string found, std::string expected,
                         std::string mend) {
    throw InputError(
        {{{name, 0, 0, ""}, "", std::move(found), std::move(expected), std::move(mend)}});
}

class Checked {
  public:
    explicit Checked(const MeasuredTable& table) : table_(table) {}

    void rising(const std::string& key, const std::vector<double>& time) {
        for (std::size_t i = 1; i < time.size() && findings_.size() < most_findings; ++i) {
            if (time[i] > time[i - 1]) continue;
            findings_.push_back({table_.place(i), key, fmt::format("{:.9g} s twice", time[i]),
                                 "a time that rises from row to row",
                                 "Leave out rows that stand twice, or record with a finer clock."});
        }
        within(key, time, latest, "s");
        if (findings_.empty() && !(time.back() - time.front() > 0.0)) {
            findings_.push_back({table_.place(0), key, "no time between first and last row",
                                 "a recording that lasts", ""});
        }
    }

    void within(const std::string& key, const std::vector<double>& values, double most,
                const char* units) {
        for (std::size_t i = 0; i < values.size() && findings_.size() < most_findings; ++i) {
            if (std::abs(values[i]) <= most) continue;
            findings_.push_back({table_.place(i), key, fmt::format("{:.4g} {}", values[i], units),
                                 fmt::format("at most {:.4g} {}", most, units),
                                 "Look at the unit of the column."});
        }
    }

    void finish() const {
        if (!findings_.empty()) throw InputError(findings_);
    }

  private:
    const MeasuredTable& table_;
    std::vector<Finding> findings_;
};

/// "a", "b" and 3 more.
std::string named(const std::vector<std::string>& headings) {
    constexpr std::size_t most = 8;
    std::string out;
    for (std::size_t i = 0; i < std::min(most, headings.size()); ++i) {
        out += (i > 0 ? ", " : "") + quote(headings[i]);
    }
    if (headings.size() > most) out += fmt::format(" and {} more", headings.size() - most);
    return out;
}

bool has_pulses(const MeasuredTable& table) {
    return table.has("pulse") || table.has("flywheel pulse") || table.has("input pulse");
}

bool has_speed(const MeasuredTable& table) {
    return table.has("speed") || table.has("flywheel") || table.has("input");
}

/// The columns make one recording. Judged before the numbers: while a column is missing, what the
/// numbers are like is not the question.
void look_at_names(const MeasuredTable& table, const RecordingOptions& options) {
    if (has_pulses(table)) {
        if (table.has("time")) {
            refuse(table.file, "a time and pulse times in one table", "one of them",
                   "Put the pulses of each wheel into a file of their own.");
        }
        const int wheels = (table.has("input pulse") ? 1 : 0) +
                           (table.has("flywheel pulse") ? 1 : 0) + (table.has("pulse") ? 1 : 0);
        if (wheels > 1) {
            refuse(table.file, "pulses of two wheels in one table", "one wheel a file",
                   "Put the pulses of each wheel into a file of their own.");
        }
        return;
    }
    if (!table.has("time") || (!has_speed(table) && !table.has("acceleration"))) {
        std::string found = table.has("time")
                                ? "a time, but nothing measured at it that has a known name"
                                : "no column \"time\" and none \"pulse time\"";
        if (!table.unused.empty()) found += "; there is " + named(table.unused);
        refuse(table.file, std::move(found),
               "\"time\" with \"flywheel speed\", \"gearbox input speed\", both, or "
               "\"acceleration\"; or \"pulse time\"",
               "Name the columns, with their units: \"time [s]\", \"flywheel speed [rpm]\".");
    }
    if (options.acceleration && !table.has("acceleration")) {
        refuse(table.file, "no column \"acceleration\"", "one with m/s2 or g as its unit",
               "Name the column, or name the file as what it holds.");
    }
    if (table.has("speed") &&
        table.has(options.shaft == RecordedShaft::input ? "input" : "flywheel")) {
        refuse(table.file, "two columns for the speed of one shaft", "one",
               "Name \"speed\" after its shaft, \"flywheel speed\" or \"gearbox input speed\".");
    }
}

void take_pulses(const MeasuredTable& table, const RecordingOptions& options,
                 WorkshopRecording& out) {
    const bool input = table.has("input pulse"), flywheel = table.has("flywheel pulse");
    const std::string key = input ? "input pulse" : flywheel ? "flywheel pulse" : "pulse";
    out.kind = RecordingKind::pulses;
    out.pulses_of = input      ? RecordedShaft::input
                    : flywheel ? RecordedShaft::flywheel
                               : options.shaft;
    out.time = table.column(key).values;
    Checked checked(table);
    checked.rising(key, out.time);
    checked.finish();
}

void take_rows(const MeasuredTable& table, const RecordingOptions& options,
               WorkshopRecording& out) {
    const bool speeds = has_speed(table) && !options.acceleration;
    out.kind = speeds ? RecordingKind::speed : RecordingKind::acceleration;
    out.has_acceleration = has_speed(table) && table.has("acceleration");
    out.time = table.column("time").values;
    if (speeds) {
        out.flywheel = table.column("flywheel").values;
        out.input = table.column("input").values;
    } else {
        out.acceleration = table.column("acceleration").values;
    }
    if (speeds && table.has("speed")) {
        (options.shaft == RecordedShaft::input ? out.input : out.flywheel) =
            table.column("speed").values;
    }
    Checked checked(table);
    checked.rising("time", out.time);
    checked.within("flywheel speed", out.flywheel, most_speed, "rad/s");
    checked.within("gearbox input speed", out.input, most_speed, "rad/s");
    checked.within("acceleration", out.acceleration, most_acceleration, "m/s2");
    checked.finish();
}

}  // namespace

WorkshopRecording parse_recording(std::string_view bytes, const std::string& name,
                                  const RecordingOptions& options) {
    const bool wav = bytes.starts_with("RIF") || bytes.starts_with("RF64") ||
                     (bytes.size() > 12 && bytes.substr(8, 4) == "WAVE");
    if (wav) return parse_wav(bytes, name, options.channel);
    if (bytes.size() > largest_table) {
        refuse(name, fmt::format("a table of {} bytes", bytes.size()),
               fmt::format("at most {} bytes", largest_table),
               "Cut the part out that is to be looked at.");
    }
    TableRequest request = request_of(options);
    request.look_at_names = [&](const MeasuredTable& table) { look_at_names(table, options); };
    const MeasuredTable table = parse_measured_table(bytes, name, request);
    WorkshopRecording out{.name = name, .sha256 = table.sha256};
    if (!table.unused.empty()) {
        out.remarks.push_back(fmt::format("Not used, as no recording has {} of that name: {}.",
                                          table.unused.size() == 1 ? "a column" : "columns",
                                          named(table.unused)));
    }
    if (has_pulses(table)) {
        take_pulses(table, options, out);
    } else {
        take_rows(table, options, out);
    }
    return out;
}

WorkshopRecording read_recording(const std::filesystem::path& file,
                                 const RecordingOptions& options) {
    const std::string name = file.lexically_normal().generic_string();
    auto bytes = file_bytes(file, largest_wav);
    if (const auto* none = std::get_if<NoBytes>(&bytes)) {
        refuse(name, none->why, "a recording: a table, or a WAV file", "");
    }
    const std::string& all = std::get<std::string>(bytes);
    if (all.starts_with("RIFF") || file.extension() != ".wav") {
        return parse_recording(all, name, options);
    }
    return parse_wav(all, name, options.channel);
}

std::vector<WorkshopRecording> read_recordings(const std::filesystem::path& file,
                                               const RecordingOptions& options) {
    std::vector<WorkshopRecording> out{read_recording(file, options)};
    if (!out.front().has_acceleration || options.acceleration) return out;
    RecordingOptions other = options;
    other.acceleration = true;
    out.push_back(read_recording(file, other));
    out.back().name += " (acceleration)";
    return out;
}

}  // namespace damper
