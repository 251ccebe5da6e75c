// SPDX-License-Identifier: MIT
#include "libdamper/assemble/clutch_model.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

void require(bool present, const Vehicle& vehicle, const char* key, const char* what,
             const char* mend) {
    if (present) return;
    throw InputError({{{},
                       key,
                       fmt::format("no {} in \"{}\"", what, vehicle.title),
                       fmt::format("a vehicle that says what {} it has", what),
                       mend}});
}

DiaphragmSpring spring_of(const Cover& cover) {
    return {.outer = cover.outer_radius.si(),
            .inner = cover.inner_radius.si(),
            .outer_circle = std::max(cover.load_radius, cover.pivot_radius).si(),
            .inner_circle = std::min(cover.load_radius, cover.pivot_radius).si(),
            .thickness = cover.thickness.si(),
            .cone_height = cover.cone_height.si(),
            .modulus = cover.modulus.si(),
            .poisson = cover.poisson.si(),
            .factor = cover.load_factor.si()};
}

Cushion cushion_of(const Facing& facing, int discs) {
    std::vector<double> deflection;
    std::vector<double> load;
    for (const CushionPoint& point : facing.cushion) {
        deflection.push_back(point.deflection.si());
        load.push_back(point.load.si());
    }
    return {deflection, load, discs};
}

FactorCurve fade_of(const Facing& facing) {
    FactorCurve fade;
    for (const FadePoint& point : facing.fade) {
        fade.x.push_back(point.temperature.si());
        fade.y.push_back(point.factor.si());
    }
    return fade;
}

/// The lift lost to bending is stated for the rated travel.
double give_of_parts(const Cover& cover, const ClampedCover& rigid) {
    const double lost = cover.elastic_loss.si();
    if (lost == 0.0) return 0.0;
    const double lift = cover.rated_travel.si() / rigid.lever;
    if (lost < lift) return give_of(rigid, cover.rated_travel.si(), lost);
    throw InputError(
        {{{},
          "cover.elastic_loss",
          write_quantity(cover.elastic_loss),
          fmt::format("less than the lift at rated_travel over a lever ratio of {:.2f}, {}",
                      rigid.lever, write_quantity(Length::from_si(lift), 3)),
          "Else the plate would never lift."}});
}

}  // namespace

ClampedCover ClutchModel::worn_by(double wear) const {
    ClampedCover cover = clamped_new;
    cover.deflection = std::max(cover.deflection - follows * wear, 0.0);
    return cover;
}

double ClutchModel::friction_at(double temperature) const {
    return friction * fade.at(temperature);
}

double usual_free_movement(const std::string& vehicle_class) {
    return vehicle_class == "car" || vehicle_class == "light van" ? 1.0e-3 : 1.5e-3;
}

ClutchModel clutch_model(const Vehicle& vehicle) {
    require(vehicle.cover.has_value(), vehicle, "cover", "clutch cover",
            "Add cover = \"NAME\", or try one: --set cover=NAME. Names: damper show.");
    require(vehicle.facing.has_value(), vehicle, "facing", "facings",
            "Add facing = \"NAME\", or try some: --set facing=NAME. Names: damper show.");
    const Cover& cover = *vehicle.cover;
    const Facing& facing = *vehicle.facing;
    ClutchModel model;
    model.faces = facing.faces;
    model.discs = std::max(facing.faces / 2, 1);

    ClampedCover& clamped = model.clamped_new;
    clamped.spring = spring_of(cover);
    clamped.cushion = cushion_of(facing, model.discs);
    clamped.lever =
        lever_ratio(cover.finger_radius.si(), cover.pivot_radius.si(), cover.load_radius.si());
    clamped.deflection = cover.set_deflection.si();
    clamped.give = give_of_parts(cover, clamped);
    if (vehicle.flywheel) {
        model.set_shift =
            vehicle.flywheel->cover_face_ground.si() - vehicle.flywheel->face_ground.si();
    }
    clamped.deflection += model.set_shift;
    if (clamped.deflection <= 0.0 || spring_load(clamped.spring, clamped.deflection) <= 0.0) {
        throw InputError({{{},
                           "cover.set_deflection",
                           fmt::format("{}, {} with grinding", write_quantity(cover.set_deflection),
                                       write_quantity(Length::from_si(clamped.deflection), 4)),
                           "a deflection at which the spring presses",
                           "Counted from the unstressed spring to the clamped new disc."}});
    }

    model.travel = vehicle.release.bearing_travel.si() > 0.0 ? vehicle.release.bearing_travel.si()
                                                             : cover.rated_travel.si();
    model.lost_lift = cover.lost_lift.si();
    model.parallelism = cover.parallelism.si();
    model.tolerance = {.thickness = cover.thickness_tolerance.si(),
                       .cone_height = cover.cone_height_tolerance.si(),
                       .deflection = cover.set_tolerance.si(),
                       .modulus = cover.modulus_tolerance.si()};
    model.bearing_preload = vehicle.release.bearing_preload.si();
    model.pedal_ratio = vehicle.release.pedal_ratio.si();
    model.efficiency = vehicle.release.efficiency.si();

    model.outer_diameter = facing.outer_diameter.si();
    model.inner_diameter = facing.inner_diameter.si();
    model.friction = facing.friction.si();
    model.friction_tolerance = facing.friction_tolerance.si();
    model.fade = fade_of(facing);
    model.wear_allowance = facing.wear_allowance.si();
    model.wear_now = facing.wear.si();
    model.follows = facing.faces * (1.0 - cover.wear_taken_up.si());
    model.free_movement_stated = facing.free_movement.si() > 0.0;
    model.free_movement = model.free_movement_stated ? facing.free_movement.si()
                                                     : usual_free_movement(vehicle.vehicle_class);
    model.runout = facing.runout.si();
    model.runout_limit = facing.runout_limit.si();
    return model;
}

HeatModel heat_model(const Vehicle& vehicle) {
    require(vehicle.flywheel.has_value(), vehicle, "flywheel", "flywheel",
            "Add a table [flywheel] with exchange, heat.mass and heat.cooling.");
    const ClutchModel clutch = clutch_model(vehicle);
    std::vector<HeatMass> masses = {vehicle.cover->pressure_plate, vehicle.flywheel->heat};
    HeatModel model;
    model.plates = {"pressure plate", "flywheel"};
    if (clutch.discs > 1) {
        require(vehicle.cover->centre_plate.has_value(), vehicle, "cover.centre_plate",
                "centre plate", "Add a table [centre_plate] with mass and cooling to the cover.");
        // Further plates between more than two discs are one with the first.
        masses.push_back(*vehicle.cover->centre_plate);
        model.plates.emplace_back("centre plate");
    }
    const auto n = static_cast<Eigen::Index>(masses.size());
    model.capacity.resize(n);
    model.to_air.resize(n);
    model.effusivity.resize(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const HeatMass& one = masses[static_cast<std::size_t>(i)];
        model.capacity(i) = one.mass.si() * one.specific_heat.si();
        model.to_air(i) = one.cooling.si();
        model.effusivity(i) =
            std::sqrt(one.conductivity.si() * one.density.si() * one.specific_heat.si());
    }
    model.between = Eigen::MatrixXd::Zero(n, n);
    model.between(0, 1) = model.between(1, 0) = vehicle.flywheel->exchange.si();
    Eigen::VectorXd faces_on = Eigen::VectorXd::Ones(n);
    if (n > 2) faces_on(2) = clutch.faces - 2;
    model.share = faces_on / faces_on.sum();
    model.face_area = faces_on * facing_area(clutch.outer_diameter, clutch.inner_diameter);
    return model;
}

}  // namespace damper
