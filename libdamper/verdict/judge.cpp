// SPDX-License-Identifier: MIT
#include "libdamper/verdict/judge.hpp"

#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace damper {
namespace {

Judgement judge_one(const MeasureValue& measure, const Limit& limit) {
    // With "more is better" everything turns over.
    const double sign = measure.better == Better::more ? -1.0 : 1.0;
    Judgement judgement;
    judgement.measure = measure.name;
    judgement.units = measure.units;
    judgement.value = measure.value;
    judgement.good = limit.good;
    judgement.bad = limit.bad;
    judgement.source = limit.source;
    judgement.grade = sign * measure.value <= sign * limit.good  ? Grade::good
                      : sign * measure.value <= sign * limit.bad ? Grade::watch
                                                                 : Grade::bad;
    const double scale = limit.good != 0.0  ? std::abs(limit.good)
                         : limit.bad != 0.0 ? std::abs(limit.bad)
                                            : 1.0;
    judgement.margin = sign * (limit.good - measure.value) / scale;

    judgement.sentence = fmt::format("{}.", capital(words_of(measure.name)));
    return judgement;
}

/// Many impacts are bad only if they are not soft: below 0.3 rad/s of closing speed (working band
/// of this tool; common practice, no source) they are something to watch at most.
void soften_light_impacts(const Measured& measured, std::vector<Judgement>& judgements) {
    constexpr double soft = 0.3;  // rad/s
    const std::optional<double> closing = value_of(measured, "impact_closing_speed_rms");
    if (!closing || *closing > soft) return;
    for (Judgement& one : judgements) {
        if (one.measure != "impact_rate" || one.grade != Grade::bad) continue;
        one.grade = Grade::watch;
        one.sentence +=
            fmt::format(" They are soft: they close with {} rad/s (rms).", as_number(*closing));
    }
}

std::vector<Judgement> judge_all(const RunFacts& facts, const Measured& measured) {
    std::vector<Judgement> judgements;
    for (const MeasureValue& measure : measured.measures) {
        if (const auto limit = find_limit(measure.name, facts.vehicle_class)) {
            judgements.push_back(judge_one(measure, *limit));
        }
    }
    soften_light_impacts(measured, judgements);
    std::stable_sort(judgements.begin(), judgements.end(), [](const auto& a, const auto& b) {
        return a.grade != b.grade ? a.grade > b.grade : a.margin < b.margin;
    });
    return judgements;
}

bool is_noise(const Judgement& one) {
    return one.measure == "threshold_ratio" || one.measure == "impact_rate" ||
           one.measure == "impact_energy_rate";
}

/// What is complained of, and the judgement that shows it best. Sorted judgements, one missed.
std::string idle_complaint(const std::vector<Judgement>& judgements, const Judgement*& shown) {
    const auto noise = std::find_if(judgements.begin(), judgements.end(), is_noise);
    const bool silent = noise == judgements.end() || noise->grade == Grade::good;
    const auto half = std::find_if(judgements.begin(), judgements.end(), [](const auto& one) {
        return one.measure == "half_order_angle" && one.grade != Grade::good;
    });
    if (half != judgements.end() && (silent || half->grade >= noise->grade)) {
        shown = &*half;
        return silent ? "The engine runs unevenly at idle"
                      : "The engine runs unevenly at idle, and the loose gears strike";
    }
    if (silent) return "The loose gears stay quiet at idle, but not all is well";
    shown = &*noise;
    return noise->grade == Grade::bad ? "Gear rattle is to be expected at idle"
                                      : "Gear rattle at idle is not far away";
}

std::string change_complaint(const RunFacts& facts, const Judgement& worst) {
    const char* manoeuvre = facts.manoeuvre == "tip in" ? "tip-in" : "back-out";
    if (worst.measure == "stop_contacts") {
        return fmt::format("A knock is to be expected at {}", manoeuvre);
    }
    return worst.grade == Grade::bad ? fmt::format("The vehicle jerks or shuffles at {}", manoeuvre)
                                     : fmt::format("The {} is not quite smooth", manoeuvre);
}

std::string praise(const RunFacts& facts) {
    if (facts.manoeuvre == "idle") return "Quiet at idle";
    return facts.manoeuvre == "tip in" ? "A smooth tip-in" : "A smooth back-out";
}

std::string headline_of(const RunFacts& facts, const std::vector<Judgement>& judgements) {
    if (judgements.empty()) {
        return "Nothing to judge: the run gives no measure that has a limit.";
    }
    const auto missed = std::count_if(judgements.begin(), judgements.end(),
                                      [](const auto& one) { return one.grade != Grade::good; });
    if (missed == 0) {
        return fmt::format("{}: all that has a limit is good ({} measured).", praise(facts),
                           judgements.size());
    }
    const Judgement* shown = &judgements.front();
    const std::string complaint = facts.manoeuvre == "idle" ? idle_complaint(judgements, shown)
                                                            : change_complaint(facts, *shown);
    return fmt::format("{}: {} is {} (good: {} {}); {} of {} measures with a limit {} not good.",
                       complaint, words_of(shown->measure),
                       show(shown->measure, shown->units, shown->value),
                       shown->good > shown->bad ? "at least" : "at most",
                       show(shown->measure, shown->units, shown->good), missed, judgements.size(),
                       missed == 1 ? "is" : "are");
}

std::vector<BandResult> compare_bands(const Measured& measured,
                                      std::span<const ExpectedBand> bands) {
    std::vector<BandResult> results;
    for (const ExpectedBand& band : bands) {
        BandResult result;
        result.measure = band.measure;
        result.low = band.low;
        result.high = band.high;
        result.source = band.source;
        result.value = std::numeric_limits<double>::quiet_NaN();
        for (const MeasureValue& measure : measured.measures) {
            if (measure.name != band.measure) continue;
            result.units = measure.units;
            result.value = measure.value;
        }
        result.within = result.value >= band.low && result.value <= band.high;
        results.push_back(result);
    }
    return results;
}

}  // namespace

Verdict judge(const RunFacts& facts, const Measured& measured,
              std::span<const ExpectedBand> bands) {
    Verdict verdict;
    verdict.judgements = judge_all(facts, measured);
    for (const Judgement& one : verdict.judgements)
        verdict.grade = std::max(verdict.grade, one.grade);
    verdict.headline = headline_of(facts, verdict.judgements);

    std::vector<Reason> reasons = facts.manoeuvre == "idle"
                                      ? idle_reasons(facts, measured)
                                      : torque_change_reasons(facts, measured);
    std::stable_sort(reasons.begin(), reasons.end(),
                     [](const Reason& a, const Reason& b) { return a.weight > b.weight; });
    for (const Reason& reason : reasons) verdict.reasons.push_back(reason.sentence);
    for (const std::string& note : measured.notes) verdict.reasons.push_back(note);

    verdict.bands = compare_bands(measured, bands);
    verdict.cautions = cautions_for(facts.manoeuvre);
    return verdict;
}

}  // namespace damper
