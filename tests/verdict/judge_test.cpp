// SPDX-License-Identifier: MIT
#include "libdamper/verdict/judge.hpp"

#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <utility>
#include <vector>

using namespace damper;

namespace {

constexpr double degree = std::numbers::pi / 180.0;

RunFacts idle() {
    RunFacts facts;
    facts.manoeuvre = "idle";
    facts.vehicle_class = "car";
    facts.oil_temperature = 278.15;
    facts.engine_peak_torque = 190.0;
    facts.oil_name = "Thick gear oil";
    facts.drag_at_input = 5.2;
    facts.static_twist = 6.9 * degree;
    facts.stages = {{"idle", 6.0 * degree, -4.0 * degree, 20.0, 2.1, -1.4},
                    {"main", 20.0 * degree, -12.0 * degree, 802.0, 198.0, -113.0}};
    facts.loose_gears = {{"gear 3 loose", 1.5, 1e-3, 0.1}};
    return facts;
}

RunFacts tip_in() {
    RunFacts facts = idle();
    facts.manoeuvre = "tip in";
    facts.acceleration_from = 0.1;
    facts.acceleration_to = 1.6;
    facts.loaded_lashes = {{"gear 2 mesh", 1.0, 0.2}, {"axle", 8.0, 0.2}};
    return facts;
}

MeasureValue measure(std::string name, double value, std::string units = "1",
                     Better better = Better::less) {
    return {std::move(name), std::move(units), "…", better, value};
}

std::vector<MeasureValue> quiet() {
    return {measure("transfer", 0.3),
            measure("input_shaft_acceleration_order", 120.0, "rad/s2"),
            measure("half_order_angle", 0.1 * degree, "rad"),
            measure("time_beyond_first_stage", 0.0),
            measure("time_on_last_stage", 0.0),
            measure("threshold_ratio", 0.6),
            measure("impact_rate", 0.0, "1/s"),
            measure("impact_energy_rate", 0.0, "W"),
            measure("twist_min", 1.0 * degree, "rad", Better::neither),
            measure("twist_max", 4.0 * degree, "rad", Better::neither)};
}

Measured with(std::vector<MeasureValue> measures,
              const std::vector<std::pair<std::string, double>>& changes = {}) {
    Measured measured;
    for (const auto& [name, value] : changes) {
        for (MeasureValue& one : measures) {
            if (one.name == name) one.value = value;
        }
    }
    measured.measures = std::move(measures);
    const double beyond = value_of(measured, "time_beyond_first_stage").value_or(0.0);
    measured.stage_use = {{.stage = "coast stop"},
                          {.stage = "main (coast)"},
                          {.stage = "idle", .share = 1.0 - beyond},
                          {.stage = "main", .share = beyond},
                          {.stage = "drive stop"}};
    return measured;
}

bool says(const std::vector<std::string>& sentences, std::string_view part) {
    for (const std::string& sentence : sentences) {
        if (sentence.find(part) != std::string::npos) return true;
    }
    return false;
}

std::vector<std::string> reasons(const RunFacts& facts, const Measured& measured) {
    return judge(facts, measured).reasons;
}

}  // namespace

TEST_CASE("a quiet run is good, and its headline says so") {
    RunFacts facts = idle();
    facts.static_twist = 2.5 * degree;
    const Verdict verdict = judge(facts, with(quiet()));
    CHECK(verdict.grade == Grade::good);
    CHECK(verdict.headline == "Quiet at idle: all that has a limit is good (7 measured).");
    for (const Judgement& one : verdict.judgements) CHECK(one.margin >= 0.0);
}

TEST_CASE("grades change at the limits, and the margin is the distance to good") {
    const auto grade = [](double value) {
        return judge(idle(), with({measure("transfer", value)})).judgements.at(0);
    };
    CHECK(grade(0.4).grade == Grade::good);
    CHECK(grade(0.41).grade == Grade::watch);
    CHECK(grade(0.8).grade == Grade::watch);
    CHECK(grade(0.81).grade == Grade::bad);
    CHECK(grade(0.3).margin == doctest::Approx(0.25));
    CHECK(grade(0.6).margin == doctest::Approx(-0.5));
}

