// SPDX-License-Identifier: MIT
#include "tools/damper/study.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/study_text.hpp"
#include "libdamper/results/study_file.hpp"
#include "libdamper/studies/study_table.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/pace.hpp"
#include "tools/damper/ranks.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"

#include <algorithm>
#include <charconv>
#include <exception>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <system_error>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

StudyPart part_of(const std::string& text) {
    StudyPart out;
    const char* end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, out.part);
    const bool slash = first.ec == std::errc() && first.ptr != end && *first.ptr == '/';
    const auto second = slash ? std::from_chars(first.ptr + 1, end, out.parts) : first;
    constexpr std::int64_t most_parts = 100000;
    if (!slash || second.ec != std::errc() || second.ptr != end || out.part < 1 ||
        out.part > out.parts || out.parts > most_parts) {
        throw InputError(
            fmt::format("--shard: found \"{}\", expected I/N with 1 ≤ I ≤ N, such as 2/8", text));
    }
    --out.part;
    return out;
}

void remove_shards(const fs::path& folder, const StudyHead& head) {
    const std::string stem = fmt::format("{}_{}.part-", head.identity.scenario, head.verb);
    for (const fs::path& shard : shards_in(folder)) {
        std::error_code error;
        if (!shard.filename().string().starts_with(stem)) continue;
        fs::remove(shard, error);
        if (error) throw FileError(shard.string() + ": cannot be removed: " + error.message());
    }
}

std::vector<fs::path> own_shards(const fs::path& folder, const StudyHead& head) {
    const std::string stem = fmt::format("{}_{}.part-", head.identity.scenario, head.verb);
    std::vector<fs::path> out = shards_in(folder);
    std::erase_if(out, [&](const fs::path& shard) {
        return !shard.filename().string().starts_with(stem) || hardly_begun(shard);
    });
    return out;
}

/// Runs what is missing of a part and calls `keep` with each result.
void run_part(const VariantStudy& study, const StudyHead& head, const VariantSet& done,
              StudyPart part, const StudyOptions& options,
              const std::function<void(const VariantResult&)>& keep) {
    const auto threads = static_cast<std::size_t>(whole_in("--threads", options.threads, 0, 1024));
    ProgressLine line("Running variants", !options.quiet);
    Pace pace((head.total - part.part + part.parts - 1) / part.parts);
    const Progress progress{.report = [&](double share) { line.show(share, pace.at(share)); },
                            .stop_requested = [] { return stop_signal() != 0; }};
    run_variants(study, head, done, part, threads, keep, progress);
}

int finished(StudyRecord record, const StudyOptions& options, const std::string& written) {
    std::string text = study_in(options.format, record);
    if (options.format == "text") text += written;
    if (!options.quiet) print_result(text);
    if (stop_signal() != 0) return 128 + stop_signal();
    return to_int(record.done() > 0 ? ExitStatus::done : ExitStatus::not_finished);
}

int leave_results(const StudyHead& head, const StudyOptions& options) {
    const fs::path folder = options.out;
    StudyRecord record = gather_shards(own_shards(folder, head));
    analyse(record, options.measures);
    const fs::path stem = folder / fmt::format("{}_{}", head.identity.scenario, head.verb);
    const auto ending = [&](const char* end) { return fs::path(stem.string() + end); };
    const fs::path table = ending(options.format == "json"  ? ".json"
                                  : options.format == "csv" ? ".csv"
                                                            : ".txt");
    write_study(ending(".h5"), record);
    write_file_atomically(ending(".html"), html_study(record));
    write_file_atomically(table, study_in(options.format, record));
    std::string written;
    for (const fs::path& path : {ending(".h5"), ending(".html"), table}) {
        written += fmt::format("Written: {}\n", printable(path.string()));
    }
    return finished(std::move(record), options, written);
}

void make_folder(const fs::path& folder) {
    std::error_code error;
    fs::create_directories(folder, error);
    if (error) {
        throw FileError(fmt::format("{}: cannot be made: {}", folder.string(), error.message()));
    }
}

/// What lies in the folder of this study already.
VariantSet taken_up(const StudyHead& head, const StudyOptions& options) {
    make_folder(options.out);
    if (options.fresh) remove_shards(options.out, head);
    VariantSet done = variants_in(options.out, head);
    if (options.resume && done.count() == 0) {
        throw InputError(
            fmt::format("--resume: there is nothing of this study in {}", options.out));
    }
    return done;
}

