// SPDX-License-Identifier: MIT
#include "libdamper/assemble/clutch_side.hpp"

#include "libdamper/assemble/disc.hpp"
#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/assemble/two_mass_flywheel.hpp"
#include "libdamper/elements/slider.hpp"

#include <cmath>
#include <utility>

namespace damper {

namespace {

constexpr double clutch_drag_give = 1e-2;  // rad that a dragging facing gives before it slips

/// The damper between the inertia that carries the facings and the input shaft.
void add_disc(Assembled& out, const Disc& disc, int facings, double speed) {
    Driveline& line = out.line;
    std::vector<Cell> cells = disc_cells(disc);
    const bool series = disc.assembly == "series" && cells.size() > 1;
    if (!series) {
        if (disc.spline_play.si() > 0.0) cells.push_back(spline_cell(disc));
        line.branches.push_back({.name = "disc",
                                 .kind = "disc",
                                 .row = {{facings, 1.0}, {out.input_shaft, -1.0}},
                                 .damping = disc.damping.si(),
                                 .chain = std::move(cells)});
        out.disc_to_input = static_cast<int>(line.branches.size()) - 1;
        return;
    }
    const int flange = add_mass(line, "disc flange", disc.flange_inertia.si(), speed);
    std::vector<Cell> inner = {std::move(cells.front())};
    cells.erase(cells.begin());
    if (disc.spline_play.si() > 0.0) inner.push_back(spline_cell(disc));
    line.branches.push_back({.name = "disc outer stages",
                             .kind = "disc",
                             .row = {{facings, 1.0}, {flange, -1.0}},
                             .damping = disc.damping.si(),
                             .chain = std::move(cells)});
    line.branches.push_back({.name = "disc first stage",
                             .kind = "disc",
                             .row = {{flange, 1.0}, {out.input_shaft, -1.0}},
                             .damping = disc.damping.si(),
                             .chain = std::move(inner)});
    out.disc_to_input = static_cast<int>(line.branches.size()) - 1;
}

}  // namespace

int add_mass(Driveline& line, std::string name, double inertia, double speed) {
    line.masses.push_back({std::move(name), inertia, speed});
    return static_cast<int>(line.masses.size()) - 1;
}

int add_element(Driveline& line, std::string name, std::string kind, std::vector<RowEntry> row,
                Law law) {
    Branch branch{
        .name = name, .kind = std::move(kind), .row = std::move(row), .damping = 0.0, .chain = {}};
    branch.chain.push_back({{{std::move(name), std::move(law)}}});
    line.branches.push_back(std::move(branch));
    return static_cast<int>(line.branches.size()) - 1;
}

void add_clutch_side(Assembled& out, const Vehicle& vehicle, const ClutchSide& at) {
    const Disc& disc = vehicle.disc;
    Driveline& line = out.line;
    const bool two_masses = vehicle.two_mass_flywheel.has_value();
    const double with_facings = at.closed ? disc.facing_inertia.si() : 0.0;
    out.engine =
        add_mass(line, "engine", crankshaft_inertia(vehicle) + (two_masses ? 0.0 : with_facings),
                 at.engine_speed);
    out.clutch_side = out.engine;
    out.mean_speed = at.mean_speed > 0.0 ? at.mean_speed : at.engine_speed;
    if (two_masses) {
        const TwoMassFlywheel& flywheel = *vehicle.two_mass_flywheel;
        out.clutch_side = add_mass(line, "flywheel secondary side",
                                   flywheel.secondary_inertia.si() + with_facings, at.engine_speed);
        line.branches.push_back(
            flywheel_branch(flywheel, out.mean_speed, out.engine, out.clutch_side));
        out.flywheel = static_cast<int>(line.branches.size()) - 1;
    }
    out.clutch_closed = at.closed;
    int facings = out.clutch_side;
    if (!at.closed) {
        facings = add_mass(line, "released disc", disc.facing_inertia.si(), at.input_speed);
        if (vehicle.release.drag.si() > 0.0) {
            add_element(line, "released clutch", "clutch drag",
                        {{out.clutch_side, 1.0}, {facings, -1.0}},
                        slider({.limit = vehicle.release.drag.si(),
                                .grip = vehicle.release.drag.si() / clutch_drag_give}));
        }
    }
    out.input_shaft =
        add_mass(line, "input shaft", vehicle.gearbox.input_inertia.si() + disc.hub_inertia.si(),
                 at.input_speed);
    add_disc(out, disc, facings, at.input_speed);
    add_power_unit(out, vehicle);
}

void add_loose_gear(Assembled& out, const Vehicle& vehicle, const GearPair& gear, int driver,
                    double ratio, double ratio_to_input, double oil_temperature) {
    Driveline& line = out.line;
    const double driver_speed = line.masses[static_cast<std::size_t>(driver)].reference_speed;
    const double speed = driver_speed * ratio;
    const std::string name = "gear " + gear.name + " loose";
    const int mass = add_mass(line, name, gear.loose_inertia.si(), speed);
    const int branch = add_element(line, name, "lash", {{driver, ratio}, {mass, -1.0}},
                                   tooth_contact(vehicle.gearbox, gear));
    const DragTorque drag = loose_gear_drag(vehicle.gearbox, gear, oil_temperature);
    add_element(line, "gear " + gear.name + " drag", "drag", {{mass, 1.0}}, drag_law(drag));
    out.loose_gears.push_back({.branch = branch,
                               .ratio = ratio_to_input,
                               .inertia = gear.loose_inertia.si(),
                               .drag = drag.at(std::abs(speed))});
}

}  // namespace damper
