// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/results/response_file.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"

#include <fmt/format.h>
#include <set>
#include <span>
#include <string_view>

namespace damper {

namespace {

using layout::Column;
using Record = ResponseRecord;

constexpr const char* format_name = "damper response";
constexpr std::int64_t format_version = 1;

struct TopRow {
    std::string response;
    double frequency = 0.0, peak = 0.0, damping = 0.0;
};

// As in layout.hpp: said once. A change here raises `format_version`.
constexpr std::tuple inertias{
    Column{"name", "", "name of the inertia", &Record::Inertia::name},
    Column{"inertia", "kg.m2", "moment of inertia J", &Record::Inertia::inertia}};
constexpr std::tuple elements{
    Column{"name", "", "name of the element", &Record::Element::name},
    Column{"stiffness", "N.m/rad", "torque per twist", &Record::Element::stiffness},
    Column{"damping", "N.m.s/rad", "torque per rate of twist", &Record::Element::damping}};
constexpr std::tuple rows{Column{"element", "", "row in elements", &Record::Coefficient::element},
                          Column{"inertia", "", "row in inertias", &Record::Coefficient::inertia},
                          Column{"coefficient", "1", "g in twist = sum of g times angle",
                                 &Record::Coefficient::coefficient}};
constexpr std::tuple tops{
    Column{"response", "", "group in spectra", &TopRow::response},
    Column{"frequency", "Hz", "frequency of the top", &TopRow::frequency},
    Column{"peak", "", "magnitude there, in the unit of the response", &TopRow::peak},
    Column{"damping", "1", "half the width at 0.7071 of the peak over the frequency",
           &TopRow::damping}};
constexpr std::tuple stages{
    Column{"stage", "", "stage of the disc that moves", &StageIsolation::stage},
    Column{"side", "", "drive or coast", &StageIsolation::side},
    Column{"torque", "N.m", "steady torque in the middle of the stage", &StageIsolation::torque},
    Column{"stiffness", "N.m/rad", "of the whole disc", &StageIsolation::stiffness},
    Column{"slips", "1", "gearbox input over flywheel at the firing frequency, friction slipping",
           &StageIsolation::slips_firing},
    Column{"sticks", "1", "gearbox input over flywheel at the firing frequency, friction sticking",
           &StageIsolation::sticks_firing}};

void require(bool holds, const std::string& sentence) {
    if (!holds) throw ModelError(sentence);
}

void check(const Record& record) {
    const std::size_t count = record.frequency.size();
    std::set<std::string> names;
    for (const ResponseCurve& curve : record.curves) {
        require(curve.magnitude.size() == count && curve.phase.size() == count,
                fmt::format("\"{}\" has another length than the frequencies", curve.name));
        require(!curve.name.empty() &&
                    curve.name.find_first_of(std::string_view("/\0", 2)) == std::string::npos,
                fmt::format("\"{}\" cannot be the name of a response", curve.name));
        require(names.insert(curve.name).second,
                fmt::format("there are two responses \"{}\"", curve.name));
    }
    for (const StageIsolation& stage : record.stages) {
        require(stage.slips.size() == count && stage.sticks.size() == count,
                fmt::format("stage \"{}\" has another length than the frequencies", stage.stage));
    }
    for (const Record::Coefficient& row : record.rows) {
        require(
            row.element >= 0 && static_cast<std::size_t>(row.element) < record.elements.size() &&
                row.inertia >= 0 && static_cast<std::size_t>(row.inertia) < record.inertias.size(),
            "a coefficient of the model points nowhere");
    }
}

void write_point(const GroupOut& root, const Record& record) {
    write_attribute(root.id(), "gear", record.gear);
    write_attribute(root.id(), "engine_speed", record.speed);
    write_attribute(root.id(), "engine_torque", record.torque);
    write_attribute(root.id(), "disc_torque", record.disc_torque);
    write_attribute(root.id(), "stage", record.stage);
    write_attribute(root.id(), "disc_stiffness", record.disc_stiffness);
    write_attribute(root.id(), "firing_order", record.firing_order);
    write_attribute(root.id(), "firing_frequency", record.firing_frequency);
    write_attribute(root.id(), "firing_torque", record.firing_torque);
    write_attribute(root.id(), "from", record.from);
    write_attribute(root.id(), "friction", record.friction);
    write_attribute(root.id(), "swing", record.swing);
    if (!record.equivalent.empty()) write_attribute(root.id(), "met_in", record.swinging);
}

void write_axis(GroupOut& group, std::span<const double> frequency) {
    group.write_axis("frequency", frequency, {"Hz", "frequency of the swinging torque"});
}

void write_curves(GroupOut& root, const Record& record) {
    GroupOut spectra = root.make_group("spectra");
    std::vector<TopRow> found;
    for (const ResponseCurve& curve : record.curves) {
        GroupOut group = spectra.make_group(curve.name);
        write_axis(group, record.frequency);
        group.write_column(
            "magnitude", curve.magnitude,
            {curve.units, "amplitude of the " + curve.label + " per amplitude of the torque"});
        group.write_column("phase", curve.phase,
                           {"rad", "phase of the " + curve.label + ", positive ahead"});
        for (const ResponseCurve::Top& top : curve.tops) {
            found.push_back({curve.name, top.frequency, top.peak, top.damping});
        }
    }
    write_table(root, "resonances", found, tops);
}

/// A part's name from a file as the name of a group: a slash would open another one.
std::string as_name(std::string text) {
    for (char& c : text) {
        if (c == '/' || c == '\0') c = '_';
    }
    return text;
}

void write_stages(GroupOut& root, const Record& record) {
    GroupOut isolation = root.make_group("isolation");
    int number = 0;
    for (const StageIsolation& stage : record.stages) {
        GroupOut group = isolation.make_group(
            as_name(fmt::format("{}_{}_{}", ++number, stage.stage, stage.side)));
        write_axis(group, record.frequency);
        group.write_column("slips", stage.slips,
                           {"1", "speed of gearbox input over flywheel, friction slipping"});
        group.write_column("sticks", stage.sticks,
                           {"1", "speed of gearbox input over flywheel, friction sticking"});
    }
    write_table(root, "stages", record.stages, stages);
}

void write_equivalent(GroupOut& root, const std::vector<EquivalentRow>& table) {
    GroupOut group = root.make_group("equivalent");
    std::vector<double> values;
    const auto take = [&](double EquivalentRow::*member) -> const std::vector<double>& {
        values.clear();
        for (const EquivalentRow& row : table) values.push_back(row.*member);
        return values;
    };
    write_axis(group, take(&EquivalentRow::frequency));
    const auto column = [&](const char* name, const char* units, const char* meaning,
                            double EquivalentRow::*member) {
        group.write_column(name, take(member), {units, meaning});
    };
    column("twist", "rad", "amplitude of the twist of the disc", &EquivalentRow::twist);
    column("mean_twist", "rad", "mean twist of the disc", &EquivalentRow::mean_twist);
    column("stiffness", "N.m/rad", "stiffness of the disc at that swing",
           &EquivalentRow::stiffness);
    column("damping", "N.m.s/rad", "damping of the disc at that swing", &EquivalentRow::damping);
    column("isolation", "1", "speed of gearbox input over flywheel", &EquivalentRow::isolation);
    column("mismatch", "1", "twist answered over twist assumed, less one",
           &EquivalentRow::mismatch);
    column("smaller_twist", "rad", "a second, smaller swing; 0: none",
           &EquivalentRow::smaller_twist);
    column("smaller_isolation", "1", "isolation in that swing; 0: none",
           &EquivalentRow::smaller_isolation);
}

void fill(GroupOut& root, const Record& record) {
    write_identity(root, record.identity, {format_name, format_version}, "frequency response");
    write_point(root, record);
    GroupOut model = root.make_group("model");
    write_table(model, "inertias", record.inertias, inertias);
    write_table(model, "elements", record.elements, elements);
    write_table(model, "rows", record.rows, rows);
    write_curves(root, record);
    write_stages(root, record);
    write_equivalent(root, record.equivalent);
    write_texts(root, "remarks", "remark", record.remarks, "what to mind");
}

}  // namespace

std::vector<std::byte> response_bytes(const ResponseRecord& record) {
    check(record);
    return sealed_image("the file", [&](GroupOut& root) { fill(root, record); });
}

void write_response(const std::filesystem::path& path, const ResponseRecord& record) {
    write_file_atomically(path, response_bytes(record));
}

}  // namespace damper