int stopped(const VariantSet& done, const StudyOptions& options) {
    print_error(fmt::format(
        "Stopped: {} of {} variants are kept in {}; the same command goes on from there.",
        done.count(), done.total(), options.out));
    return 128 + stop_signal();
}

/// Does the share of this rank and keeps it in a shard of its own.
void run_rank(const VariantStudy& study, const StudyHead& head, const VariantSet& done,
              const StudyOptions& options) {
    const Ranks& ranks = Ranks::all();
    std::vector<std::uint64_t> pending;
    for (std::int64_t v = 0; ranks.is_first() && v < head.total; ++v) {
        const auto variant = static_cast<std::uint64_t>(v);
        if (!done.holds(variant)) pending.push_back(variant);
    }
    const std::int64_t before = done.count();
    const auto threads = std::max<std::size_t>(
        1, static_cast<std::size_t>(whole_in("--threads", options.threads, 0, 1024)));
    const auto stop = [] { return stop_signal() != 0; };
    ShardWriter shard(
        fs::path(options.out) / shard_name(head, {.part = ranks.rank(), .parts = ranks.count()}),
        head);
    ProgressLine line("Running variants", !options.quiet && ranks.is_first());
    Pace pace(head.total);
    Handout handout(std::move(pending), threads, stop);
    const auto keep = [&](const VariantResult& result) {
        shard.append(result);
        const auto out = before + static_cast<std::int64_t>(handout.handed_out());
        const double share = static_cast<double>(out) / static_cast<double>(head.total);
        line.show(share, pace.at(share));
    };
    run_variants(
        study, head, [&] { return handout.next(); }, threads, keep, stop);
    shard.finish();
}

/// The study on all ranks that mpirun started: one folder, a shard a rank; the first one looks
/// after the folder and leaves the results.
int run_over_ranks(const VariantStudy& study, const StudyOptions& options) {
    const Ranks& ranks = Ranks::all();
    std::exception_ptr refused;
    std::optional<StudyHead> head;
    std::optional<VariantSet> done;
    if (ranks.is_first()) {
        try {
            head = head_of(study);
            require_measures(*head, options.measures);
            done = taken_up(*head, options);
        } catch (...) {
            refused = std::current_exception();
        }
    }
    if (!ranks.as_first_says(!refused)) {
        if (refused) std::rethrow_exception(refused);
        return to_int(ExitStatus::bad_input);  // the first one has said why
    }
    try {
        if (!head) head = head_of(study);
        if (!done) done.emplace(head->total);
        run_rank(study, *head, *done, options);
    } catch (...) {
        refused = std::current_exception();
    }
    const bool all_well = ranks.all_say(!refused);
    if (refused) std::rethrow_exception(refused);
    if (!ranks.is_first()) return to_int(ExitStatus::done);
    done = variants_in(options.out, *head);
    if (stop_signal() != 0) return stopped(*done, options);
    if (!all_well || done->count() < done->total()) {
        throw FileError(fmt::format(
            "{} of {} variants are finished and kept in {}; the same command goes on from there.",
            done->count(), done->total(), options.out));
    }
    return leave_results(*head, options);
}

int run_in_folder(const VariantStudy& study, const StudyHead& head, StudyPart part,
                  const StudyOptions& options) {
    const fs::path folder = options.out;
    VariantSet done = taken_up(head, options);
    const fs::path path = folder / shard_name(head, part);
    try {
        ShardWriter shard(path, head);
        run_part(study, head, done, part, options, [&](const VariantResult& result) {
            shard.append(result);
            done.add(result.variant);
        });
        shard.finish();
        if (stop_signal() == 0 && done.count() == done.total()) return leave_results(head, options);
    } catch (const FileError& refused) {
        throw FileError(fmt::format(
            "{}\n    {} of {} variants are finished and kept in {}; the same command goes on from "
            "there.",
            refused.what(), done.count(), done.total(), options.out));
    }
    if (stop_signal() != 0) return stopped(done, options);
    if (!options.quiet) {
        print_result(
            fmt::format("Part {} of {} is done: {} of {} variants are in {}. When all parts are:\n"
                        "  damper gather {} --out FILE.h5\n",
                        part.part + 1, part.parts, done.count(), done.total(),
                        printable(options.out), printable(options.out)));
    }
    return to_int(ExitStatus::done);
}

}  // namespace

