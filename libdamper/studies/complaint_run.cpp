// SPDX-License-Identifier: MIT
#include "libdamper/studies/complaint_run.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <map>
#include <system_error>

namespace damper {

namespace fs = std::filesystem;

namespace {

Scenario as_it_stands(const std::string& name, const VehiclesAsked& asked) {
    return read_scenario(asked.scenarios / (name + ".toml"),
                         {.models = asked.models, .changes = {}, .measures = {}});
}

bool has_vehicle(const Scenario& scenario, const VehiclesAsked& asked) {
    const fs::path own = vehicle_file(asked);
    return std::ranges::any_of(scenario.inputs, [&](const auto& input) {
        std::error_code ignored;
        return fs::equivalent(input.first, own, ignored);
    });
}

/// What is done and recorded, as it is written.
std::map<std::string, std::string> deed_of(const Scenario& scenario) {
    std::map<std::string, std::string> out;
    for (const auto& [key, value] : scenario.written) {
        if (key.starts_with("manoeuvre") || key.starts_with("conditions") ||
            key.starts_with("recording")) {
            out[key] = value;
        }
    }
    return out;
}

/// Whether a file names the vehicle at all: most do not, and need not be read.
bool mentions(const fs::path& file, const std::string& vehicle) {
    std::ifstream in(file);
    const std::string text(std::istreambuf_iterator<char>(in), {});
    return text.find('"' + vehicle + '"') != std::string::npos;
}

/// Scenario that does with the vehicle what another does; empty if there is none.
std::string twin_of(const Scenario& scenario, const VehiclesAsked& asked) {
    std::vector<fs::path> files;
    std::error_code error;
    for (const auto& entry : fs::directory_iterator(asked.scenarios, error)) {
        if (entry.path().extension() == ".toml") files.push_back(entry.path());
    }
    std::ranges::sort(files);
    const auto deed = deed_of(scenario);
    for (const fs::path& file : files) {
        if (!mentions(file, asked.vehicle)) continue;
        try {
            const Scenario other = as_it_stands(file.stem().string(), asked);
            if (other.changes.empty() && has_vehicle(other, asked) && deed_of(other) == deed) {
                return other.name;
            }
        } catch (const InputError&) {
            continue;  // who runs it is told why
        }
    }
    return "";
}

std::string in_gear(const std::string& gear) {
    return gear.empty() ? "in neutral" : "in gear " + gear;
}

/// Manoeuvres in short.
struct Deed {
    const Vehicle& vehicle;

    [[nodiscard]] std::string speed_or_idle(AngularSpeed speed) const {
        return as_rpm(speed.si() > 0.0 ? speed.si() : vehicle.engine.idle_speed.si());
    }
    std::string operator()(const Idle& idle) const {
        return fmt::format("idling at {}, pedal {}", speed_or_idle(idle.speed), idle.pedal);
    }
    std::string operator()(const TorqueChange& change) const {
        return fmt::format("{} at {}, pedal {}: engine torque from {} to {}", in_gear(change.gear),
                           as_rpm(change.speed.si()),
                           change.to.si() > change.from.si() ? "pressed" : "let go",
                           as_torque(change.from.si()), as_torque(change.to.si()));
    }
    std::string operator()(const SpeedRun& run) const {
        const bool pulls = run.to.si() > run.from.si();
        return fmt::format(
            "{} from {} to {}, {}", in_gear(run.gear), as_rpm(run.from.si()), as_rpm(run.to.si()),
            pulls ? fmt::format("at {} of full load", as_percent(run.load.si())) : "foot off");
    }
    std::string operator()(const Creep& creep) const {
        return fmt::format("rolling {} at idle, foot off", in_gear(creep.gear));
    }
    std::string operator()(const EngineStart& start) const {
        return "engine started in neutral, pedal " + start.pedal;
    }
    std::string operator()(const EngineStop& stop) const {
        return "engine shut off in neutral, pedal " + stop.pedal;
    }
    std::string operator()(const RecordedSpeed& recorded) const {
        return in_gear(recorded.gear) + ", as recorded";
    }
    std::string operator()(const TakeUp& take_up) const {
        return fmt::format("starting from rest {} at {}", in_gear(take_up.gear),
                           speed_or_idle(take_up.speed));
    }
};

double consumers_of(const Manoeuvre& manoeuvre) {
    return std::visit(
        [](const auto& one) {
            if constexpr (requires { one.consumers; }) return one.consumers.si();
            return 0.0;
        },
        manoeuvre);
}

/// A value that a shell would take apart stands in quotation marks.
std::string setting(const std::string& key, const std::string& value) {
    const bool plain = (key + value).find_first_of(" []*'\"") == std::string::npos;
    return plain ? fmt::format(" --set {}={}", key, value)
                 : fmt::format(" --set '{}={}'", key, value);
}

}  // namespace

std::optional<ComplaintRun> run_of_vehicle(const ComplaintKind& kind, const VehiclesAsked& asked) {
    const ComplaintRun* run = run_for(kind, asked.vehicle_class);
    if (run == nullptr) return {};
    ComplaintRun out = *run;
    if (out.scenario.empty()) return out;
    const Scenario named = as_it_stands(out.scenario, asked);
    if (has_vehicle(named, asked)) return out;
    const std::string twin = twin_of(named, asked);
    if (!twin.empty()) out.scenario = twin;
    return out;
}

std::string words_of_run(const ComplaintRun& run, const VehiclesAsked& asked,
                         const std::vector<std::pair<std::string, std::string>>& changes) {
    if (run.scenario.empty()) {
        std::string out = asked.vehicle;
        for (const auto& [key, value] : changes) out += setting(key, value);
        return out;
    }
    std::string out = run.scenario;
    if (!has_vehicle(as_it_stands(run.scenario, asked), asked)) {
        out += setting("vehicle", asked.vehicle);
    }
    for (const auto& [key, value] : run.changes) out += setting(key, value);
    for (const auto& [key, value] : changes) out += setting(key, value);
    return out;
}

std::string command_of(const ComplaintRun& run, const VehiclesAsked& asked) {
    return (run.scenario.empty() ? "damper cover " : "damper run ") +
           words_of_run(run, asked, asked.changes);
}

std::string state_in_words(const Scenario& scenario) {
    std::string out = std::visit(Deed{scenario.vehicle}, scenario.manoeuvre);
    const double consumers = consumers_of(scenario.manoeuvre);
    if (consumers > 0.0) out += ", consumers " + as_torque(consumers);
    const double grade = scenario.conditions.grade.si();
    if (grade != 0.0) {
        out += fmt::format(", {} {} %", grade > 0.0 ? "uphill" : "downhill",
                           as_number(100.0 * std::abs(grade)));
    }
    return out + ", gearbox oil at " + as_celsius(scenario.conditions.gearbox_oil.si());
}

}  // namespace damper
