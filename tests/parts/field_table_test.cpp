// SPDX-License-Identifier: MIT
#include "libdamper/parts/field.hpp"
#include "libdamper/parts/vehicle_fields.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/scenario/scenario_fields.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <set>
#include <string>
#include <type_traits>
#include <variant>

using namespace damper;

namespace {

template <class T>
struct DimensionOf {
    static constexpr bool known = false;
};
template <Dimension D>
struct DimensionOf<Quantity<D>> {
    static constexpr bool known = true;
    static constexpr Dimension value = D;
};
template <>
struct DimensionOf<int> {
    static constexpr bool known = true;
    static constexpr Dimension value{};
};
template <Dimension D>
struct DimensionOf<std::vector<Quantity<D>>> : DimensionOf<Quantity<D>> {};
template <>
struct DimensionOf<std::vector<int>> : DimensionOf<int> {};

double si(std::string_view text, const Dimension& dimension) {
    const auto read = read_quantity(text, dimension);
    CAPTURE(std::string(text));
    REQUIRE(std::holds_alternative<double>(read));
    return std::get<double>(read);
}

template <class Part>
void check_table() {
    std::set<std::string> keys;
    CHECK(PartTable<Part>::noun.substr(0, 1) != " ");
    for_each_field<Part>([&]<class Owner, class Value>(const Field<Owner, Value>& one) {
        CAPTURE(std::string(one.key));
        CHECK(keys.insert(std::string(one.key)).second);
        CHECK_FALSE(one.meaning.empty());
        if constexpr (DimensionOf<Value>::known) {
            constexpr Dimension dimension = DimensionOf<Value>::value;
            const double low = si(one.range.low, dimension);
            const double high = si(one.range.high, dimension);
            CHECK(low < high);
            if (one.need.kind == Need::Kind::has_default) {
                const double value = si(one.need.text, dimension);
                CHECK(value >= low);
                CHECK(value <= high);
                CHECK_FALSE((one.range.low_excluded && value <= low));
            }
        } else if constexpr (std::is_same_v<Value, std::string>) {
            const auto& words = one.range.words;
            const bool has_default = one.need.kind == Need::Kind::has_default;
            if (!words.empty() && has_default) {
                CHECK(std::ranges::find(words, one.need.text) != words.end());
            }
        }
    });
    CHECK_FALSE(keys.empty());
}

template <class Part>
std::set<std::string> keys_with(Need::Kind kind) {
    std::set<std::string> keys;
    for_each_field<Part>([&](const auto& one) {
        if (one.need.kind == kind) keys.emplace(one.key);
    });
    return keys;
}

}  // namespace

TEST_CASE("ranges and defaults of every table have the unit of their key and are in order") {
    check_table<TorqueHarmonic>();
    check_table<Combustion>();
    check_table<Engine>();
    check_table<DiscStage>();
    check_table<Disc>();
    check_table<GearPair>();
    check_table<Oil>();
    check_table<Gearbox>();
    check_table<Axle>();
    check_table<Tyre>();
    check_table<Body>();
    check_table<ReleaseGear>();
    check_table<HeatMass>();
    check_table<Cover>();
    check_table<FadePoint>();
    check_table<CushionPoint>();
    check_table<Facing>();
    check_table<Flywheel>();
    check_table<Vehicle>();
    check_table<Idle>();
    check_table<TorqueChange>();
    check_table<Conditions>();
    check_table<Recording>();
}

TEST_CASE("what may be left out is what the descriptions promise") {
    using Set = std::set<std::string>;
    using Kind = Need::Kind;
    CHECK(keys_with<DiscStage>(Kind::has_default) == Set{"name", "coast_stiffness", "friction_play",
                                                         "preload", "friction_factor", "springs",
                                                         "springs_broken"});
    CHECK(keys_with<Disc>(Kind::has_default) == Set{"title", "origin", "assembly", "flywheel",
                                                    "flange_inertia", "friction_grip", "damping",
                                                    "spline_play"});
    CHECK(keys_with<Axle>(Kind::has_default) == Set{"title", "origin", "propshaft_stiffness",
                                                    "propshaft_inertia", "propshaft_loss_factor"});
    CHECK(keys_with<Tyre>(Kind::has_default) == Set{"title", "origin", "carcass_damping", "grip"});
    CHECK(keys_with<Engine>(Kind::may_be_absent) ==
          Set{"firing_intervals", "top_speed", "pressure_trace", "cylinder_gains", "bore", "stroke",
              "rod_length", "compression_ratio", "reciprocating_mass", "combustion", "harmonics",
              "full_load", "overrun"});
    CHECK(keys_with<Idle>(Kind::required).empty());
    CHECK(keys_with<TorqueChange>(Kind::required) == Set{"gear", "speed", "from", "to"});
    CHECK(keys_with<Vehicle>(Kind::required).size() == 9);
    CHECK(keys_with<Vehicle>(Kind::may_be_absent) ==
          Set{"cover", "facing", "flywheel", "two_mass_flywheel", "mounts"});
    CHECK(keys_with<TwoMassFlywheel>(Kind::required) == Set{"primary_inertia", "secondary_inertia",
                                                            "stages", "stop_stiffness",
                                                            "base_hysteresis", "arc_hysteresis"});
    CHECK(keys_with<Mounts>(Kind::required) == Set{"roll_inertia", "roll_stiffness", "damping"});
    CHECK(keys_with<Facing>(Kind::may_be_absent) == Set{"slip_friction", "fade", "cushion"});
    CHECK(keys_with<Cover>(Kind::may_be_absent) == Set{"centre_plate"});
}

TEST_CASE("a field reaches the member that it names") {
    Disc disc;
    disc.hub_inertia = Inertia::from_si(0.002);
    bool reached = false;
    for_each_field<Disc>([&](const auto& one) {
        if constexpr (std::is_same_v<decltype(one.member), Inertia Disc::*>) {
            if (one.key == "hub_inertia") reached = disc.*one.member == disc.hub_inertia;
        }
    });
    CHECK(reached);
}