TEST_CASE("where more is better the limits turn over") {
    const auto grade = [](double value) {
        return judge(tip_in(), with({measure("damping_ratio", value, "1", Better::more)}))
            .judgements.at(0);
    };
    CHECK(grade(0.2).grade == Grade::good);
    CHECK(grade(0.1).grade == Grade::watch);
    CHECK(grade(0.05).grade == Grade::bad);
    CHECK(grade(0.2).margin == doctest::Approx(1.0 / 3.0));
    CHECK(grade(0.1).sentence == "Damping ratio of the shuffle.");
}

TEST_CASE("the worst comes first and sets the grade") {
    const Verdict verdict =
        judge(idle(),
              with(quiet(), {{"transfer", 0.5}, {"threshold_ratio", 3.0}, {"impact_rate", 160.0}}));
    CHECK(verdict.grade == Grade::bad);
    CHECK(verdict.judgements[0].measure == "threshold_ratio");
    CHECK(verdict.judgements[1].measure == "impact_rate");
    CHECK(verdict.judgements[2].measure == "transfer");
    CHECK(
        verdict.headline ==
        "Gear rattle is to be expected at idle: lift-off ratio of the worst loose gear is 3 (good: "
        "at most 0.9); 3 of 7 measures with a limit are not good.");
}

TEST_CASE("many impacts are bad when they are hard, and something to watch when they are soft") {
    const auto grade = [](double closing) {
        auto measures = quiet();
        measures.push_back(measure("impact_closing_speed_rms", closing, "rad/s"));
        return judge(idle(), with(measures, {{"impact_rate", 565.0}})).grade;
    };
    CHECK(grade(0.31) == Grade::bad);
    CHECK(grade(0.15) == Grade::watch);
}

TEST_CASE("a disc on its last stage with all else good is told mildly, but keeps its grade") {
    const Verdict verdict = judge(
        idle(), with(quiet(), {{"time_beyond_first_stage", 1.0}, {"time_on_last_stage", 1.0}}));
    CHECK(verdict.grade == Grade::bad);
    CHECK(verdict.headline.starts_with(
        "Quiet at idle, but the disc works on its main stage, which is not meant for idling: time "
        "on the disc's last stage is 100 %"));
}

TEST_CASE("the headline follows the worst grade: milder topics do not lead") {
    const auto headline = [](const std::vector<std::pair<std::string, double>>& changes) {
        return judge(idle(), with(quiet(), changes)).headline;
    };
    // An engine to watch beside a disc that is bad.
    CHECK(headline({{"half_order_angle", 0.7 * degree}, {"transfer", 1.2}})
              .starts_with("The disc carries the engine's swing through at idle, but the loose "
                           "gears stay quiet: swing of the input shaft over that of the flywheel "
                           "is 1.2"));
    CHECK(headline({{"threshold_ratio", 1.2}, {"transfer", 1.2}})
              .starts_with("The disc carries the engine's swing through at idle, but gear "
                           "rattle is not far away"));
    CHECK(headline({{"transfer", 0.5}}).starts_with("The disc lets some of the engine's swing"));
    CHECK(headline({{"transfer", 0.5}, {"time_on_last_stage", 1.0}})
              .starts_with("The disc works on its main stage at idle, and lets some of the "
                           "engine's swing through: time"));
    CHECK(headline({{"threshold_ratio", 1.2}, {"time_on_last_stage", 1.0}})
              .starts_with("The disc works on its main stage at idle, and gear rattle is not far"));
    CHECK(headline({{"threshold_ratio", 1.2}}).starts_with("Gear rattle at idle is not far away"));
    CHECK(judge(tip_in(), with({measure("clunk_energy", 30.0, "J")}))
              .headline.starts_with("A clunk is to be expected at tip-in: energy"));
    CHECK(judge(tip_in(), with({measure("response_delay", 0.3, "s")}))
              .headline.starts_with("The vehicle answers a little late at tip-in"));
}

