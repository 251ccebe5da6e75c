// SPDX-License-Identifier: MIT
#include "libdamper/studies/tune_front.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/studies/tune_trial.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <functional>
#include <optional>
#include <set>

namespace damper {

namespace {

using Part = std::pair<std::size_t, int>;

/// Every measure of every case that the fitted disc has figures of.
std::vector<Part> all_parts(const TuneRecord& record) {
    std::vector<Part> out;
    for (std::size_t c = 0; c < record.cases.size(); ++c) {
        for (std::size_t m = 0; m < record.measures.size(); ++m) {
            out.emplace_back(c, static_cast<int>(m));
        }
    }
    return out;
}

TuneObjective those(const TuneRecord& record, std::string name,
                    const std::function<bool(const Part&)>& take) {
    TuneObjective out{std::move(name), {}};
    for (const Part& one : all_parts(record)) {
        if (take(one)) out.parts.push_back(one);
    }
    return out;
}

/// Whether a part is what a name means; nothing if the name is not known.
std::optional<std::function<bool(const Part&)>> meaning(const TuneRecord& record,
                                                        const std::string& name) {
    for (std::size_t s = 0; s < record.scenarios.size(); ++s) {
        if (record.scenarios[s].name == name) {
            return [&record, s](const Part& one) { return record.cases[one.first].scenario == s; };
        }
    }
    for (std::size_t c = 0; c < record.conditions.size(); ++c) {
        if (record.conditions[c].name == name) {
            return [&record, c](const Part& one) { return record.cases[one.first].condition == c; };
        }
    }
    for (std::size_t m = 0; m < record.measures.size(); ++m) {
        if (record.measures[m].measure == name) {
            return [m](const Part& one) { return one.second == static_cast<int>(m); };
        }
    }
    return std::nullopt;
}

[[noreturn]] void refuse(const TuneRecord& record, const std::string& name) {
    std::vector<std::string> known;
    for (const auto& one : record.scenarios) known.push_back(one.name);
    for (const auto& one : record.conditions) {
        if (!one.name.empty()) known.push_back(one.name);
    }
    for (const auto& one : record.measures) known.push_back(one.measure);
    const std::string near = nearest_word(name, known);
    throw InputError(fmt::format(
        "--front {}: found the unknown name; expected a scenario, a condition or a measure with a "
        "limit of this search{}",
        name, near.empty() ? "" : fmt::format("; did you mean {}?", near)));
}

/// The worst measure of the fitted disc; what is known of it decides.
std::string worst_measure(const TuneRecord& record) {
    const TuneFigure* worst = nullptr;
    for (const auto& one_case : record.candidates.front().cases) {
        for (const TuneFigure& one : one_case) {
            if (one.aside) continue;
            if (worst == nullptr || worse({one.grade, one.margin}, {worst->grade, worst->margin})) {
                worst = &one;
            }
        }
    }
    if (worst == nullptr) return "";
    return record.measures[worst->measure].measure;
}

bool not_worse(const Standing& a, const Standing& b) {
    return !worse(a, b);
}

void find_front(TuneRecord& record) {
    struct Point {
        std::size_t candidate;
        Standing x, y;
    };
    std::vector<Point> points;
    for (std::size_t i = 0; i < record.candidates.size(); ++i) {
        const TuneCandidate& one = record.candidates[i];
        if (one.end != TuneCandidate::End::done) continue;
        points.push_back(
            {i, standing_in(one, record.objectives[0]), standing_in(one, record.objectives[1])});
    }
    // From the best in the first objective on, what is better in the second than all before stays.
    std::ranges::stable_sort(points, [](const Point& a, const Point& b) {
        if (worse(b.x, a.x) || worse(a.x, b.x)) return worse(b.x, a.x);
        return worse(b.y, a.y);
    });
    record.front.clear();
    std::optional<Standing> reached;
    for (const Point& one : points) {
        if (reached && not_worse(*reached, one.y)) continue;
        reached = one.y;
        record.front.push_back(one.candidate);
    }
    std::ranges::reverse(record.front);
}

void find_best(TuneRecord& record) {
    std::vector<Standing> best;
    bool has = false;
    for (std::size_t i = 0; i < record.candidates.size(); ++i) {
        if (record.candidates[i].end != TuneCandidate::End::done) continue;
        std::vector<Standing> here = standings_of(record.candidates[i]);
        if (has && !better(here, best)) continue;
        best = std::move(here);
        record.best = i;
        has = true;
    }
}

}  // namespace

void choose_objectives(TuneRecord& record, const std::vector<std::string>& asked) {
    std::vector<std::string> names = asked;
    std::string rest = "all the rest";
    if (names.empty() && record.scenarios.size() > 1) {
        names = {record.scenarios.front().name};
        if (record.scenarios.size() == 2) names.push_back(record.scenarios.back().name);
        rest = "the other scenarios";
    } else if (names.empty() && record.conditions.size() > 1) {
        names = {record.conditions.front().name};
        if (record.conditions.size() == 2) names.push_back(record.conditions.back().name);
        rest = "the other conditions";
    } else if (names.empty()) {
        names = {worst_measure(record)};
        rest = "the other measures";
    }
    if (names.size() > 2) throw InputError("--front: at most two objectives make a front");
    const auto first = meaning(record, names.front());
    if (!first) refuse(record, names.front());
    record.objectives[0] = those(record, names.front(), *first);
    if (names.size() == 2) {
        const auto second = meaning(record, names[1]);
        if (!second) refuse(record, names[1]);
        record.objectives[1] = those(record, names[1], *second);
    } else {
        record.objectives[1] = those(record, rest, [&](const Part& one) { return !(*first)(one); });
    }
}

void find_out_of_reach(TuneRecord& record) {
    constexpr double clearly = -1.2;  // on the scale of the limits; a convention of this tool
    const TuneCandidate& fitted = record.candidates.front();
    for (std::size_t c = 0; c < fitted.cases.size(); ++c) {
        for (const TuneFigure& here : fitted.cases[c]) {
            double nearest = here.position, value = here.value;
            std::size_t seen = 0;
            for (const TuneCandidate& candidate : record.candidates) {
                if (candidate.end != TuneCandidate::End::done) continue;
                ++seen;
                const auto found =
                    std::ranges::find(candidate.cases[c], here.measure, &TuneFigure::measure);
                const bool kept = found == candidate.cases[c].end();
                if (kept) nearest = 0.0;
                if (kept || found->position <= nearest) continue;
                nearest = found->position;
                value = found->value;
            }
            if (seen > 1 && nearest < clearly) {
                record.out_of_reach.push_back({c, here.measure, value, here.value});
            }
        }
    }
    for (TuneCandidate& candidate : record.candidates) {
        for (std::size_t c = 0; c < candidate.cases.size(); ++c) {
            set_aside(record, c, candidate.cases[c]);
        }
    }
}

void settle(TuneRecord& record) {
    find_best(record);
    find_front(record);
}

}  // namespace damper
