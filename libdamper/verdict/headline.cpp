// SPDX-License-Identifier: MIT
#include "libdamper/verdict/headline.hpp"

#include "libdamper/measures/stage_use.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <span>
#include <string_view>

namespace damper {
namespace {

/// What is complained of, and the judgement that shows it best.
struct Topic {
    std::string complaint;
    const Judgement* shown = nullptr;
};

constexpr std::array noise{std::string_view{"threshold_ratio"}, std::string_view{"impact_rate"},
                           std::string_view{"impact_energy_rate"}};
constexpr std::array isolation{std::string_view{"transfer"},
                               std::string_view{"input_shaft_acceleration_order"}};

/// The first, thus worst, judgement of a missed limit on one of `measures`; null if there is none.
const Judgement* missed(const std::vector<Judgement>& judgements,
                        std::span<const std::string_view> measures) {
    for (const Judgement& one : judgements) {
        if (one.grade == Grade::good) continue;
        if (std::find(measures.begin(), measures.end(), one.measure) != measures.end()) return &one;
    }
    return nullptr;
}

const Judgement* missed(const std::vector<Judgement>& judgements, std::string_view measure) {
    return missed(judgements, std::span{&measure, 1});
}

std::string last_stage(const RunFacts& facts) {
    if (facts.stages.empty()) return "last stage";
    return stage_words(stage_name(facts.stages, facts.stages.size() - 1));
}

Topic idle_topic(const RunFacts& facts, const std::vector<Judgement>& judgements) {
    const Grade worst = judgements.front().grade;
    const auto leads = [&](const Judgement* one) { return one && one->grade == worst; };
    const Judgement* strikes = missed(judgements, noise);
    const Judgement* half = missed(judgements, "half_order_angle");
    const Judgement* carried = missed(judgements, isolation);
    const char* gears = strikes ? "gear rattle is not far away" : "the loose gears stay quiet";

    if (leads(half)) {
        return {strikes ? "The engine runs unevenly at idle, and the loose gears strike"
                        : "The engine runs unevenly at idle",
                half};
    }
    if (leads(strikes)) {
        return {worst == Grade::bad ? "Gear rattle is to be expected at idle"
                                    : "Gear rattle at idle is not far away",
                strikes};
    }
    if (const Judgement* stop = missed(judgements, "stop_contacts"); leads(stop)) {
        return {"The disc strikes its stop at idle", stop};
    }
    if (leads(carried)) {
        return {fmt::format("The disc {} through at idle, but {}",
                            worst == Grade::bad ? "carries the engine's swing"
                                                : "lets some of the engine's swing",
                            gears),
                carried};
    }
    if (const Judgement* last = missed(judgements, "time_on_last_stage"); leads(last)) {
        if (!strikes && !carried) {
            return {fmt::format("Quiet at idle, but the disc works on its {}, which is not meant "
                                "for idling",
                                last_stage(facts)),
                    last};
        }
        return {fmt::format("The disc works on its {} at idle, and {}", last_stage(facts),
                            strikes ? gears : "lets some of the engine's swing through"),
                last};
    }
    return {"Not all is well at idle", &judgements.front()};
}

Topic change_topic(const RunFacts& facts, const Judgement& worst) {
    const char* manoeuvre = facts.manoeuvre == "tip in" ? "tip-in" : "back-out";
    const bool bad = worst.grade == Grade::bad;
    const auto topic = [&](const char* words) {
        return Topic{fmt::format("{} at {}", words, manoeuvre), &worst};
    };
    if (worst.measure == "stop_contacts" || worst.measure == "flywheel_stop_contacts" ||
        worst.measure == "roll_stop_contacts") {
        return topic("A knock is to be expected");
    }
    if (worst.measure == "clunk_energy") {
        return topic(bad ? "A clunk is to be expected" : "A clunk is not far away");
    }
    if (worst.measure == "response_delay") {
        return topic(bad ? "The vehicle answers late" : "The vehicle answers a little late");
    }
    if (bad) return topic("The vehicle jerks or shuffles");
    return {fmt::format("The {} is not quite smooth", manoeuvre), &worst};
}

/// The manoeuvre as it stands in a sentence.
std::string in_sentence(const RunFacts& facts) {
    if (facts.manoeuvre == "pull") return "when pulling";
    if (facts.manoeuvre == "overrun") return "on the overrun";
    if (facts.manoeuvre == "creep") return "when creeping";
    if (rolls(facts)) return "at the recorded speed";
    if (facts.manoeuvre == "engine start") return "when the engine starts";
    return "when the engine stops";
}

/// Of a manoeuvre that is neither idle nor one change of torque.
Topic driven_topic(const RunFacts& facts, const Judgement& worst) {
    const bool bad = worst.grade == Grade::bad;
    const auto topic = [&](const char* is_bad, const char* is_near) {
        return Topic{fmt::format("{} {}", bad ? is_bad : is_near, in_sentence(facts)), &worst};
    };
    if (worst.measure == "flywheel_stop_contacts") {
        return topic("The two-mass flywheel knocks on its stops",
                     "The two-mass flywheel touches its stops");
    }
    if (worst.measure == "roll_stop_contacts") {
        return topic("A mount knocks on its stop", "A mount touches its stop");
    }
    if (worst.measure == "stop_contacts" || worst.measure == "stop_reserve") {
        return topic("The disc strikes its stop", "The disc comes close to its stop");
    }
    if (worst.measure == "drive_shaft_torque_hump") {
        return topic("A boom is to be expected at one speed",
                     "A boom at one speed is not far away");
    }
    if (worst.measure == "torque_reversals") {
        return topic("The loaded teeth clatter from face to face",
                     "The loaded teeth leave their face");
    }
    return topic("Gear rattle is to be expected", "Gear rattle is not far away");
}

Topic take_up_topic(const std::vector<Judgement>& judgements) {
    const Judgement& worst = judgements.front();
    const bool bad = worst.grade == Grade::bad;
    const auto topic = [&](const char* is_bad, const char* is_near) {
        return Topic{bad ? is_bad : is_near, &worst};
    };
    if (const Judgement* dip = missed(judgements, "engine_dip"); dip && dip->grade == worst.grade) {
        return {bad ? "The engine stalls at take-up" : "The engine is nearly stalled at take-up",
                dip};
    }
    if (worst.measure.starts_with("judder") || worst.measure == "friction_gradient") {
        const Judgement* felt = missed(judgements, "judder_acceleration");
        const bool leads = felt != nullptr && felt->grade == worst.grade;
        return {bad ? "Judder is to be expected at take-up" : "Judder at take-up is not far away",
                leads ? felt : &worst};
    }
    if (worst.measure == "clutch_sticks") return topic("The clutch does not hold", "");
    if (worst.measure == "slip_time") {
        return topic("The clutch slips too long at take-up", "The clutch slips long at take-up");
    }
    if (worst.measure == "stop_contacts") return topic("The disc strikes its stop at take-up", "");
    return topic("The clutch gets too hot at take-up", "The clutch gets hot at take-up");
}

std::string praise(const RunFacts& facts) {
    if (facts.manoeuvre == "take up") return "A smooth take-up";
    if (idles(facts)) return "Quiet at idle";
    if (facts.manoeuvre == "tip in") return "A smooth tip-in";
    if (facts.manoeuvre == "back out") return "A smooth back-out";
    return "Quiet " + in_sentence(facts);
}

Topic topic_of(const RunFacts& facts, const std::vector<Judgement>& judgements) {
    if (idles(facts)) return idle_topic(facts, judgements);
    if (measure_kind(facts.manoeuvre) == MeasureKind::change) {
        return change_topic(facts, judgements.front());
    }
    if (facts.manoeuvre == "take up") return take_up_topic(judgements);
    return driven_topic(facts, judgements.front());
}

}  // namespace

std::string headline_of(const RunFacts& facts, const std::vector<Judgement>& judgements) {
    if (judgements.empty()) {
        return "Nothing to judge: the run gives no measure that has a limit.";
    }
    const auto count = std::count_if(judgements.begin(), judgements.end(),
                                     [](const auto& one) { return one.grade != Grade::good; });
    if (count == 0) {
        return fmt::format("{}: all that has a limit is good ({} measured).", praise(facts),
                           judgements.size());
    }
    const auto [complaint, shown] = topic_of(facts, judgements);
    return fmt::format("{}: {} is {} (good: {} {}); {} of {} measures with a limit {} not good.",
                       complaint, words_of(shown->measure),
                       show(shown->measure, shown->units, shown->value),
                       shown->good > shown->bad ? "at least" : "at most",
                       show(shown->measure, shown->units, shown->good), count, judgements.size(),
                       count == 1 ? "is" : "are");
}

}  // namespace damper