TEST_CASE("an uneven engine leads the headline and clears the disc") {
    const Measured uneven =
        with(quiet(), {{"half_order_angle", 3.3 * degree}, {"impact_energy_rate", 0.097}});
    const Verdict verdict = judge(idle(), uneven);
    CHECK(verdict.headline.starts_with(
        "The engine runs unevenly at idle, and the loose gears strike"));
    CHECK(verdict.reasons.at(0) ==
          "The engine runs unevenly: order ½ swings the flywheel by ±3.3°; "
          "no disc option cures that.");
    CHECK_FALSE(says(reasons(idle(), with(quiet())), "unevenly"));

    const Measured rattles =
        with(quiet(), {{"half_order_angle", 0.7 * degree}, {"threshold_ratio", 2.0}});
    CHECK(judge(idle(), rattles).headline.starts_with("Gear rattle is to be expected at idle"));
}

TEST_CASE("drag beyond the idle stage is named with its numbers and the torque it would take") {
    const std::vector<std::pair<std::string, double>> past = {{"time_beyond_first_stage", 0.61},
                                                              {"time_on_last_stage", 0.61},
                                                              {"twist_max", 7.4 * degree},
                                                              {"twist_min", 5.4 * degree}};
    CHECK(says(reasons(idle(), with(quiet(), past)),
               "The drag of the cold oil at 5 °C (Thick gear oil), 5.2 N m, is more than the 2.1 "
               "N m its idle stage can hold and turns the disc 0.9° past the end of that stage "
               "(6.0°): it works on its main stage for 61 % of the time."));

    RunFacts hot = idle();
    hot.oil_temperature = 353.15;
    CHECK(says(reasons(hot, with(quiet(), past)), "The drag of the oil at 80 °C"));

    RunFacts near = idle();
    near.static_twist = 5.4 * degree;
    near.drag_at_input = 1.9;
    CHECK(says(reasons(near, with(quiet(), past)),
               "1.9 N m of the 2.1 N m its idle stage can hold, uses 5.4° of the stage's 6.0°; the "
               "swing of ±1.0° does the rest: the disc works on its main stage for 61 %"));

    RunFacts corner = idle();
    corner.static_twist = 6.02 * degree;
    CHECK(says(reasons(corner, with(quiet(), past)),
               "keeps the disc at the end of that stage (6.0°). With its swing of ±1.0° it works "
               "on its main stage for 61 % of the time."));
    corner.drag_at_input = 2.1004;  // more, but not on paper
    auto still = past;
    still[3].second = 7.39 * degree;
    const auto stays = reasons(corner, with(quiet(), still));
    CHECK(says(stays, "takes up the 2.1 N m its idle stage can hold"));
    CHECK(says(stays, "It stays there and works on its main stage for 61 % of the time."));
    CHECK_FALSE(says(stays, "±0.0°"));

    RunFacts small = idle();
    small.static_twist = 1.0 * degree;
    const auto sentences = reasons(small, with(quiet(), past));
    CHECK(says(sentences, "The disc swings by ±1.0° and leaves its idle stage (-4.0° to 6.0°)"));
    CHECK_FALSE(says(sentences, "The drag of the"));

    // A swing that would leave the stage from its middle too is not the drag's doing.
    RunFacts wide = idle();
    wide.static_twist = 2.0 * degree;
    const auto swings = with(quiet(), {{"time_beyond_first_stage", 0.1},
                                       {"twist_max", 7.4 * degree},
                                       {"twist_min", -3.0 * degree}});
    CHECK(says(reasons(wide, swings), "the drag alone would hold it at 2.0°"));
}

TEST_CASE("a middle stage is called by its name, and its work is no fault") {
    RunFacts facts = idle();
    facts.stages = {{"idle", 6.0 * degree, -4.0 * degree, 20.0, 2.1, -1.4},
                    {"middle", 10.0 * degree, -4.0 * degree, 140.0, 12.0, -1.4},
                    {"", 20.0 * degree, -12.0 * degree, 802.0, 152.0, -113.0}};
    Measured measured = with(quiet(), {{"time_beyond_first_stage", 0.5}});
    measured.stage_use = {{.stage = "coast stop"},
                          {.stage = "stage 3 (coast)"},
                          {.stage = "idle", .share = 0.5},
                          {.stage = "middle", .share = 0.5},
                          {.stage = "stage 3"},
                          {.stage = "drive stop"}};
    const Verdict verdict = judge(facts, measured);
    CHECK(verdict.grade == Grade::good);
    CHECK(says(verdict.reasons, "works on its middle stage for 50 % of the time."));
    // All is well: the remark comes after what tells more.
    CHECK(judge(facts, with(quiet())).grade == Grade::good);

    measured.stage_use[3].share = 0.4;
    measured.stage_use[1].share = 0.02;
    measured.stage_use[4].share = 0.03;
    measured.stage_use[5].share = 0.05;
    CHECK(says(reasons(facts, measured),
               "works on its middle stage for 40 % of the time and on its stage 3 for 10 %."));
}

