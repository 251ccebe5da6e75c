// SPDX-License-Identifier: MIT
#include "tools/damper/asked_file.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/describe/text_checks.hpp"
#include "libdamper/describe/write_complaint.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/studies/open_lines.hpp"

#include "tools/damper/ask_complaint.hpp"
#include "tools/damper/complaint_case.hpp"
#include "tools/damper/terminal.hpp"

#include <fmt/format.h>
#include <iostream>
#include <string>
#include <system_error>
#include <unistd.h>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t width = 100;

std::string text_of(const fs::path& file) {
    const auto bytes = read_file(file, largest_description);
    std::string out;
    for (const std::byte one : bytes) out += static_cast<char>(one);
    return out;
}

/// What it takes to read the file that is there, and to write it as it was.
struct Begun {
    fs::path file;
    std::string text;
    Complaint complaint;  ///< Recordings as seen from the file's folder.
};

Begun read_begun(const fs::path& file, const Knowledge& knowledge, const fs::path& models) {
    // Seen from here, so that a recording given with its whole path can be told from the others.
    const fs::path near = file.is_absolute() ? file.lexically_proximate(fs::current_path()) : file;
    const auto measures = measures_of(knowledge, models);
    Begun out{near, text_of(near),
              read_complaint(near, {knowledge.questions, knowledge.symptoms(), measures})};
    const fs::path folder = near.parent_path().lexically_normal();
    const auto see_from_folder = [&](auto& recordings) {
        for (auto& [kind, path] : recordings) {
            const fs::path seen = fs::path(path).lexically_relative(folder);
            if (!folder.empty() && !seen.empty()) path = seen.string();
        }
    };
    see_from_folder(out.complaint.recordings);
    if (out.complaint.repair) see_from_folder(out.complaint.repair->recordings);
    return out;
}

/// As a file, with what is still open in it.
std::string as_file(const Complaint& complaint, const fs::path& file, const Knowledge& knowledge,
                    const fs::path& models) {
    Complaint of_vehicle = complaint;
    of_vehicle.vehicle = vehicle_of(complaint, file, models);
    return complaint_toml(
        complaint, open_lines(of_vehicle, knowledge, models, folder_of("scenarios", models)));
}

/// Keeps what the file held under a name that is free.
fs::path kept_beside(const Begun& begun) {
    std::error_code ignored;
    fs::path kept = begun.file;
    kept += ".before";
    for (int n = 2; fs::exists(fs::symlink_status(kept, ignored)); ++n) {
        kept = begun.file;
        kept += fmt::format(".before{}", n);
    }
    write_file_atomically(kept, begun.text);
    return kept;
}

void say_next(const fs::path& file) {
    print_result(
        fmt::format("Written: {0}\nNow:\n  damper diagnose {0}\n", printable(file.string())) +
        wrapped("It says what to find out next. What can be answered, measured and "
                "recorded stands in the file as lines to fill in: take away the # before "
                "them. The same command with --ask goes on asking.",
                width));
}

void go_on(const fs::path& file, const Knowledge& knowledge, const fs::path& models,
           AnswerInput input) {
    const Begun begun = read_begun(file, knowledge, models);
    print_result(wrapped(fmt::format("Going on with {}: {}, {}; {} answered. What stands in it "
                                     "stays, Enter leaves a question open.",
                                     file.string(), begun.complaint.symptom,
                                     begun.complaint.vehicle, begun.complaint.answers.size()),
                         width));
    if (begun.complaint.repair) {
        print_result(
            wrapped("Asked is what was found before the repair; what was found since goes "
                    "under [repair.answers], by hand.",
                    width));
    }
    const Complaint asked = ask_complaint(knowledge, {}, begun.complaint, input);
    const bool same = asked.answers.size() == begun.complaint.answers.size() &&
                      asked.mileage == begun.complaint.mileage &&
                      asked.notes == begun.complaint.notes;
    if (same) {
        print_result(
            fmt::format("Nothing new was answered: {} is as it was.\n", printable(file.string())));
        return;
    }
    const std::string text = as_file(asked, begun.file, knowledge, models);
    if (as_file(begun.complaint, begun.file, knowledge, models) != begun.text) {
        print_result(
            fmt::format("Kept, with its comments: {}\n", printable(kept_beside(begun).string())));
    }
    write_file_atomically(begun.file, text);
    say_next(file);
}

}  // namespace

void write_asked(const fs::path& file, const Knowledge& knowledge, const fs::path& models) {
    const AnswerInput input{std::cin, isatty(STDIN_FILENO) == 1};
    std::error_code error;
    if (fs::exists(file, error)) {
        go_on(file, knowledge, models, input);
        return;
    }
    const Complaint complaint = ask_complaint(knowledge, vehicles_with_parts(models), {}, input);
    write_file_atomically(file, as_file(complaint, file, knowledge, models));
    say_next(file);
}

}  // namespace damper::command
