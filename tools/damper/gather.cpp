// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/study_text.hpp"
#include "libdamper/results/study_file.hpp"
#include "libdamper/studies/study_table.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/study.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <map>
#include <system_error>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Puts the shards of a study, which damper vary and damper scatter leave in their folders,\n"
    "together into one plain HDF5 file, and writes its page beside it. All must be of the same "
    "study and model;\n"
    "variants that are there twice must agree; missing parts are named.\n"
    "\nExample:\n"
    "  damper gather damper_study --out series.h5\n";

/// The 8 of "…part-3-of-8.shard"; 0 if the name is another.
std::int64_t parts_named(const fs::path& shard) {
    const std::string name = shard.stem().string();
    const std::size_t of = name.rfind("-of-");
    std::int64_t parts = 0;
    if (of == std::string::npos) return 0;
    std::from_chars(name.data() + of + 4, name.data() + name.size(), parts);
    return parts;
}

std::string missing_parts(const StudyRecord& record, const std::vector<fs::path>& shards) {
    const std::int64_t parts = parts_named(shards.front());
    std::string out =
        fmt::format("{} of {} variants are missing", record.missing_count, record.head.total);
    if (parts < 2) return out;
    std::map<std::int64_t, std::int64_t> counts;
    for (const auto& [from, to] : record.missing) {
        for (std::int64_t v = from; v <= to; ++v) ++counts[v % parts];
    }
    out += ", of";
    constexpr std::size_t most = 12;
    std::size_t told = 0;
    for (const auto& [part, count] : counts) {
        if (told++ == most) return out + fmt::format(" and {} parts more", counts.size() - most);
        out += fmt::format("{} part {} of {} ({})", told > 1 ? "," : "", part + 1, parts, count);
    }
    return out;
}

std::vector<fs::path> shards_of(const std::vector<std::string>& words) {
    std::vector<fs::path> out;
    for (const std::string& word : words) {
        std::error_code error;
        if (!fs::exists(word, error)) throw InputError(fmt::format("there is no {}", word));
        if (!fs::is_directory(word, error)) {
            out.emplace_back(word);
            continue;
        }
        const auto inside = shards_in(word);
        if (inside.empty()) throw InputError(fmt::format("{}: holds no shards of a study", word));
        out.insert(out.end(), inside.begin(), inside.end());
    }
    std::erase_if(out, hardly_begun);
    if (out.empty()) throw InputError("the shards are empty");
    return out;
}

}  // namespace

int gather(const Words& words) {
    std::vector<std::string> places, measures;
    std::string out, format = "text";
    bool quiet = false;
    CLI::App app{"Put the shards of a study together into one file.", "damper gather"};
    app.add_option("PLACE", places, "Folders with shards, or shard files")->required();
    app.add_option("-o,--out", out, "File to write (.h5); its page lies beside it")
        ->type_name("FILE")
        ->required();
    app.add_option("--measure", measures,
                   "Measure to look at, else those with a limit; may be given several times")
        ->type_name("NAME")
        ->allow_extra_args(false);
    tie_format(app, format, {"text", "json", "csv"});
    app.add_flag("--quiet", quiet, "Print errors only");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", format, {"text", "json", "csv"});
    if (fs::path(out).extension() != ".h5") {
        throw InputError(
            fmt::format("--out: found \"{}\", expected a file name that ends in .h5", out));
    }
    const std::vector<fs::path> shards = shards_of(places);
    StudyRecord record = gather_shards(shards);
    require_measures(record.head, measures);
    if (record.done() > 0) analyse(record, measures);
    write_study(out, record);
    const fs::path page = fs::path(out).replace_extension(".html");
    write_file_atomically(page, html_study(record));
    if (!quiet) {
        std::string text = study_in(format, record);
        if (format == "text") {
            text += fmt::format(
                "{} variants of {} shards, {} of them there more than once and equal; model "
                "{:.12}\n",
                record.variants.size(), shards.size(), record.duplicates, record.head.model_hash);
            text +=
                fmt::format("Written: {}\nWritten: {}\n", printable(out), printable(page.string()));
        }
        print_result(text);
    }
    if (record.missing_count == 0) return to_int(ExitStatus::done);
    print_error("damper gather: " + missing_parts(record, shards));
    return to_int(ExitStatus::not_finished);
}

}  // namespace damper::command