TEST_CASE(
    "an idle stage with more friction than its springs or the drag can turn is called tight") {
    RunFacts facts = idle();
    facts.static_twist = 2.0 * degree;
    facts.drag_at_input = 1.5;
    const auto moves = [&](double limit, double swing, double transfer) {
        facts.stages[0].friction_limit = limit;
        return reasons(facts, with(quiet(), {{"transfer", transfer},
                                             {"twist_min", (2.0 - swing) * degree},
                                             {"twist_max", (2.0 + swing) * degree}}));
    };
    const auto stuck = moves(0.6, 0.3, 0.7);
    CHECK(says(stuck,
               "The idle stage is tight: its friction (1.2 N m between turning out and back) is "
               "more than the 1.05 N m its springs carry at half travel, so that it hardly moves "
               "(±0.3°)."));
    CHECK(says(stuck, "lets 70 % of the flywheel's swing through at the firing order."));
    CHECK_FALSE(says(moves(0.5, 0.3, 0.7), "tight"));  // 1 N m: springs and drag are stronger
    CHECK_FALSE(says(moves(0.6, 3.0, 0.7), "tight"));  // it moves
    CHECK_FALSE(says(moves(0.6, 0.3, 0.3), "tight"));  // it isolates
    facts.drag_at_input = 0.8;
    CHECK(says(moves(0.5, 0.3, 0.7), "more than the drag of 0.8 N m that is there to turn it"));
}

TEST_CASE("inside the idle stage nothing is said about leaving it") {
    CHECK_FALSE(says(reasons(idle(), with(quiet())), "idle stage"));
}

TEST_CASE("a disc that carries the swing through is named, and why if it stays in its stage") {
    const auto inside = reasons(idle(), with(quiet(), {{"transfer", 1.89}}));
    CHECK(says(inside, "the input shaft swings 1.89 times as much as the flywheel"));
    CHECK(says(reasons(idle(), with(quiet(), {{"transfer", 1.0}})), "swings 1.00 times as much"));
    const auto some = reasons(idle(), with(quiet(), {{"transfer", 0.46}}));
    CHECK(says(some, "The disc lets 46 % of the flywheel's swing through at the firing order"));
    CHECK_FALSE(says(some, "carries the swing through"));
    CHECK(says(inside, "the stage's own friction or stiffness carries it"));
    const auto outside =
        reasons(idle(), with(quiet(), {{"transfer", 1.89}, {"time_beyond_first_stage", 0.2}}));
    CHECK(says(outside, "the input shaft swings 1.89 times"));
    CHECK_FALSE(says(outside, "the stage's own friction"));
    CHECK_FALSE(says(reasons(idle(), with(quiet())), "carries the swing through"));
}

TEST_CASE("the loose gears that lift off are named, worst first; of held ones only the worst") {
    Measured measured = with(quiet());
    measured.gear_impacts = {{.element = "gear 3 loose", .threshold_ratio = 2.3},
                             {.element = "gear 5 loose", .threshold_ratio = 0.9}};
    auto sentences = reasons(idle(), measured);
    CHECK(says(sentences,
               "Loose gear 3 lifts off: its inertia asks 2.30 times what its drag can hold."));
    CHECK_FALSE(says(sentences, "gear 5"));
    CHECK_FALSE(says(sentences, "holds every loose gear"));
    measured.gear_impacts[1].threshold_ratio = 2.5;
    CHECK(says(reasons(idle(), measured),
               "Loose gear 5 lifts off: its inertia asks 2.50 times what "
               "its drag can hold; so do loose gear 3 (2.30)."));
    measured.gear_impacts[1].threshold_ratio = 0.9;
    measured.gear_impacts[0].threshold_ratio = 0.7;
    sentences = reasons(idle(), measured);
    CHECK_FALSE(says(sentences, "lifts off"));
    CHECK(says(sentences, "the worst, loose gear 5, asks 0.90 times"));
    RunFacts bare = idle();
    bare.loose_gears[0].drag = 0.0;
    CHECK_FALSE(says(reasons(bare, measured), "holds every loose gear"));
}

