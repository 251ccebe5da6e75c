// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_data.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/parts/check.hpp"
#include "libdamper/scenario/recorded_speed.hpp"

#include <optional>
#include <variant>

namespace damper {

namespace {

void read_recording(RecordedSpeed& recorded, const Engine& engine, DataFiles& data) {
    TableRequest request;
    request.columns = {
        {.key = "time", .due = Time::dimension, .names = {"time", "t"}, .rising = true},
        {.key = "speed",
         .due = AngularSpeed::dimension,
         .names = {"speed", "engine speed", "flywheel speed", "crank speed", "flywheel", "n"}}};
    request.fewest_rows = 4;
    std::optional<MeasuredTable> table =
        data.read("manoeuvre.recording", recorded.recording, request);
    if (!table) return;
    recorded.time = table->column("time").values;
    recorded.speed = table->column("speed").values;
    try {
        take_length(recorded, engine);
    } catch (const ModelError&) {
        recorded.length =
            Time::from_si(recorded.settle.si() + 1.0);  // the check tells what is wrong
    }
}

}  // namespace

void read_data(Vehicle& vehicle, DataFiles& data) {
    Engine& engine = vehicle.engine;
    if (engine.torque != "pressure trace") return;
    TableRequest request;
    request.columns = {{.key = "angle",
                        .due = Angle::dimension,
                        .names = {"angle", "crank angle", "crankshaft angle", "crank"},
                        .rising = true},
                       {.key = "pressure",
                        .due = Pressure::dimension,
                        .names = {"pressure", "cylinder pressure", "p"}}};
    request.fewest_rows = 72;  // of ten degrees
    const std::optional<MeasuredTable> table =
        data.read("engine.pressure_trace", engine.pressure_trace, request);
    if (!table) return;
    engine.trace = {.angle = table->column("angle").values,
                    .pressure = table->column("pressure").values};
    data.add(check(engine.trace), "engine");
}

void read_data(Scenario& scenario, DataFiles& data) {
    read_data(scenario.vehicle, data);
    if (auto* recorded = std::get_if<RecordedSpeed>(&scenario.manoeuvre)) {
        read_recording(*recorded, scenario.vehicle.engine, data);
    }
}

}  // namespace damper
