// SPDX-License-Identifier: MIT
#include "libdamper/outputs/modes_text.hpp"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

namespace damper {

namespace {

using Json = nlohmann::ordered_json;

Json identity_json(const RunIdentity& identity) {
    Json conditions = Json::array();
    for (const auto& [name, value] : identity.conditions) {
        conditions.push_back({{"name", name}, {"value", value}});
    }
    Json changes = Json::array();
    for (const auto& [key, value] : identity.changes) {
        changes.push_back({{"key", key}, {"value", value}});
    }
    Json inputs = Json::array();
    for (const auto& [file, hash] : identity.inputs) {
        inputs.push_back({{"file", file}, {"sha256", hash}});
    }
    return {{"name", identity.scenario},
            {"title", identity.title},
            {"origin", identity.origin},
            {"vehicle", identity.vehicle},
            {"vehicle_class", identity.vehicle_class},
            {"disc", identity.disc},
            {"conditions", conditions},
            {"changes", changes},
            {"inputs", inputs},
            {"program_version", identity.program_version},
            {"command_line", identity.command_line}};
}

Json mode_json(const ModesRecord& record, const GearModes& gear, std::size_t m) {
    const ModeRow& mode = gear.modes[m];
    Json speeds = Json::array();
    for (const EngineOrder& order : record.orders) {
        const double speed = critical_speed(mode.frequency, order.order);
        speeds.push_back({{"order", order.order},
                          {"engine_speed_rad_per_s", speed},
                          {"in_range", in_range(record, speed)}});
    }
    Json influences = Json::array();
    for (const ModeInfluence& influence : gear.influences[m]) {
        influences.push_back(
            {{"what", influence.what}, {"change_per_tenth_hz", influence.per_tenth}});
    }
    Json out = {{"name", mode.name},
                {"frequency_hz", mode.frequency},
                {"swings", mode.damped_frequency > 0.0}};
    if (mode.damped_frequency > 0.0) {
        out["damped_frequency_hz"] = mode.damped_frequency;
        out["damping_ratio"] = mode.damping_ratio;
        out["likeness"] = mode.likeness;
        out["damped_shape_real"] = mode.shape_real;
        out["damped_shape_imaginary"] = mode.shape_imaginary;
        out["damping_share"] = mode.damping_share;
    }
    out["gap"] = mode.gap;
    out["repeated"] = mode.repeated;
    out["modal_inertia_kg_m2"] = mode.modal_inertia;
    out["shape"] = mode.shape;
    out["kinetic_share"] = mode.kinetic_share;
    out["strain_share"] = mode.strain_share;
    out["frequency_per_inertia_hz"] = mode.change_by_inertia;
    out["frequency_per_stiffness_hz"] = mode.change_by_stiffness;
    out["critical_speeds"] = std::move(speeds);
    out["influences"] = std::move(influences);
    return out;
}

Json gear_json(const ModesRecord& record, const GearModes& gear) {
    Json inertias = Json::array();
    for (const GearModes::Inertia& inertia : gear.inertias) {
        inertias.push_back({{"name", inertia.name},
                            {"inertia_kg_m2", inertia.inertia},
                            {"speed_ratio", inertia.ratio}});
    }
    Json elements = Json::array();
    for (const GearModes::Element& element : gear.elements) {
        elements.push_back({{"name", element.name},
                            {"stiffness_n_m_per_rad", element.stiffness},
                            {"damping_n_m_s_per_rad", element.damping},
                            {"row", element.row}});
    }
    Json modes = Json::array();
    for (std::size_t m = 0; m < gear.modes.size(); ++m) {
        modes.push_back(mode_json(record, gear, m));
    }
    return {{"gear", gear.gear},
            {"ratio", gear.ratio},
            {"engine_speed_rad_per_s", gear.engine_speed},
            {"engine_torque_n_m", gear.engine_torque},
            {"disc_torque_n_m", gear.disc_torque},
            {"disc_stiffness_n_m_per_rad", gear.disc_stiffness},
            {"disc_stage", gear.disc_stage},
            {"stage_asked", gear.stage_asked},
            {"rigid_bodies", gear.rigid_bodies},
            {"inertias", std::move(inertias)},
            {"elements", std::move(elements)},
            {"modes", std::move(modes)}};
}

Json slipping_json(const SlippingModes& point) {
    Json modes = Json::array();
    for (const SlippingRow& mode : point.modes) {
        const bool like = std::isfinite(mode.flat_growth);
        modes.push_back({{"name", mode.name},
                         {"frequency_hz", mode.frequency},
                         {"growth_per_s", mode.growth},
                         {"growth_flat_friction_per_s", like ? Json(mode.flat_growth) : Json()},
                         {"damping_ratio", mode.damping_ratio},
                         {"felt", mode.felt},
                         {"shape_real", mode.shape_real},
                         {"shape_imaginary", mode.shape_imaginary},
                         {"kinetic_share", mode.kinetic_share}});
    }
    return {{"gear", point.gear},
            {"clamp_share", point.clamp_share},
            {"clamp_n", point.clamp},
            {"slip_speed_m_per_s", point.slip_speed},
            {"torque_n_m", point.torque},
            {"friction_gradient_s_per_m", point.gradient},
            {"face_damping_n_m_s_per_rad", point.face_damping},
            {"inertias", point.inertias},
            {"modes", std::move(modes)}};
}

/// A name as one cell: quoted if it holds what a cell may not.
std::string cell(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string out = "\"";
    for (const char letter : text) {
        if (letter == '"') out += '"';
        out += letter;
    }
    return out + "\"";
}

}  // namespace

std::string modes_json(const ModesRecord& record) {
    Json orders = Json::array();
    for (const EngineOrder& order : record.orders) {
        orders.push_back({{"order", order.order}, {"name", order.name}});
    }
    Json gears = Json::array();
    for (const GearModes& gear : record.gears) gears.push_back(gear_json(record, gear));
    Json slipping = Json::array();
    for (const SlippingModes& point : record.slipping) slipping.push_back(slipping_json(point));
    const Json out = {{"format", "damper modes"},
                      {"format_version", 1},
                      {"scenario", identity_json(record.identity)},
                      {"friction", record.friction},
                      {"lowest_speed_rad_per_s", record.lowest_speed},
                      {"highest_speed_rad_per_s", record.highest_speed},
                      {"firing_order", record.firing_order},
                      {"orders", std::move(orders)},
                      {"gears", std::move(gears)},
                      {"slipping", std::move(slipping)}};
    // Names from files may hold anything: bytes that are not UTF-8 become U+FFFD.
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::string modes_csv(const ModesRecord& record) {
    std::string text =
        "gear,mode,name,frequency_Hz,damped_frequency_Hz,damping_ratio,likeness,gap,repeated,"
        "engine_speed_rad_s,engine_torque_Nm,disc_stage,disc_stiffness_Nm_rad";
    for (const EngineOrder& order : record.orders) {
        text += fmt::format(",critical_speed_order_{:g}_rad_s", order.order);
    }
    text += "\n";
    for (const GearModes& gear : record.gears) {
        for (std::size_t m = 0; m < gear.modes.size(); ++m) {
            const ModeRow& mode = gear.modes[m];
            text += fmt::format(
                "{},{},{},{:.9g},{:.9g},{:.9g},{:.6g},{:.6g},{},{:.9g},{:.9g},{},"
                "{:.9g}",
                cell(gear.gear), m + 1, cell(mode.name), mode.frequency, mode.damped_frequency,
                mode.damping_ratio, mode.likeness, mode.gap, mode.repeated ? 1 : 0,
                gear.engine_speed, gear.engine_torque, cell(gear.disc_stage), gear.disc_stiffness);
            for (const EngineOrder& order : record.orders) {
                text += fmt::format(",{:.9g}", critical_speed(mode.frequency, order.order));
            }
            text += "\n";
        }
    }
    // What does not apply stays empty.
    for (const SlippingModes& point : record.slipping) {
        for (std::size_t m = 0; m < point.modes.size(); ++m) {
            const SlippingRow& mode = point.modes[m];
            const double undamped =
                std::hypot(mode.frequency, 0.5 / std::numbers::pi * mode.growth);
            text +=
                fmt::format("{},{},{},{:.9g},{:.9g},{:.9g},,,,,,,",
                            cell(fmt::format("{} slipping at {:.0f} % of the clamp load",
                                             point.gear, 100.0 * point.clamp_share)),
                            m + 1, cell(mode.name), undamped, mode.frequency, mode.damping_ratio);
            text.append(record.orders.size(), ',');
            text += "\n";
        }
    }
    return text;
}

}  // namespace damper
