// SPDX-License-Identifier: MIT
// Files of every kind but a run's: what is read back is what was written, and a file from which
// something was taken is refused or read, never a crash.
#include "libdamper/results/any_record.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/results/cover_file.hpp"
#include "libdamper/results/fit_file.hpp"
#include "libdamper/results/modes_file.hpp"
#include "libdamper/results/orbit_file.hpp"
#include "libdamper/results/response_file.hpp"
#include "libdamper/results/result_file.hpp"
#include "libdamper/results/seal.hpp"
#include "libdamper/results/study_file.hpp"

#include "tests/results/forged_file.hpp"
#include "tests/results/rich_record.hpp"
#include "tests/support/sample_modes.hpp"
#include "tests/support/sample_orbit.hpp"
#include "tests/support/sample_response.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <functional>
#include <hdf5.h>
#include <limits>
#include <string>
#include <vector>

using namespace damper;

namespace {

using Bytes = std::vector<std::byte>;
constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

Verdict verdict() {
    Verdict made;
    made.grade = Grade::watch;
    made.headline = "Watch <it>";
    made.reasons = {"because"};
    made.judgements = {Judgement{}};
    made.judgements[0].measure = "factor";
    made.judgements[0].value = 1.5;
    made.cautions = {"mind your fingers"};
    return made;
}

CoverRecord cover() {
    CoverRecord record;
    record.identity.title = "A cover 漢字";
    record.identity.inputs = {{"a.toml", std::string(64, 'a')}};
    record.release = "push";
    record.discs = 2;
    record.torque = 200.0;
    record.pedal_force = 90.0;
    record.states = {{.name = "new", .clamp_load = 5e3},
                     {.name = "worn", .needed_travel = no_number}};
    record.spring = {{1e-3, 100.0}, {2e-3, 150.0}};
    record.wear = {{.wear = 0.0, .clamp_load = 5e3}, {.wear = 1e-3, .clamp_load = 4e3}};
    record.release_curves = {{"new", {{.travel = 1e-3}}}, {"worn", {{.travel = 2e-3}}}};
    record.temperatures = {{300.0, 0.3, 400.0, 350.0}};
    record.cases = {{.name = "oil", .factor = 0.7}};
    record.comparisons = {{.what = "clamp load",
                           .against = "wear",
                           .units = "N",
                           .file = "b.csv",
                           .sha256 = std::string(64, 'b'),
                           .x = {0.0, 1.0},
                           .measured = {1.0, 2.0},
                           .computed = {1.0, 2.5},
                           .deviation = {0.0, -0.2},
                           .mean = -0.1,
                           .largest = -0.2}};
    record.figures = {MeasureValue{}};
    record.figures[0].name = "factor";
    record.figures[0].value = 1.5;
    record.verdict = verdict();
    return record;
}

HeatRecord heat() {
    HeatRecord record;
    record.identity.title = "A start";
    record.gear = "1";
    record.plates = {"flywheel", "pressure plate"};
    record.slip_share = {0.5, 0.5};
    record.starts = {{.name = "level", .energy = 1e4}, {.name = "hill", .energy = 3e4}};
    record.steps = {{.number = 1, .before = {300.0, 301.0}, .after = {310.0, 312.0}}};
    record.starts_to_limit = 12;
    record.history = {{0.0, 1.0, 2.0}, {{300.0, 301.0}, {310.0, 312.0}, {305.0, 306.0}}};
    record.ended = "the clutch fades";
    record.verdict = verdict();
    return record;
}

FitRecord fit() {
    FitRecord record;
    record.identity.title = "A loop";
    record.name = "found";
    record.stages = 2;
    FitFigure figure;
    figure.key = "stages[0].stiffness";
    figure.value = 10.0;
    figure.relative = true;
    figure.standing = "edge";
    record.figures = {figure};
    record.runs.resize(2);
    record.runs[0].name = "full.csv";
    record.runs[0].loops = 2;
    record.runs[0].twist = {0.0, 0.1, 0.0};
    record.runs[0].torque = {0.0, 1.0, 0.1};
    record.runs[0].law = {0.0, 1.0, 0.0};
    record.runs[0].rising = {1, 1, 0};
    record.tried = {{.stages = 2, .play = true, .criterion = 4.0}};
    record.notes = {"left open"};
    record.findings = {"worn"};
    record.nominal = "A disc";
    record.within = false;
    record.loop = {{-0.1, 0.1}, {-1.0, 1.0}, {-1.1, 0.9}, {{"drive stop", 0.1, 1.0}}};
    record.nominal_loop = {{-0.2, 0.2}, {-2.0, 2.0}, {-2.1, 1.9}, {}};
    return record;
}

StudyRecord study() {
    StudyRecord record;
    StudyHead& head = record.head;
    head.identity.title = "A study";
    head.identity.conditions = {{"oil", "80 degC"}};
    head.verb = "vary";
    head.design = "grid";
    head.nominal = "good";
    head.solver = "exact";
    head.asked = head.total = 4;
    head.keys = {{.key = "disc.stages[0].stiffness",
                  .asked = "times 0.5..1:2",
                  .units = "1",
                  .multiplies = true,
                  .levels = {0.5, 1.0},
                  .choices = {}},
                 {.key = "disc",
                  .asked = "soft|hard",
                  .units = "",
                  .multiplies = false,
                  .levels = {},
                  .choices = {"soft", "hard"}}};
    head.measures.resize(2);
    head.measures[0].name = "absent";
    head.measures[1].name = "rattle";
    head.measures[1].nominal = no_number;
    seal_head(head);
    record.variants = {0, 1, 2, 3};
    record.ended = {0, 0, 0, 1};
    record.values = {{0.5, 1.0, 0.5, 1.0}, {0.0, 0.0, 1.0, 1.0}};
    record.present = {1};
    record.measures = {{1.0, 2.0, 3.0, no_number}};
    record.grades = {{0, 1, 2, -1}};
    record.refused = 1;
    record.any_share = 0.25;
    record.limits.resize(1);
    record.limits[0].measure = "rattle";
    record.limits[0].judged = 3;
    record.statistics = {{.measure = "rattle", .units = "W", .count = 3, .mean = 2.0}};
    record.influences = {{"rattle", "disc", 0.5, -0.7}};
    record.failures = {{3, "out of range"}};
    record.missing = {{4, 5}};
    record.missing_count = 2;
    return record;
}

struct Written {
    Bytes operator()(const RunRecord& record) const { return result_bytes(record); }
    Bytes operator()(const ModesRecord& record) const { return modes_bytes(record); }
    Bytes operator()(const ResponseRecord& record) const { return response_bytes(record); }
    Bytes operator()(const OrbitRecord& record) const { return orbit_bytes(record); }
    Bytes operator()(const CoverRecord& record) const { return cover_bytes(record); }
    Bytes operator()(const HeatRecord& record) const { return heat_bytes(record); }
    Bytes operator()(const FitRecord& record) const { return fit_bytes(record); }
    Bytes operator()(const StudyRecord& record) const { return study_bytes(record); }
};

Bytes written(const AnyRecord& record) {
    return std::visit(Written{}, record);
}

std::vector<AnyRecord> one_of_each() {
    return {damper::testing::rich_record(20),
            sample::modes(),
            sample::response(),
            sample::orbit(),
            cover(),
            heat(),
            fit(),
            study()};
}

extern "C" herr_t note_path(hid_t, const char* name, const H5O_info_t*, void* paths) {
    if (std::string(name) != ".") static_cast<std::vector<std::string>*>(paths)->emplace_back(name);
    return 0;
}

std::vector<std::string> paths_in(const Bytes& sealed) {
    std::vector<std::string> paths;
    (void)testing::forged(sealed, [&](hid_t file) {
        (void)H5Ovisit2(file, H5_INDEX_NAME, H5_ITER_NATIVE, note_path, &paths, H5O_INFO_BASIC);
    });
    return paths;
}

/// What the reader says; empty if it takes the file.
std::string refusal(const Bytes& bytes) {
    try {
        (void)parse_any(bytes, "forged.h5");
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

bool says(const std::string& message, const std::string& part) {
    INFO(message);
    const bool found = message.find(part) != message.npos;
    CHECK(found);
    return found;
}

}  // namespace

TEST_CASE("a record of any kind that is read back is the record that was written") {
    for (const AnyRecord& record : one_of_each()) {
        const Bytes bytes = written(record);
        const AnyRecord back = parse_any(bytes, "x.h5");
        CHECK(back.index() == record.index());
        CHECK(written(back) == bytes);
    }
}

TEST_CASE("a file of any kind from which an object was taken is refused by name, or not missed") {
    // Axes for other programs, and what follows from the rest.
    const std::vector<std::string> not_missed = {
        "mode",       "order",         "critical_speed", "point",     "run",         "index",
        "step",       "plate",         "time",           "frequency", "twist",       "units",
        "asked",      "key",           "multiplies",     "choices",   "release_new", "release_worn",
        "measured_1", "influences",    "spring",         "measures",  "rattle",      "signals",
        "factor",     "flywheel_loop", "causes"};
    const std::vector<std::string> identity = {"provenance", "inputs", "conditions", "changes"};
    for (const AnyRecord& record : one_of_each()) {
        if (record.index() == 0) continue;  // has tests of its own
        const Bytes bytes = written(record);
        std::size_t refused = 0;
        const std::vector<std::string> paths = paths_in(bytes);
        for (const std::string& path : paths) {
            CAPTURE(path);
            const std::string said = refusal(testing::forged(bytes, [&](hid_t file) {
                REQUIRE(H5Ldelete(file, path.c_str(), H5P_DEFAULT) >= 0);
            }));
            const std::string name = path.substr(path.find_last_of('/') + 1);
            // Of a study, the head says these again.
            const std::string group = path.substr(0, path.find('/'));
            const bool twice = std::holds_alternative<StudyRecord>(record) &&
                               std::ranges::find(identity, group) != identity.end();
            const bool known = twice || std::ranges::find(not_missed, name) != not_missed.end();
            CHECK((known || said.starts_with("forged.h5: cannot be read as a result: ")));
            refused += said.empty() ? 0U : 1U;
        }
        CHECK(2 * refused > paths.size());
    }
}

TEST_CASE("what a page relies on is asked for") {
    const auto with = [](const auto& record, const auto& spoil) {
        auto other = record;
        spoil(other);
        return refusal(written(AnyRecord(other)));
    };
    says(with(cover(), [](auto& r) { r.states.clear(); }), "states, spring or wear");
    says(with(cover(), [](auto& r) { r.release_curves[1].points.clear(); }), "another length");
    says(with(heat(), [](auto& r) { r.history = {}; }), "history: is empty");
    says(with(study(), [](auto& r) { r.values[0][1] = 0.7; }), "none of its levels");
    says(with(study(), [](auto& r) { r.values[1][1] = 2.0; }), "none of its words");
    says(with(study(), [](auto& r) { r.head.total = 5; }), "its hash is not that of its head");
    says(with(sample::orbit(),
              [](auto& r) {
                  r.signals.resize(1);
                  for (auto& point : r.points) {
                      point.amplitude.resize(1);
                      point.swing.resize(1);
                  }
              }),
         "signal: there are too few");
}

TEST_CASE("a file of another program, another kind or another version says what was expected") {
    const Bytes bytes = written(AnyRecord(sample::modes()));
    const auto rename = [](const char* format) {
        return [format](hid_t file) {
            H5Adelete(file, "format");
            const hid_t type = H5Tcopy(H5T_C_S1);
            H5Tset_size(type, H5T_VARIABLE);
            H5Tset_cset(type, H5T_CSET_UTF8);
            const hid_t space = H5Screate(H5S_SCALAR);
            const hid_t made = H5Acreate2(file, "format", type, space, H5P_DEFAULT, H5P_DEFAULT);
            H5Awrite(made, type, &format);
            H5Aclose(made);
            H5Sclose(space);
            H5Tclose(type);
        };
    };
    const std::string foreign = refusal(testing::forged(bytes, rename("somebody else's")));
    says(foreign,
         "found a file of \"somebody else's\", expected one of \"damper result\", \"damper "
         "modes\"");
    says(refusal(testing::forged(bytes, rename("damper orbit"))),
         "forged.h5: cannot be read as a result");
    says(refusal(testing::forged(bytes,
                                 [](hid_t file) {
                                     const hid_t made =
                                         H5Aopen(file, "format_version", H5P_DEFAULT);
                                     const std::int64_t later = 1000;
                                     H5Awrite(made, H5T_NATIVE_INT64, &later);
                                     H5Aclose(made);
                                 })),
         "has format version 1000; this program reads version");
    CHECK_THROWS_WITH_AS((void)parse_result(bytes, "x_modes.h5"),
                         "x_modes.h5: cannot be read as a result: found a file of \"damper "
                         "modes\", expected \"damper result\"",
                         InputError);
}
