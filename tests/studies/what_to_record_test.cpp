// SPDX-License-Identifier: MIT
// What is asked to be recorded is what recordings are judged by.
#include "libdamper/studies/what_to_record.hpp"

#include "libdamper/describe/read.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/knowledge_of_complaints.hpp"
#include "libdamper/studies/open_lines.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>
#include <vector>

using namespace damper;

namespace {

const std::filesystem::path source = DAMPER_SOURCE_DIR;

std::string kinds_of(const OpenLines& open) {
    std::string out;
    for (const OpenLine& line : open.recordings) out += line.key + " ";
    return out;
}

OpenLines open_of(const std::string& symptom, const std::string& vehicle) {
    static const Knowledge knowledge = read_knowledge(source / "models");
    Complaint complaint;
    complaint.symptom = symptom;
    complaint.vehicle = vehicle;
    return open_lines(complaint, knowledge, source / "models", source / "scenarios");
}

/// Notes "sampling" of an idle of 800 rpm, recorded so many times a second, that doubt it.
std::size_t doubts_at(double rate) {
    WorkshopRecording speeds{.kind = RecordingKind::speed, .name = "speeds"};
    constexpr double rpm = std::numbers::pi / 30.0;
    for (int i = 0; i < static_cast<int>(10.0 * rate); ++i) {
        const double t = i / rate;
        speeds.time.push_back(t);
        speeds.flywheel.push_back((800.0 + 20.0 * std::cos(2.0 * 800.0 * rpm * t)) * rpm);
    }
    RecordingRequest request;
    request.cylinders = 4;
    const auto found = find_in_recordings({speeds}, request);
    return static_cast<std::size_t>(
        std::ranges::count_if(found.front().quality, [](const QualityNote& one) {
            return one.about == "sampling" && one.weight != QualityWeight::remark;
        }));
}

}  // namespace

TEST_CASE("what is to be recorded hangs on what the complaint shows") {
    CHECK(kinds_of(open_of("judder", "car_petrol")) ==
          "flywheel input_shaft flywheel_pulses input_shaft_pulses seat_acceleration clamp_load "
          "release_travel ");
    CHECK(kinds_of(open_of("rattle at idle", "van_diesel")) ==
          "flywheel input_shaft flywheel_pulses input_shaft_pulses sound acceleration loop "
          "loop_idle ");
    CHECK(kinds_of(open_of("clunk", "car_petrol")) ==
          "seat_acceleration flywheel input_shaft flywheel_pulses input_shaft_pulses loop "
          "loop_idle ");
    CHECK(kinds_of(open_of("noise at start or stop", "car_petrol")) ==
          "flywheel input_shaft loop loop_idle ");
    CHECK(kinds_of(open_of("slip", "car_petrol")) == "clamp_load release_travel ");
    CHECK(kinds_of(open_of("squeal", "car_petrol")).empty());
    CHECK(open_of("squeal", "car_petrol").on_recordings.empty());
    CHECK(open_of("judder", "car_petrol").on_recordings.front().find("starting from rest") !=
          std::string::npos);
}

TEST_CASE("every key that is asked for is one that a complaint may have") {
    std::vector<std::string> known;
    for (const auto& [kind, what] : recording_kinds()) known.push_back(kind);
    for (const char* scenario :
         {"car_idle_hot", "van_creep_1", "car_pull_5", "car_overrun_3", "car_engine_start",
          "car_engine_stop", "car_tip_in_2", "car_back_out_2", "car_take_up_1"}) {
        const Scenario read =
            read_scenario(source / "scenarios" / (std::string(scenario) + ".toml"),
                          {.models = source / "models", .changes = {}, .measures = {}});
        const RecordingGuide guide = what_to_record(
            read, {"transfer", "passage_acceleration", "shuffle_frequency", "judder_rms"});
        CHECK_FALSE(guide.empty());
        CHECK_FALSE(guide.length.empty());
        CHECK(what_to_record(read, {"torque_held"}).empty());
        for (const auto& [kind, what] : guide.kinds) {
            CHECK(std::ranges::find(known, kind) != known.end());
        }
    }
}

TEST_CASE("the rate that is asked for at idle is one that its reader does not doubt") {
    // 16 values from firing to firing: 16 · 2 · 800/60 = 427 a second.
    const OpenLines open = open_of("rattle at idle", "car_petrol");
    CHECK(open.recordings.front().says.front().find("430 values a second or more") !=
          std::string::npos);
    CHECK(doubts_at(430.0) == 0);
    CHECK(doubts_at(100.0) > 0);
}
