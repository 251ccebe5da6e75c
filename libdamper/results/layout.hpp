// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/flat_model.hpp"
#include "libdamper/results/run_record.hpp"

#include <array>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

/// The columns of every table of the result file: said once, used for writing and for reading.
/// Changing a name, a unit or a type here changes the file format: raise `format_version`.
namespace damper::layout {

inline constexpr const char* format_name = "damper result";
inline constexpr int format_version = 3;

/// One column: name and unit (UDUNITS) in the file, meaning, member of the row.
template <class Row, class T>
struct Column {
    const char* name;
    const char* units;
    const char* meaning;
    T Row::*member;
};
template <class Row, class T>
Column(const char*, const char*, const char*, T Row::*) -> Column<Row, T>;

using TextPair = std::pair<std::string, std::string>;
using NumberPair = std::pair<std::string, double>;

/// Columns of /course beside its axis, the speed.
inline constexpr std::array course_columns = {
    Column<SpeedCourse, std::vector<double>>{"flywheel_acceleration", "rad/s2",
                                             "flywheel acceleration at the firing order, 0 to peak",
                                             &SpeedCourse::flywheel_acceleration},
    Column<SpeedCourse, std::vector<double>>{
        "input_shaft_acceleration", "rad/s2",
        "input shaft acceleration at the firing order, 0 to peak",
        &SpeedCourse::input_shaft_acceleration},
    Column<SpeedCourse, std::vector<double>>{
        "drive_shaft_torque", "N.m", "torque in the drive shafts at the firing order, 0 to peak",
        &SpeedCourse::drive_shaft_torque}};

inline constexpr std::tuple inputs{Column{"file", "", "file that was read", &TextPair::first},
                                   Column{"sha256", "", "SHA-256 of its bytes", &TextPair::second}};
inline constexpr std::tuple conditions{
    Column{"name", "", "condition of the run", &TextPair::first},
    Column{"value", "", "value with its unit", &TextPair::second}};
/// Only there where a cause changed something.
inline constexpr std::tuple causes{
    Column{"key", "", "key that a cause changed", &TextPair::first},
    Column{"cause", "", "its name", &TextPair::second},
};

inline constexpr std::tuple changes{
    Column{"key", "", "key that was overridden", &TextPair::first},
    Column{"value", "", "value that it was given", &TextPair::second}};

inline constexpr std::tuple inertias{
    Column{"name", "", "name of the inertia", &ModelTable::Inertia::name},
    Column{"inertia", "kg.m2", "moment of inertia J", &ModelTable::Inertia::inertia},
    Column{"reference_speed", "rad/s", "uniform rotation that angles deviate from",
           &ModelTable::Inertia::reference_speed}};
inline constexpr std::tuple elements{
    Column{"name", "", "name of the element", &FlatModel::Element::name},
    Column{"kind", "", "kind of the element", &FlatModel::Element::kind},
    Column{"damping", "N.m.s/rad", "torque per rate of twist, besides the parts",
           &FlatModel::Element::damping}};
inline constexpr std::tuple rows{
    Column{"element", "", "row in elements", &FlatModel::Coefficient::element},
    Column{"inertia", "", "row in inertias", &FlatModel::Coefficient::inertia},
    Column{"coefficient", "1", "g in twist = sum of g times angle",
           &FlatModel::Coefficient::coefficient}};
inline constexpr std::tuple parts{
    Column{"element", "", "row in elements", &FlatModel::Part::element},
    Column{"name", "", "name of the part", &FlatModel::Part::name},
    Column{"kind", "", "kind of the part", &FlatModel::Part::kind},
    Column{"cell", "", "position in the chain of cells of its element", &FlatModel::Part::cell}};
inline constexpr std::tuple modes{
    Column{"part", "", "row in parts", &FlatModel::Mode::part},
    Column{"label", "", "what the part does in this mode", &FlatModel::Mode::label},
    Column{"spring", "N.m/rad", "torque per twist", &FlatModel::Mode::spring},
    Column{"rest", "rad", "twist without spring torque", &FlatModel::Mode::rest},
    Column{"memory_weight", "1", "share of the memory in the rest twist",
           &FlatModel::Mode::memory_weight},
    Column{"energy_offset", "J", "stored energy at rest", &FlatModel::Mode::energy_offset},
    Column{"lost", "N.m", "torque that only dissipates", &FlatModel::Mode::lost},
    Column{"lost_rate", "N.m.s/rad", "dissipating torque per rate of twist",
           &FlatModel::Mode::lost_rate}};
inline constexpr std::tuple guards{
    Column{"mode", "", "row in modes", &FlatModel::Guard::mode},
    Column{"offset", "", "constant term; the guard fires when the sum falls below 0",
           &FlatModel::Guard::offset},
    Column{"twist", "", "times the twist [rad]", &FlatModel::Guard::twist},
    Column{"rate", "", "times the rate of twist [rad/s]", &FlatModel::Guard::rate},
    Column{"memory", "", "times the memory [rad]", &FlatModel::Guard::memory},
    Column{"next", "", "mode that follows, counted within the part", &FlatModel::Guard::next},
    Column{"resets", "", "1: sets the memory on firing", &FlatModel::Guard::resets},
    Column{"reset_offset", "rad", "memory after firing: constant term",
           &FlatModel::Guard::reset_offset},
    Column{"reset_twist", "1", "memory after firing: times the twist",
           &FlatModel::Guard::reset_twist},
    Column{"reset_memory", "1", "memory after firing: times the memory before",
           &FlatModel::Guard::reset_memory}};
inline constexpr std::tuple smooth{
    Column{"element", "", "row in elements", &FlatModel::Parameter::owner},
    Column{"name", "", "parameter of the smooth law", &FlatModel::Parameter::name},
    Column{"value", "", "in SI units", &FlatModel::Parameter::value}};
inline constexpr std::tuple model_inputs{
    Column{"name", "", "name of the input", &FlatModel::Input::name},
    Column{"kind", "", "kind of the input", &FlatModel::Input::kind},
    Column{"inertia", "", "row in inertias that the torque acts on", &FlatModel::Input::inertia}};
inline constexpr std::tuple input_parameters{
    Column{"input", "", "row in inputs", &FlatModel::Parameter::owner},
    Column{"name", "", "parameter of the input", &FlatModel::Parameter::name},
    Column{"value", "", "in SI units", &FlatModel::Parameter::value}};
inline constexpr std::tuple input_tables{
    Column{"input", "", "row in inputs", &FlatModel::Table::owner},
    Column{"name", "", "list of the input", &FlatModel::Table::name},
    Column{"count", "", "how many of input_values, after those of the rows above",
           &FlatModel::Table::count}};
inline constexpr std::tuple gear_path{
    Column{"step", "", "step of the torque path", &NumberPair::first},
    Column{"ratio", "1", "input speed over output speed", &NumberPair::second}};

inline constexpr std::tuple impacts{
    Column{"time", "s", "time of touching", &Impact::time},
    Column{"element", "", "row in events/elements", &Impact::element},
    Column{"side", "", "+1 drive face, -1 coast face", &Impact::side},
    Column{"closing_speed", "rad/s", "rate of twist at touching", &Impact::closing_speed},
    Column{"impulse", "N.m.s", "integral of the torque over the contact", &Impact::impulse},
    Column{"peak_torque", "N.m", "largest torque in the contact", &Impact::peak_torque},
    Column{"energy_lost", "J", "dissipated in the contact", &Impact::energy_lost},
    Column{"duration", "s", "length of the contact", &Impact::duration},
    Column{"crank_angle", "rad", "crank angle at touching, counted on", &Impact::crank_angle}};
inline constexpr std::tuple mode_changes{
    Column{"time", "s", "time of the change", &ModeChange::time},
    Column{"element", "", "row in events/elements", &ModeChange::element},
    Column{"from", "", "row in events/modes", &ModeChange::from},
    Column{"to", "", "row in events/modes", &ModeChange::to}};

inline constexpr std::tuple corners{
    Column{"name", "", "corner of the characteristic", &DiscLoop::Corner::name},
    Column{"twist", "rad", "twist at the corner", &DiscLoop::Corner::twist},
    Column{"torque", "N.m", "mean of both branches there", &DiscLoop::Corner::torque}};
inline constexpr std::tuple stage_use{
    Column{"stage", "", "stage of the disc", &StageUse::stage},
    Column{"share", "1", "share of the time that is measured", &StageUse::share},
    Column{"entries", "s-1", "times entered per second", &StageUse::entries}};
inline constexpr std::tuple gear_impacts{
    Column{"element", "", "gear pair or other lash", &GearImpacts::element},
    Column{"rate", "s-1", "impacts per second", &GearImpacts::rate},
    Column{"energy_rate", "W", "energy lost in impacts per second", &GearImpacts::energy_rate},
    Column{"impulse_mean", "N.m.s", "mean impulse", &GearImpacts::impulse_mean},
    Column{"closing_speed_rms", "rad/s", "RMS of the closing speeds",
           &GearImpacts::closing_speed_rms},
    Column{"closing_speed_max", "rad/s", "largest closing speed", &GearImpacts::closing_speed_max},
    Column{"threshold_ratio", "1",
           "inertia torque over drag torque at the loose gear; 0: no meaning",
           &GearImpacts::threshold_ratio}};

inline constexpr std::tuple judgements{
    Column{"measure", "", "name in measures", &Judgement::measure},
    Column{"units", "", "unit of value, good and bad", &Judgement::units},
    Column{"value", "", "value of the measure", &Judgement::value},
    Column{"good", "", "still good up to here", &Judgement::good},
    Column{"bad", "", "bad beyond here", &Judgement::bad},
    Column{"grade", "", "good, watch or bad", &Judgement::grade},
    Column{"margin", "1", "distance from the good limit relative to it; negative: missed",
           &Judgement::margin},
    Column{"source", "", "whose limit", &Judgement::source},
    Column{"sentence", "", "what it means", &Judgement::sentence}};
inline constexpr std::tuple bands{
    Column{"measure", "", "name in measures", &BandResult::measure},
    Column{"units", "", "unit of low, high and value", &BandResult::units},
    Column{"low", "", "lower end of the band", &BandResult::low},
    Column{"high", "", "upper end of the band", &BandResult::high},
    Column{"value", "", "value of the measure", &BandResult::value},
    Column{"within", "", "1: inside the band", &BandResult::within},
    Column{"source", "", "whose band", &BandResult::source}};

inline constexpr std::tuple energy{
    Column{"element", "", "element, input or the inertias", &EnergyBook::Entry::element},
    Column{"supplied", "J", "work done on the driveline", &EnergyBook::Entry::supplied},
    Column{"dissipated", "J", "turned into heat", &EnergyBook::Entry::dissipated},
    Column{"stored_change", "J", "stored at the end minus at the start",
           &EnergyBook::Entry::stored_change}};

}  // namespace damper::layout