TEST_CASE("gears that strike below lift-off of the firing order point to other orders") {
    RunFacts facts = idle();
    facts.firing_order = 2.0;
    // Input shaft: 120 rad/s2 at the firing order.
    const auto strikes = [&](double half, double fourth, double rate = 80.0) {
        Measured measured = with(quiet(), {{"impact_rate", rate}});
        measured.gear_impacts = {{.element = "gear 3 loose", .threshold_ratio = 0.6}};
        measured.spectra = {
            {"flywheel_acceleration", "rad/s2", {0.5, 2.0, 4.0}, {900.0, 900.0, 900.0}},
            {"input_shaft_acceleration", "rad/s2", {0.5, 2.0, 4.0}, {half, 120.0, fourth}}};
        return reasons(facts, measured);
    };
    CHECK(
        says(strikes(9.0, 90.0),
             "The firing order alone would lift no loose gear (the worst, loose gear 3, asks 0.60 "
             "times what its drag can hold), and still they strike: with order 4 (90 rad/s²) on "
             "top it asks up to 1.05 times."));
    CHECK(says(strikes(60.0, 40.0),
               "still they strike: with all other orders on top, the strongest of them ½ (60 "
               "rad/s²), it asks up to 1.10 times."));
    CHECK(says(strikes(9.0, 9.0), "and still they strike."));
    CHECK_FALSE(says(strikes(9.0, 90.0), "holds every loose gear"));
    CHECK(says(strikes(9.0, 90.0, 0.0), "holds every loose gear"));
    CHECK_FALSE(says(strikes(9.0, 90.0, 0.0), "still they strike"));
}

TEST_CASE("impacts that are many but soft are told with their reason, hard ones are not") {
    const auto sentences = [](double rate, double closing) {
        auto measures = quiet();
        measures.push_back(measure("impact_closing_speed_rms", closing, "rad/s"));
        return reasons(idle(), with(measures, {{"impact_rate", rate}}));
    };
    CHECK(
        says(sentences(565.0, 0.15),
             "Their rate alone would be bad (above 150 per second), but they are soft: they close "
             "with 0.15 rad/s (rms), not more than 0.3. So their rate is something to watch."));
    CHECK_FALSE(says(sentences(565.0, 0.31), "soft"));
    CHECK_FALSE(says(sentences(140.0, 0.15), "soft"));
}

TEST_CASE("impacts are counted in words only where there are some") {
    CHECK(says(
        reasons(idle(), with(quiet(), {{"impact_rate", 224.0}, {"impact_energy_rate", 0.214}})),
        "strike 224 times per second and lose 214 mW in it."));
    CHECK_FALSE(says(reasons(idle(), with(quiet())), "strike"));
}

TEST_CASE("a disc without idle stage is told, a disc with one is not") {
    RunFacts facts = idle();
    CHECK_FALSE(says(reasons(facts, with(quiet())), "has no idle stage"));
    facts.stages = {facts.stages[1]};
    CHECK(says(reasons(facts, with(quiet())),
               "has no idle stage: its first stage, 14 N m per degree"));
}

TEST_CASE("with the clutch open the disc is not blamed") {
    RunFacts facts = idle();
    facts.clutch_closed = false;
    const auto silent = reasons(facts, with(quiet(), {{"time_beyond_first_stage", 0.5}}));
    CHECK(says(silent, "The clutch is open"));
    CHECK(says(silent, "rest (impacts per second: 0)"));
    CHECK_FALSE(says(silent, "idle stage"));
    CHECK(says(reasons(facts, with(quiet(), {{"impact_rate", 12.0}})),
               "still the loose gears strike 12 times per second"));
}

