// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/page_of.hpp"
#include "libdamper/results/any_record.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <filesystem>
#include <fmt/format.h>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "The page needs no other file and no network.\n"
    "\nExample:\n"
    "  damper report damper_out/car_idle_hot.h5 --out car_idle_hot.html\n";

}  // namespace

int report(const Words& words) {
    std::string result;
    std::string out;
    bool quiet = false;
    CLI::App app{"Write the page of a file of results.", "damper report"};
    app.add_option("RESULT", result, "File (.h5) that a verb left with --out")->required();
    app.add_option("-o,--out", out, "Page to write (else beside the result, .html)")
        ->type_name("FILE");
    app.add_flag("--quiet", quiet, "Print errors only");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);

    std::error_code ignored;
    if (!fs::exists(result, ignored)) throw InputError(fmt::format("there is no file {}", result));
    const fs::path page = out.empty() ? fs::path(result).replace_extension(".html") : fs::path(out);
    if (fs::equivalent(page, result, ignored)) {
        throw InputError(fmt::format("--out names the result file itself, {}", result));
    }
    write_file_atomically(page, page_of(read_any(result)));
    if (!quiet) print_result(fmt::format("Written: {}\n", printable(page.string())));
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