void StudyOptions::tie_to(CLI::App& app, const std::string& count_help) {
    app.add_option("--count", count, count_help)->type_name("N");
    app.add_option("--measure", measures,
                   "Measure to look at, else those with a limit; may be given several times")
        ->type_name("NAME")
        ->allow_extra_args(false);
    app.add_option("--seed", seed, "Another number draws other variants")
        ->type_name("N")
        ->capture_default_str();
    app.add_option("-o,--out", out,
                   "Folder for results; variants are kept there as they come, and a study that was "
                   "cut short goes on")
        ->type_name("DIR");
    app.add_option("--threads", threads, "Runs at a time; 0: as many as the processor can")
        ->type_name("N")
        ->capture_default_str();
    app.add_option("--shard", shard, "Do only part I of N, for several machines or jobs")
        ->type_name("I/N")
        ->capture_default_str();
    app.add_flag("--resume", resume, "Only go on with a study that lies in the folder");
    app.add_flag("--fresh", fresh, "Forget what lies in the folder of this study and begin anew");
    description.tie_to(app);
    tie_format(app, format, {"text", "json", "csv"});
    app.add_flag("--quiet", quiet, "Print errors only");
}

void StudyOptions::take(const StudyOverlay& overlay, const CLI::App& app) {
    overlay.fill(count, app, "--count", "count");
    overlay.fill(seed, app, "--seed", "seed");
    if (measures.empty()) StudyOverlay::put_before(measures, overlay.file().measures);
}

std::int64_t StudyOptions::count_or(std::int64_t otherwise) const {
    if (count.empty()) return otherwise;
    return whole_in("--count", count, 1, static_cast<double>(StudyPlan::most_variants));
}

std::uint64_t StudyOptions::seed_number() const {
    return static_cast<std::uint64_t>(whole_in("--seed", seed, 0, 1e9));
}

fs::path scenario_file(const StudyOptions& options, const ReadOptions& read,
                       const std::string& verb) {
    if (options.scenarios.size() != 1) {
        throw InputError(fmt::format("{} takes one scenario; found {}", verb,
                                     fmt::join(options.scenarios, " and ")));
    }
    return find_description(options.scenarios.front(), read.models,
                            {verb, "a scenario", {"scenarios"}, {&scenario_schema()}})
        .file;
}

void require_measures(const StudyHead& head, const std::vector<std::string>& names) {
    std::vector<std::string> known;
    for (const StudyMeasure& one : head.measures) known.push_back(one.name);
    for (const std::string& name : names) require_one_of("--measure", name, known);
}

std::string study_in(const std::string& format, const StudyRecord& record) {
    return format == "json"  ? study_json(record)
           : format == "csv" ? study_csv(record)
                             : study_text(record);
}

int run_study(const VariantStudy& study, const StudyOptions& options) {
    require_one_of("--format", options.format, {"text", "json", "csv"});
    const StudyPart part = part_of(options.shard);
    if (options.out.empty() && (part.parts > 1 || options.resume || options.fresh)) {
        throw InputError("--shard, --resume and --fresh need --out, where the variants are kept");
    }
    if (options.resume && options.fresh)
        throw InputError("--resume and --fresh exclude each other");
    if (Ranks::all().count() > 1) {
        if (options.out.empty()) {
            throw InputError("under mpirun --out is needed: a folder that all processes see");
        }
        if (part.parts > 1) {
            throw InputError("--shard and mpirun are two ways to share the work: give one of them");
        }
        watch_stop_signals();
        return run_over_ranks(study, options);
    }
    watch_stop_signals();
    const StudyHead head = head_of(study);
    require_measures(head, options.measures);
    if (!options.out.empty()) return run_in_folder(study, head, part, options);
    StudyTable table(head);
    run_part(study, head, VariantSet(head.total), part, options,
             [&](const VariantResult& result) { table.add(result, "this run"); });
    StudyRecord record = table.finish();
    if (record.done() > 0) analyse(record, options.measures);
    return finished(std::move(record), options, "");
}

}  // namespace damper::command
