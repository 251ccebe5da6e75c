// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/text_checks.hpp"

#include "tools/bench/bench_page.hpp"
#include "tools/damper/built_in.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <system_error>
#include <utility>
#include <variant>
#include <vector>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "One page with all vehicles, discs and scenarios of the models folder and the calculation\n"
    "itself: it works from a file, without network or server. Discs and complaints that it saves\n"
    "are description files: damper run and damper compare take the disc, damper diagnose the "
    "complaint.\n"
    "\nExample:\n"
    "  damper bench --out bench.html\n";

using Files = std::vector<std::pair<std::string, std::string>>;

/// Descriptions and recordings of a folder and those below it, under the names they have there.
void add_folder(const fs::path& folder, const std::string& name, Files& files) {
    std::error_code error;
    std::vector<fs::path> found;
    for (fs::recursive_directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        const fs::path ending = entry->path().extension();
        if (ending == ".toml" || ending == ".csv") found.push_back(entry->path());
    }
    std::sort(found.begin(), found.end());
    for (const fs::path& file : found) {
        auto bytes = file_bytes(file, largest_description);
        auto* text = std::get_if<std::string>(&bytes);
        if (text == nullptr) continue;
        files.emplace_back(name + "/" + file.lexically_relative(folder).generic_string(),
                           std::move(*text));
    }
}

}  // namespace

int bench(const Words& words) {
    std::string out = "bench.html";
    std::string models;
    bool quiet = false;
    CLI::App app{"Write a page on which discs are tried out.", "damper bench"};
    app.add_option("-o,--out", out, "Page to write")->type_name("FILE")->capture_default_str();
    app.add_option("--models", models,
                   "Folder of the parts (else $DAMPER_MODELS, else built in), with the folder "
                   "scenarios beside it")
        ->type_name("DIR");
    app.add_flag("--quiet", quiet, "Print errors only");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    if (!has_bench_page()) {
        throw InputError(
            "this program was built without the bench page, because emscripten was missing. To "
            "mend: tools/setup_packages bench, then configure and build again");
    }
    const fs::path folder = needed_models_folder(models);
    Files files;
    add_folder(folder, "models", files);
    add_folder(folder_of("scenarios", folder), "scenarios", files);
    const bool any = std::any_of(files.begin(), files.end(), [](const auto& file) {
        return file.first.starts_with("scenarios/");
    });
    if (!any) {
        throw InputError(
            fmt::format("{} has no scenarios beside it: there would be nothing to try "
                        "discs in",
                        folder.empty() ? "the models folder" : folder.string()));
    }
    write_file_atomically(out, bench_page(files));
    if (!quiet) print_result(fmt::format("Written: {}\n", printable(out)));
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