TEST_CASE("a ringing shuffle is told with frequency, loss and cycles; a damped one as such") {
    const auto shuffle = [](double zeta) {
        const double d = 2.0 * std::numbers::pi * zeta / std::sqrt(1.0 - zeta * zeta);
        return with({measure("shuffle_frequency", 2.1, "Hz", Better::neither),
                     measure("log_decrement", d, "1", Better::more),
                     measure("damping_ratio", zeta, "1", Better::more),
                     measure("settle_cycles", 3.7)});
    };
    CHECK(
        says(reasons(tip_in(), shuffle(0.1)),
             "The driveline rings on: it shuffles at 2.1 Hz and loses 47 % of its swing per cycle "
             "(damping ratio 0.1); it settles after 3.7 cycles."));
    CHECK_FALSE(says(reasons(tip_in(), shuffle(0.3)), "rings on"));
    CHECK(says(reasons(tip_in(), shuffle(0.3)), "dies quickly"));
    CHECK(judge(tip_in(), shuffle(0.05))
              .headline.starts_with("The vehicle jerks or shuffles at tip-in"));
}

TEST_CASE("overshoot is told beyond its limit only") {
    CHECK(says(reasons(tip_in(), with({measure("overshoot", 0.7)})),
               "goes 70 % beyond its step from 0.1 to 1.6 m/s²."));
    CHECK_FALSE(says(reasons(tip_in(), with({measure("overshoot", 0.2)})), "beyond its step"));
}

TEST_CASE("the hardest lash is the one whose sides bring most energy, and its play is told") {
    Measured measured = with({measure("lash_closings", 3.0), measure("clunk_energy", 6.5, "J")});
    measured.gear_impacts = {{.element = "gear 2 mesh", .rate = 1.0, .closing_speed_max = 6.0},
                             {.element = "axle", .rate = 1.0, .closing_speed_max = 2.0}};
    RunFacts facts = tip_in();
    facts.loaded_lashes[1].gap = 3.0 * degree;
    CHECK(says(reasons(facts, measured),
               "Lash closes 3 times, the hardest at \"axle\" with 153 rpm at the input shaft; its "
               "play is 3.0° there (24.0° at the input shaft). Its two sides bring 25.6 J of "
               "kinetic energy to it, which is not what is lost."));
    // Slower at the input shaft, but with more behind it.
    facts.loaded_lashes[0].reduced_inertia = 2.0;
    measured.measures[0].value = 1.0;
    CHECK(says(reasons(facts, measured), "Lash closes once, the hardest at \"gear 2 mesh\""));
    // Touches that are not counted do not make a hardest one.
    measured.gear_impacts[0].closing_speed_max = 0.049;
    measured.gear_impacts[1].closing_speed_max = 0.049;
    CHECK_FALSE(says(reasons(facts, measured), "Lash closes"));
    measured.gear_impacts[1].closing_speed_max = 2.0;
    measured.measures[0].value = 0.0;
    CHECK_FALSE(says(reasons(facts, measured), "Lash closes"));
}

TEST_CASE("play at the wheel is called much by class of vehicle") {
    const auto called = [](const char* vehicle_class, double play) {
        RunFacts facts = tip_in();
        facts.vehicle_class = vehicle_class;
        facts.play_at_wheel = play * degree;
        return says(reasons(facts, with({})), "more than usual even for a worn");
    };
    CHECK(called("car", 6.01));
    CHECK_FALSE(called("car", 5.99));
    CHECK_FALSE(called("light van", 7.9));
    CHECK(called("light van", 8.1));
    CHECK_FALSE(called("medium truck", 9.9));
    CHECK(called("medium truck", 10.1));
    CHECK_FALSE(called("heavy truck", 11.9));
    CHECK(called("heavy truck", 12.1));
}

TEST_CASE("a stop that is hit, one that is near and one that is far") {
    const auto twist = [](double low, double high) {
        return with({measure("twist_min", low * degree, "rad", Better::neither),
                     measure("twist_max", high * degree, "rad", Better::neither)});
    };
    CHECK(
        says(reasons(tip_in(), twist(0.0, 21.3)),
             "runs onto its drive stop: twist 21.3°, stop at 20.0°, where the springs carry 198 N "
             "m; the engine's peak torque is 190 N m."));
    CHECK(says(reasons(tip_in(), twist(-12.5, 3.0)), "runs onto its coast stop: twist -12.5°"));
    CHECK(says(reasons(tip_in(), twist(-3.0, 18.5)), "comes close to its stop"));
    CHECK(reasons(tip_in(), twist(-3.0, 15.0)).empty());
    CHECK(judge(tip_in(), with({measure("stop_contacts", 2.0)}))
              .headline.starts_with("A knock is to be expected at tip-in"));
}

