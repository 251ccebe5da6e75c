// SPDX-License-Identifier: MIT
#include "libdamper/verdict/judge.hpp"

#include "libdamper/verdict/headline.hpp"
#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/loose_gear_reasons.hpp"
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
    const double scale = measure.units == "K" ? std::abs(limit.bad - limit.good)
                         : limit.good != 0.0  ? std::abs(limit.good)
                         : limit.bad != 0.0   ? std::abs(limit.bad)
                                              : 1.0;
    judgement.margin = sign * (limit.good - measure.value) / scale;

    judgement.sentence = fmt::format("{}.", capital(words_of(measure.name)));
    return judgement;
}

/// The rate of soft impacts is something to watch at most.
void soften_light_impacts(const Measured& measured, std::vector<Judgement>& judgements) {
    const std::optional<double> closing = value_of(measured, "impact_closing_speed_rms");
    if (!closing || *closing > soft_closing) return;
    for (Judgement& one : judgements) {
        if (one.measure != "impact_rate" || one.grade != Grade::bad) continue;
        one.grade = Grade::watch;
        one.sentence +=
            fmt::format(" They are soft: they close with {} rad/s (rms).", as_number(*closing));
    }
}

/// Some limits hold for an idling engine only: driving covers the noise of tooth impacts, and a
/// disc that carries torque has to be on its main stage.
bool has_limit_in(const RunFacts& facts, std::string_view measure) {
    if (idles(facts)) return true;
    if (measure == "time_on_last_stage") return false;
    return rolls(facts) || !measure.starts_with("impact_");
}

void sort_worst_first(std::vector<Judgement>& judgements) {
    std::stable_sort(judgements.begin(), judgements.end(), [](const auto& a, const auto& b) {
        return a.grade != b.grade ? a.grade > b.grade : a.margin < b.margin;
    });
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

std::vector<Reason> reasons_of(const RunFacts& facts, const Measured& measured) {
    switch (measure_kind(facts.manoeuvre)) {
        case MeasureKind::steady:
            return facts.driving ? creep_reasons(facts, measured) : idle_reasons(facts, measured);
        case MeasureKind::change:
            return torque_change_reasons(facts, measured);
        case MeasureKind::sweep:
            return sweep_reasons(facts, measured);
        case MeasureKind::passage:
            return passage_reasons(facts, measured);
        case MeasureKind::take_up:
            return take_up_reasons(facts, measured);
    }
    return {};
}

}  // namespace

std::vector<Judgement> judgements_of(std::string_view vehicle_class,
                                     const std::vector<MeasureValue>& measures) {
    std::vector<Judgement> judgements;
    for (const MeasureValue& measure : measures) {
        if (const auto limit = find_limit(measure.name, vehicle_class)) {
            judgements.push_back(judge_one(measure, *limit));
        }
    }
    sort_worst_first(judgements);
    return judgements;
}

Verdict judge(const RunFacts& facts, const Measured& measured,
              std::span<const ExpectedBand> bands) {
    Verdict verdict;
    verdict.judgements = judgements_of(facts.vehicle_class, measured.measures);
    std::erase_if(verdict.judgements,
                  [&](const Judgement& one) { return !has_limit_in(facts, one.measure); });
    soften_light_impacts(measured, verdict.judgements);
    sort_worst_first(verdict.judgements);
    for (const Judgement& one : verdict.judgements)
        verdict.grade = std::max(verdict.grade, one.grade);
    verdict.headline = headline_of(facts, verdict.judgements);

    std::vector<Reason> reasons = reasons_of(facts, measured);
    for (Reason& more : flywheel_and_mount_reasons(facts, measured)) {
        reasons.push_back(std::move(more));
    }
    std::stable_sort(reasons.begin(), reasons.end(),
                     [](const Reason& a, const Reason& b) { return a.weight > b.weight; });
    for (const Reason& reason : reasons) verdict.reasons.push_back(reason.sentence);
    for (const std::string& note : measured.notes) verdict.reasons.push_back(note);

    verdict.bands = compare_bands(measured, bands);
    verdict.cautions = cautions_for(idles(facts) ? "idle" : facts.manoeuvre);
    return verdict;
}

}  // namespace damper
