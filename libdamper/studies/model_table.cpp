// SPDX-License-Identifier: MIT
#include "libdamper/studies/model_table.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

ModelTable::Mode mode_row(const Mode& mode) {
    ModelTable::Mode row{.label = mode.label,
                         .spring = mode.spring,
                         .rest = mode.rest,
                         .memory_weight = mode.memory_weight,
                         .energy_offset = mode.energy_offset,
                         .lost = mode.lost,
                         .lost_rate = mode.lost_rate,
                         .guards = {}};
    for (const Guard& guard : mode.guards) {
        row.guards.push_back({.offset = guard.value.offset,
                              .twist = guard.value.twist,
                              .rate = guard.value.rate,
                              .memory = guard.value.memory,
                              .next = guard.next,
                              .resets = guard.resets,
                              .reset_offset = guard.reset.offset,
                              .reset_twist = guard.reset.twist,
                              .reset_memory = guard.reset.memory});
    }
    return row;
}

std::vector<std::pair<int, double>> row_of(const std::vector<RowEntry>& row) {
    std::vector<std::pair<int, double>> out;
    for (const RowEntry& entry : row) out.emplace_back(entry.inertia, entry.factor);
    return out;
}

ModelTable::Element element_of(const Branch& branch) {
    ModelTable::Element element{.name = branch.name,
                                .kind = branch.kind,
                                .row = row_of(branch.row),
                                .damping = branch.damping,
                                .parts = {},
                                .smooth = {}};
    for (std::size_t c = 0; c < branch.chain.size(); ++c) {
        for (const Part& part : branch.chain[c].parts) {
            ModelTable::Part row{
                .name = part.name, .kind = part.law.kind, .cell = static_cast<int>(c), .modes = {}};
            for (const Mode& mode : part.law.modes) row.modes.push_back(mode_row(mode));
            element.parts.push_back(std::move(row));
        }
    }
    return element;
}

/// Speeds, times, and of each map the means by speed and the harmonics by speed, then order.
std::vector<std::pair<std::string, std::vector<double>>> tables_of(const SpeedTorque& source) {
    std::vector<double> from, mean, order, cosine, sine;
    for (const CrankHarmonic& h : source.maps[0].at[0].harmonics) order.push_back(h.order);
    for (const SpeedTorque::Map& map : source.maps) {
        from.push_back(map.from);
        for (const CrankTorque& torque : map.at) {
            mean.push_back(torque.mean);
            for (const CrankHarmonic& h : torque.harmonics) {
                cosine.push_back(h.cosine);
                sine.push_back(h.sine);
            }
        }
    }
    return {{"speed", source.speeds}, {"from", from},     {"mean", mean},
            {"order", order},         {"cosine", cosine}, {"sine", sine}};
}

ModelTable::Input input_of(const Input& input) {
    ModelTable::Input row{.name = input.name,
                          .kind = kind(input.source),
                          .inertia = input.inertia,
                          .parameters = {},
                          .tables = {}};
    if (const auto* constant = std::get_if<ConstantTorque>(&input.source)) {
        row.parameters = {{"torque", constant->torque}};
    } else if (const auto* ramp = std::get_if<TorqueRamp>(&input.source)) {
        row.parameters = {{"from", ramp->from},
                          {"to", ramp->to},
                          {"start", ramp->start},
                          {"rise", ramp->rise},
                          {"lag", ramp->lag}};
    } else if (const auto* sine = std::get_if<SineTorque>(&input.source)) {
        row.parameters = {{"mean", sine->mean},
                          {"amplitude", sine->amplitude},
                          {"frequency", sine->frequency},
                          {"phase", sine->phase}};
    } else if (const auto* recorded = std::get_if<RecordedTorque>(&input.source)) {
        row.parameters = {{"start", recorded->start}, {"step", recorded->step}};
        row.tables = {{"values", recorded->values}};
    } else if (const auto* over_speed = std::get_if<SpeedTorque>(&input.source)) {
        row.tables = tables_of(*over_speed);
    } else {
        const auto& crank = std::get<CrankTorque>(input.source);
        row.parameters = {{"mean", crank.mean}};
        std::vector<double> orders, cosines, sines;
        for (const CrankHarmonic& h : crank.harmonics) {
            orders.push_back(h.order);
            cosines.push_back(h.cosine);
            sines.push_back(h.sine);
        }
        row.tables = {{"order", orders}, {"cosine", cosines}, {"sine", sines}};
    }
    if (input.leans()) {
        row.parameters.emplace_back("reaction_inertia",
                                    static_cast<double>(input.reaction.inertia));
        row.parameters.emplace_back("reaction_factor", input.reaction.factor);
    }
    return row;
}

}  // namespace

ModelTable model_table(const Assembled& assembled) {
    ModelTable table;
    for (const RotatingMass& mass : assembled.line.masses) {
        table.inertias.push_back({mass.name, mass.inertia, mass.reference_speed});
    }
    for (const Branch& branch : assembled.line.branches) {
        table.elements.push_back(element_of(branch));
    }
    for (const SmoothBranch& smooth : assembled.line.smooth) {
        table.elements.push_back({.name = smooth.name,
                                  .kind = kind(smooth.law),
                                  .row = row_of(smooth.row),
                                  .damping = 0.0,
                                  .parts = {},
                                  .smooth = parameters(smooth.law)});
        table.elements.back().smooth.emplace_back("reference_inertia",
                                                  static_cast<double>(smooth.reference));
    }
    for (const FaceBranch& faces : assembled.line.faces) {
        table.elements.push_back({.name = faces.name,
                                  .kind = "rubbing faces",
                                  .row = row_of(faces.row),
                                  .damping = 0.0,
                                  .parts = {},
                                  .smooth = parameters(faces.law)});
        std::vector<std::pair<std::string, double>>& out = table.elements.back().smooth;
        for (std::size_t m = 0; m < faces.modulations.size(); ++m) {
            const FaceModulation& one = faces.modulations[m];
            out.emplace_back(fmt::format("swing_{}_share", m), one.share);
            out.emplace_back(fmt::format("swing_{}_phase", m), one.phase);
            for (const RowEntry& entry : one.row) {
                out.emplace_back(fmt::format("swing_{}_of_inertia_{}", m, entry.inertia),
                                 entry.factor);
            }
        }
    }
    for (const Input& input : assembled.line.inputs) table.inputs.push_back(input_of(input));
    table.gear_path = assembled.gear_path;
    return table;
}

}  // namespace damper