TEST_CASE("bands are compared, and a band on an absent measure is not within") {
    const std::vector<ExpectedBand> bands = {{"transfer", 0.2, 0.4, "author"},
                                             {"transfer", 0.0, 0.1, "author"},
                                             {"no_such_measure", 0.0, 1e9, "author"}};
    const Verdict verdict = judge(idle(), with(quiet()), bands);
    REQUIRE(verdict.bands.size() == 3);
    CHECK(verdict.bands[0].within);
    CHECK(verdict.bands[0].value == 0.3);
    CHECK(verdict.bands[0].units == "1");
    CHECK_FALSE(verdict.bands[1].within);
    CHECK_FALSE(verdict.bands[2].within);
    CHECK(std::isnan(verdict.bands[2].value));
}

TEST_CASE("notes of the measures reach the reader") {
    Measured measured = with(quiet());
    measured.notes = {"No settle time: it still rings."};
    CHECK(says(reasons(idle(), measured), "it still rings"));
}

TEST_CASE("a run without anything to judge says that") {
    CHECK(judge(idle(), Measured{}).headline.starts_with("Nothing to judge"));
}

TEST_CASE("cautions fit the manoeuvre and always end with what the numbers are") {
    const auto at_idle = judge(idle(), with(quiet())).cautions;
    const auto on_road = judge(tip_in(), Measured{}).cautions;
    CHECK(says(at_idle, "neutral"));
    CHECK(says(at_idle, "parking brake"));
    CHECK_FALSE(says(on_road, "neutral"));
    CHECK(says(on_road, "driver"));
    for (const auto& cautions : {at_idle, on_road}) {
        CHECK(says(cautions, "dust"));
        CHECK(says(cautions, "gearbox jack"));
        CHECK(says(cautions, "vehicle maker's procedure"));
        CHECK(cautions.back().find("estimates") != std::string::npos);
    }
}

TEST_CASE("numbers are shown as a workshop reads them") {
    CHECK(as_number(701.4) == "701");
    CHECK(as_number(1.894) == "1.89");
    CHECK(as_number(0.00421) == "0.00421");
    CHECK(as_number(2.0) == "2");
    CHECK(as_number(0.0) == "0");
    CHECK(as_number(-5.25) == "-5.25");
    CHECK(as_rpm(std::numbers::pi) == "30 rpm");
    CHECK(as_degrees(0.1) == "5.7°");
    CHECK(as_celsius(258.15) == "-15 °C");
    CHECK(as_percent(0.613) == "61 %");
    CHECK(as_percent(0.0123) == "1.2 %");
    CHECK(as_percent(0.0002) == "less than 0.1 %");
    CHECK(as_percent(0.0) == "0 %");
    CHECK(show("impact_energy_rate", "W", 0.045) == "45 mW");
    CHECK(show("jerk_peak_to_peak", "m/s3", 12.0) == "12 m/s³");
    CHECK(show("acceleration_peak_to_peak", "m/s2", 1.5) == "1.5 m/s²");
    CHECK(as_ratio(1.0) == "1.00 times");
    CHECK(as_ratio(0.001) == "less than 0.01 times");
    CHECK(as_ratio(23.4) == "23.4 times");
    CHECK(as_times(1.0) == "once");
    CHECK(as_times(2.0) == "twice");
    CHECK(as_times(224.0) == "224 times");
    CHECK(order_words(0.5) == "½");
    CHECK(order_words(2.5) == "2½");
    CHECK(order_words(4.0) == "4");
    CHECK(stage_words("main") == "main stage");
    CHECK(stage_words("stage 2") == "stage 2");
    CHECK(gear_words("gear R loose") == "loose gear R");
    CHECK(gear_words("axle") == "axle");
}
