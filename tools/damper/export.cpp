// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/signals_csv.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/results/any_record.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <fstream>
#include <string>
#include <variant>
#include <vector>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "A table for spreadsheets: commas, decimal points, names with units. Without --signal the "
    "speeds of\n"
    "flywheel and gearbox input, as damper recording and the [recordings] of a complaint read "
    "them, from\n"
    "where the run is measured on (half a second before a change of torque).\n"
    "\nExample:\n"
    "  damper export damper_out/car_idle_hot.h5 -o car_idle_hot.csv\n";

constexpr std::string_view table_begins = "time [s],";

RunRecord run_of(const std::string& result) {
    std::error_code ignored;
    if (!fs::exists(result, ignored)) {
        throw InputError(fmt::format("there is no file {}", printable(result)));
    }
    AnyRecord record = read_any(result);
    auto* run = std::get_if<RunRecord>(&record);
    if (run == nullptr) {
        throw InputError(
            fmt::format("{} holds no signals in time; expected a file that damper run left",
                        printable(result)));
    }
    return std::move(*run);
}

std::vector<std::string> names_of(const RunRecord& run) {
    std::vector<std::string> out;
    for (const Signal& signal : run.signals.signals) out.push_back(visible_text(signal.name));
    return out;
}

/// Each name once, in the order in which they are asked for.
std::vector<std::string> asked(const RunRecord& run, const std::vector<std::string>& words) {
    if (words.empty()) return usual_signals(run);
    std::vector<std::string> out;
    for (const std::string& word : words) {
        if (!run.signals.has(word)) {
            throw InputError(fmt::format("--signal: there is no signal {}{}\n    There are: {}.",
                                         printable(word), did_you_mean(word, names_of(run)),
                                         fmt::join(names_of(run), ", ")));
        }
        if (std::ranges::find(out, word) == out.end()) out.push_back(word);
    }
    return out;
}

/// A table of an earlier export is replaced; a recording or a letter of the same name is not.
void require_own(const fs::path& out, const fs::path& result) {
    std::error_code ignored;
    if (!fs::is_regular_file(out, ignored)) return;
    if (fs::equivalent(out, result, ignored)) {
        throw InputError(
            fmt::format("--out names the result file itself, {}", printable(out.string())));
    }
    std::ifstream file(out, std::ios::binary);
    std::string begin(table_begins.size(), '\0');
    file.read(begin.data(), static_cast<std::streamsize>(begin.size()));
    begin.resize(static_cast<std::size_t>(file.gcount()));
    if (begin.empty() || begin == table_begins) return;
    throw InputError(fmt::format(
        "--out: {} is there and is no table of damper export; expected a new name, or remove it "
        "first",
        printable(out.string())));
}

}  // namespace

int export_signals(const Words& words) {
    std::string result, out;
    std::vector<std::string> signals;
    bool list = false, whole = false, quiet = false;
    CLI::App app{"Signals of a run in time, as a table (CSV).", "damper export"};
    app.add_option("RESULT", result, "File (.h5) that damper run left")->required();
    app.add_option("--signal", signals, "Signal to write; may be given several times")
        ->type_name("NAME")
        ->allow_extra_args(false);
    app.add_flag("--list", list, "Only list the signals with their units");
    app.add_flag("--whole", whole, "From the beginning of the run, settling too");
    app.add_option("-o,--out", out, "Table to write, else standard output")->type_name("FILE");
    app.add_flag("--quiet", quiet, "Print errors only");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    if (list && (!out.empty() || !signals.empty())) {
        throw InputError("--list goes without --signal and --out");
    }

    const RunRecord run = run_of(result);
    if (list) {
        print_result(signals_list(run));
        return to_int(ExitStatus::done);
    }
    const std::vector<std::string> names = asked(run, signals);
    const double from = whole ? 0.0 : usual_begin(run);
    if (names.empty() || run.signals.index_at(from) >= run.signals.time.size()) {
        throw InputError(fmt::format(
            "{} has {}", printable(result),
            names.empty() ? "no signals"
                          : fmt::format("no samples from {:.4g} s on, where it would be measured; "
                                        "--whole takes what there is",
                                        from)));
    }
    if (out.empty()) {
        if (!quiet) print_result(signals_csv(run, names, from));
        return to_int(ExitStatus::done);
    }
    require_own(out, result);
    write_file_atomically(out, signals_csv(run, names, from));
    if (!quiet) print_result(fmt::format("Written: {}\n", printable(out)));
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
