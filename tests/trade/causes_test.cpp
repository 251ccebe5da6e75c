// SPDX-License-Identifier: MIT
// The causes of models/causes: each shows its signs, and without it they are not there. Which
// figure shows which cause is common practice, no source; its size is this model's.
#include "libdamper/describe/read_cause.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/heat_study.hpp"

#include "tests/trade/trade.hpp"

#include <cmath>
#include <map>
#include <set>

using namespace damper;
using namespace damper::trade;

namespace {

Scenario clutch_of(const std::string& vehicle, const Changes& changes) {
    Scenario scenario;
    scenario.name = vehicle;
    scenario.vehicle = read_vehicle(source_folder() / "models/vehicles" / (vehicle + ".toml"),
                                    {.models = source_folder() / "models", .changes = changes});
    return scenario;
}

using Figures = std::map<std::string, MeasureValue>;

Figures by_name(const std::vector<MeasureValue>& measures) {
    Figures out;
    for (const MeasureValue& one : measures) out.emplace(one.name, one);
    return out;
}

/// All figures that a sign's place gives, with the changes of a cause or without any.
const Figures& figures_of(const CauseSign& sign, const std::string& cause, const Changes& changes) {
    static std::map<std::string, Figures> known;
    const std::string key = sign.run + "|" + sign.cover + "|" + sign.heat + "|" + cause;
    if (const auto found = known.find(key); found != known.end()) return found->second;
    Figures out;
    if (!sign.run.empty()) {
        out = by_name(run(sign.run, changes).measures);
    } else if (!sign.cover.empty()) {
        out = by_name(study_cover(clutch_of(sign.cover, changes), {}).figures);
    } else {
        out = by_name(study_heat(clutch_of(sign.heat, changes), {}).figures);
    }
    return known.emplace(key, std::move(out)).first->second;
}

/// True if the figure lies where the sign says it lies with the cause.
bool shows(const CauseSign& sign, const std::string& cause, const Changes& changes) {
    const Figures& figures = figures_of(sign, cause, changes);
    const auto found = figures.find(sign.measure);
    REQUIRE_MESSAGE(found != figures.end(), "no measure " << sign.measure);
    const std::string& text = sign.above.empty() ? sign.below : sign.above;
    const auto read = read_in_units(text, found->second.units);
    REQUIRE_MESSAGE(std::holds_alternative<double>(read), "no bound: " << text);
    const double bound = std::get<double>(read);
    const double value = found->second.value;
    CAPTURE(bound);
    CAPTURE(value);
    CHECK(std::isfinite(value));
    // A sign that rounding could bring about is none: 2 % of the bound to either side.
    CHECK(std::abs(value - bound) >= 0.02 * std::abs(bound));
    return sign.above.empty() ? value < bound : value > bound;
}

std::vector<std::filesystem::path> cause_files() {
    std::vector<std::filesystem::path> files;
    for (const auto& entry :
         std::filesystem::directory_iterator(source_folder() / "models" / "causes")) {
        files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    return files;
}

}  // namespace

TEST_CASE("every cause shows its signs, and without it they are not there") {
    const auto files = cause_files();
    REQUIRE(files.size() >= 48);
    for (const std::filesystem::path& file : files) {
        const Cause cause = read_cause(file);
        CAPTURE(cause.name);
        for (const CauseSign& sign : cause.signs) {
            CAPTURE(sign.run);
            CAPTURE(sign.cover);
            CAPTURE(sign.heat);
            CAPTURE(sign.measure);
            CHECK(shows(sign, cause.name, cause.changes));
            CHECK_FALSE(shows(sign, "", {}));
        }
    }
}

TEST_CASE(
    "the causes cover every complaint that the engine can reproduce, and not the clutch alone") {
    std::set<std::string> complaints, seats;
    for (const std::filesystem::path& file : cause_files()) {
        const Cause cause = read_cause(file);
        complaints.insert(cause.complaint);
        seats.insert(cause.seat);
        CHECK_FALSE(cause.changes.empty());
    }
    for (const char* complaint :
         {"rattle at idle", "rattle in creep", "rattle when pulling", "rattle on the overrun",
          "boom", "clunk", "shuffle", "slip", "drag", "pedal pulsation", "noise at start or stop",
          "overheating"}) {
        CAPTURE(complaint);
        CHECK(complaints.count(complaint) == 1);
    }
    for (const char* seat : {"disc", "cover", "facings", "engine", "gearbox", "axle", "use"}) {
        CAPTURE(seat);
        CHECK(seats.count(seat) == 1);
    }
}
