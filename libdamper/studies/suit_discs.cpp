// SPDX-License-Identifier: MIT
#include "libdamper/studies/suit_discs.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/studies/compare_study.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/discs_of_class.hpp"
#include "libdamper/studies/standing.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <tuple>

namespace damper {

namespace {

using Changes = std::vector<std::pair<std::string, std::string>>;

constexpr double allowed = 0.1;  // worse than fitted, of what is out of reach; as damper tune
constexpr std::size_t most_told = 3;

/// One run with all discs: condition 0 is the sound vehicle, 1 the one with the cause.
struct Tried {
    CompareRecord record;
    std::size_t fitted = 0;
    std::vector<std::string> aside;  // measures whose limit no disc meets
};

bool complete(const CompareVariant& variant) {
    return variant.end == CompareVariant::End::done;
}

const Judgement* judged(const CompareVariant& variant, const std::string& measure) {
    const auto found = std::ranges::find(variant.judgements, measure, &Judgement::measure);
    return found != variant.judgements.end() ? &*found : nullptr;
}

/// What changes the road or the driver belongs to one run alone.
Changes of_vehicle(const Changes& changes) {
    Changes out;
    std::ranges::copy_if(changes, std::back_inserter(out), [](const auto& one) {
        return !one.first.starts_with("manoeuvre") && !one.first.starts_with("conditions") &&
               !one.first.starts_with("recording");
    });
    return out;
}

CompareRequest request_for(const DiscsAsked& asked, const ComplaintRun& run, bool of_complaint) {
    CompareRequest out;
    out.threads = asked.vehicles.threads;
    out.scenarios.push_back(asked.vehicles.scenarios / (run.scenario + ".toml"));
    out.read = {.models = asked.vehicles.models,
                .changes = {{"vehicle", asked.vehicles.vehicle}},
                .measures = {}};
    const auto add = [&](const Changes& more) {
        out.read.changes.insert(out.read.changes.end(), more.begin(), more.end());
    };
    add(run.changes);
    add(of_complaint ? asked.vehicles.changes : of_vehicle(asked.vehicles.changes));
    for (const std::string& name :
         discs_of_class(asked.vehicles.models, asked.vehicles.vehicle_class,
                        asked.vehicles.two_mass_flywheel)) {
        out.options.push_back(
            {.name = name, .changes = {{"disc", name}}, .fitted = false, .loop = {}});
    }
    out.conditions.emplace_back();
    if (of_complaint && asked.cause != nullptr) {
        ComplaintKind plain = *asked.complaint;
        plain.scatter.clear();
        out.conditions.push_back(
            {.name = "with the cause",
             .changes = changes_of_vehicle(plain, nullptr, asked.cause, asked.vehicles, 0)});
    }
    return out;
}

/// Limits that every disc misses in the sound vehicle. One disc alone proves nothing.
std::vector<std::string> missed_by_all(const Tried& tried) {
    std::vector<std::string> out;
    const std::size_t discs = tried.record.options.size();
    for (const Judgement& one : tried.record.at(tried.fitted, 0, 0).judgements) {
        std::size_t seen = 0, missed = 0;
        for (std::size_t o = 0; o < discs; ++o) {
            const CompareVariant& variant = tried.record.at(o, 0, 0);
            if (!complete(variant)) continue;
            ++seen;
            const Judgement* same = judged(variant, one.measure);
            if (same != nullptr && same->grade == Grade::bad) ++missed;
        }
        if (seen > 1 && missed == seen) out.push_back(one.measure);
    }
    return out;
}

bool is_aside(const Tried& tried, const std::string& measure) {
    return std::ranges::find(tried.aside, measure) != tried.aside.end();
}

/// A judgement as discs are held against it; nothing where no disc decides.
std::optional<Standing> standing_in(const Tried& tried, const Judgement& one) {
    if (!is_aside(tried, one.measure)) return standing_of(one);
    const Judgement* fitted = judged(tried.record.at(tried.fitted, 0, 0), one.measure);
    if (fitted == nullptr) return {};
    const double sense = one.bad >= one.good ? 1.0 : -1.0;
    const double scale = fitted->value != 0.0 ? std::abs(fitted->value) : 1.0;
    const double beyond = sense * (one.value - fitted->value) / scale - allowed;
    if (!(beyond > 0.0)) return {};
    return Standing{Grade::bad, -beyond};
}

std::vector<Standing> standings(const Tried& tried, std::size_t option, std::size_t condition) {
    std::vector<Standing> out;
    for (const Judgement& one : tried.record.at(option, 0, condition).judgements) {
        if (const auto standing = standing_in(tried, one)) out.push_back(*standing);
    }
    std::ranges::stable_sort(out, [](const Standing& a, const Standing& b) { return worse(a, b); });
    return out;
}

Grade grade_of(const std::vector<Standing>& standings) {
    return standings.empty() ? Grade::good : standings.front().grade;
}

/// Of one judgement; what is set aside does not count.
Grade grade_in(const Tried& tried, const Judgement& one) {
    const auto standing = standing_in(tried, one);
    return standing ? standing->grade : Grade::good;
}

std::string value_words(const Judgement& one) {
    return show(one.measure, one.units, one.value);
}

const char* word_of(Grade grade) {
    return grade == Grade::good ? "good" : grade == Grade::watch ? "watch" : "bad";
}

std::string change_words(const Tried& tried, const Judgement& here, const Judgement& there) {
    std::string out =
        fmt::format("{} in {}: {} instead of {}", words_of(here.measure),
                    tried.record.scenarios[0].name, value_words(here), value_words(there));
    const Grade a = grade_in(tried, here), b = grade_in(tried, there);
    if (is_aside(tried, here.measure)) {
        out += " (no disc meets the limit)";
    } else if (a != b) {
        out += fmt::format(" ({} instead of {})", word_of(a), word_of(b));
    }
    return out;
}

/// A difference from the fitted disc that is worth a word, and how much it counts.
struct Difference {
    int crossed = 0;    // grades, better above 0
    double gain = 0.0;  // of margin
    bool spoils = false;
    bool aside = false;
    std::string words;
};

void add_differences(const Tried& tried, std::size_t option, std::vector<Difference>& out) {
    const CompareVariant& there = tried.record.at(tried.fitted, 0, 0);
    for (const Judgement& here : tried.record.at(option, 0, 0).judgements) {
        const Judgement* fitted = judged(there, here.measure);
        if (fitted == nullptr) continue;
        const Grade a = grade_in(tried, here), b = grade_in(tried, *fitted);
        const double gain = here.margin - fitted->margin;
        const int crossed = static_cast<int>(b) - static_cast<int>(a);
        if (!std::isfinite(gain) || (crossed == 0 && std::abs(gain) < allowed)) continue;
        out.push_back({crossed, gain, a == Grade::bad && b != Grade::bad,
                       is_aside(tried, here.measure), change_words(tried, here, *fitted)});
    }
}

/// The largest first, those that cross a limit before the others.
std::vector<std::string> told(std::vector<Difference> all, double sign) {
    std::erase_if(all, [&](const Difference& one) {
        return sign * (one.crossed != 0 ? one.crossed : one.gain) <= 0.0;
    });
    std::ranges::stable_sort(all, std::greater<>(), [&](const Difference& one) {
        return std::tuple(sign * one.crossed, !one.aside, sign * one.gain);
    });
    std::vector<std::string> out;
    for (const Difference& one : all) {
        if (out.size() < most_told) out.push_back(one.words);
    }
    return out;
}

/// An option with what it is ranked by.
struct Ranked {
    DiagnosisOption option;
    Grade elsewhere = Grade::good;
    std::vector<Standing> here, there;
};

Ranked ranked(const std::vector<Tried>& all, bool has_run, std::size_t option) {
    Ranked out;
    const Tried& first = all.front();
    const CompareVariant& variant = first.record.at(option, 0, 0);
    out.option.disc = first.record.options[option].name;
    out.option.title = variant.disc;
    out.option.fitted = option == first.fitted;
    std::vector<Difference> differences;
    for (const Tried& tried : all) {
        const bool of_complaint = has_run && &tried == &first;
        const std::vector<Standing> here = standings(tried, option, 0);
        (of_complaint ? out.here : out.there)
            .insert((of_complaint ? out.here : out.there).end(), here.begin(), here.end());
        if (out.option.fitted) continue;
        add_differences(tried, option, differences);
        if (of_complaint) {
            const std::vector<Standing> fitted = standings(tried, tried.fitted, 0);
            const bool clearly = std::ranges::any_of(
                differences, [](const Difference& one) { return one.gain >= allowed; });
            out.option.helps = better(here, fitted) && grade_of(here) <= grade_of(fitted) &&
                               (grade_of(here) < grade_of(fitted) || clearly);
        }
    }
    std::ranges::stable_sort(out.there,
                             [](const Standing& a, const Standing& b) { return worse(a, b); });
    out.option.in_run = grade_of(out.here);
    out.elsewhere = grade_of(out.there);
    out.option.grade = std::max(out.option.in_run, out.elsewhere);
    if (has_run && first.record.conditions.size() > 1 && complete(first.record.at(option, 0, 1))) {
        out.option.with_cause = grade_of(standings(first, option, 1));
    }
    out.option.better = told(differences, 1.0);
    out.option.worse = told(differences, -1.0);
    out.option.spoils = std::ranges::any_of(differences, &Difference::spoils);
    return out;
}

/// `stays`: the vehicle keeps its cause, so that the grade with it comes first.
bool before(const Ranked& a, const Ranked& b, bool stays) {
    if (stays && a.option.with_cause != b.option.with_cause) {
        return a.option.with_cause.value_or(Grade::bad) < b.option.with_cause.value_or(Grade::bad);
    }
    const auto grades = [](const Ranked& one) {
        return std::tuple(one.option.in_run, one.elsewhere, one.option.spoils);
    };
    if (grades(a) != grades(b)) return grades(a) < grades(b);
    if (better(a.here, b.here) != better(b.here, a.here)) return better(a.here, b.here);
    return better(a.there, b.there);
}

void tell_out_of_reach(const Tried& tried, DiagnosisRecord& record) {
    std::vector<std::string> limits;
    for (const std::string& measure : tried.aside) {
        const Judgement& one = *judged(tried.record.at(tried.fitted, 0, 0), measure);
        Judgement limit = one;
        limit.value = one.bad;
        limits.push_back(fmt::format("{} (fitted {}, bad {} {})", words_of(measure),
                                     value_words(one), one.bad >= one.good ? "above" : "below",
                                     value_words(limit)));
    }
    if (limits.empty()) return;
    record.out_of_reach.push_back(
        fmt::format("in {}: {}", tried.record.scenarios[0].name, fmt::join(limits, "; ")));
}

void tell_fitted(const Tried& tried, DiagnosisRecord& record) {
    for (const Judgement& one : tried.record.at(tried.fitted, 0, 0).judgements) {
        const auto standing = standing_in(tried, one);
        if (!standing || standing->grade == Grade::good) continue;
        if (record.fitted_reasons.size() >= most_told && standing->grade != Grade::bad) continue;
        Judgement limit = one;
        limit.value = one.good;
        record.fitted_reasons.push_back(fmt::format(
            "{} in {}: {}, good {} {} ({})", words_of(one.measure), tried.record.scenarios[0].name,
            value_words(one), one.bad >= one.good ? "up to" : "from", value_words(limit),
            word_of(standing->grade)));
    }
}

}  // namespace

void suit_discs(const DiscsAsked& asked, const Progress& progress, DiagnosisRecord& record) {
    std::vector<std::pair<ComplaintRun, bool>> runs;
    const auto add = [&](const ComplaintKind& kind, bool of_complaint) {
        const auto run = run_of_vehicle(kind, asked.vehicles);
        if (!run || run->scenario.empty()) return;
        const bool there = std::ranges::any_of(
            runs, [&](const auto& one) { return one.first.scenario == run->scenario; });
        if (!there) runs.emplace_back(*run, of_complaint);
    };
    add(*asked.complaint, true);
    const bool has_run = !runs.empty();
    for (const ComplaintKind* other : asked.others) add(*other, false);
    if (runs.empty() || discs_of_class(asked.vehicles.models, asked.vehicles.vehicle_class,
                                       asked.vehicles.two_mass_flywheel)
                            .empty()) {
        return;
    }
    std::vector<Tried> all;
    double done = 0.0;
    const double share = 1.0 / static_cast<double>(runs.size());
    for (const auto& [run, of_complaint] : runs) {
        Tried tried;
        try {
            tried.record =
                compare_discs(request_for(asked, run, of_complaint),
                              {.report = [&](double part) { progress.tell(done + share * part); },
                               .stop_requested = progress.stop_requested});
        } catch (const InputError& wrong) {
            if (of_complaint) throw;
            record.notes_on_data.push_back(
                fmt::format("discs were not tried in {}: {}", run.scenario, wrong.what()));
            continue;
        }
        if (progress.must_stop()) return;
        done += share;
        tried.fitted = static_cast<std::size_t>(
            std::ranges::find(tried.record.options, true, &CompareOption::fitted) -
            tried.record.options.begin());
        tried.aside = missed_by_all(tried);
        record.disc_runs.push_back(run.scenario);
        const Changes& state = asked.vehicles.changes;
        record.disc_commands.push_back(
            "damper compare " +
            words_of_run(run, asked.vehicles, of_complaint ? state : of_vehicle(state)));
        all.push_back(std::move(tried));
    }
    if (all.empty()) return;
    if (has_run) record.disc_run = record.disc_runs.front();
    std::vector<Ranked> options;
    for (std::size_t o = 0; o < all.front().record.options.size(); ++o) {
        bool done_everywhere = true;
        for (const Tried& tried : all) {
            const CompareVariant& variant = tried.record.at(o, 0, 0);
            if (complete(variant)) continue;
            done_everywhere = false;
            record.notes_on_data.push_back(
                fmt::format("{} could not be tried in {}: {}", all.front().record.options[o].name,
                            tried.record.scenarios[0].name, variant.message));
        }
        if (done_everywhere) options.push_back(ranked(all, has_run, o));
    }
    // A flywheel that was converted is often kept.
    const bool stays = asked.cause != nullptr && asked.cause->seat == "flywheel";
    std::ranges::stable_sort(options,
                             [&](const Ranked& a, const Ranked& b) { return before(a, b, stays); });
    for (Ranked& one : options) {
        if (has_run || one.option.fitted) record.options.push_back(std::move(one.option));
    }
    for (const Tried& tried : all) {
        tell_out_of_reach(tried, record);
        tell_fitted(tried, record);
    }
}

}  // namespace damper
