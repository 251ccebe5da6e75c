// SPDX-License-Identifier: MIT
#include "libdamper/studies/study_plan.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/counted_random.hpp"

#include <fmt/format.h>

namespace damper {

std::string name_of(StudyDesign design) {
    switch (design) {
        case StudyDesign::grid:
            return "grid";
        case StudyDesign::sobol:
            return "sobol";
        case StudyDesign::random:
            return "random";
        case StudyDesign::screening:
            return "screening";
        case StudyDesign::indices:
            return "indices";
    }
    return "";
}

StudyPlan::StudyPlan(StudyDesign design, std::vector<StudyVariable> variables, std::int64_t asked,
                     std::uint64_t seed)
    : design_(design), variables_(std::move(variables)), asked_(asked), seed_(seed) {
    if (variables_.empty()) throw InputError("a study needs at least one key to vary");
    for (std::size_t i = 0; i < variables_.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            if (variables_[i].key.key == variables_[j].key.key) {
                throw InputError(fmt::format("{} is varied twice", variables_[i].key.key));
            }
        }
    }
    const auto inputs = static_cast<std::int64_t>(variables_.size());
    if (design_ == StudyDesign::grid) {
        total_ = 1;
        for (const StudyVariable& one : variables_) {
            total_ *= static_cast<std::int64_t>(one.key.levels.size());
            if (total_ > most_variants) break;
        }
        asked_ = total_;
    } else {
        if (asked_ < 1) throw InputError("a study needs at least one variant");
        const std::int64_t each = design_ == StudyDesign::screening ? inputs + 1
                                  : design_ == StudyDesign::indices ? inputs + 2
                                                                    : 1;
        total_ = asked_ > most_variants ? most_variants + 1 : asked_ * each;
    }
    if (total_ > most_variants) {
        throw InputError(
            fmt::format("the study has more than {} variants: take fewer levels or a "
                        "smaller count",
                        most_variants));
    }
    if (design_ == StudyDesign::sobol) sequence_.emplace(variables_.size());
    if (design_ == StudyDesign::indices) sequence_.emplace(2 * variables_.size());
    if (design_ == StudyDesign::screening) {
        trajectories_.emplace(variables_.size(), static_cast<std::size_t>(asked_), seed_);
    }
}

double StudyPlan::share(std::uint64_t variant, std::size_t key) const {
    // The origin of the sequence would be an end of every range at once, infinite for some.
    if (design_ == StudyDesign::sobol) return sequence_->coordinate(variant + 1, key);
    if (design_ == StudyDesign::random) return counted_random(seed_, variant, key);
    const std::uint64_t width = variables_.size() + 2;
    const std::uint64_t column = variant % width;
    const bool other = column == 1 || column == key + 2;
    return sequence_->coordinate(variant / width + 1, other ? variables_.size() + key : key);
}

std::vector<double> StudyPlan::values(std::uint64_t variant) const {
    if (variant >= static_cast<std::uint64_t>(total_)) {
        throw ModelError("a study has no such variant");
    }
    std::vector<double> out(variables_.size());
    if (design_ == StudyDesign::grid) {
        std::uint64_t rest = variant;
        for (std::size_t k = variables_.size(); k-- > 0;) {
            const auto& levels = variables_[k].key.levels;
            out[k] = levels[rest % levels.size()];
            rest /= levels.size();
        }
        return out;
    }
    const std::vector<double> point =
        trajectories_ ? trajectories_->point(variant) : std::vector<double>{};
    for (std::size_t k = 0; k < variables_.size(); ++k) {
        out[k] = value_at(variables_[k], trajectories_ ? point[k] : share(variant, k));
    }
    return out;
}

std::vector<std::pair<std::string, std::string>> StudyPlan::changes(
    const std::vector<double>& values) const {
    std::vector<std::pair<std::string, std::string>> out;
    for (std::size_t k = 0; k < variables_.size(); ++k) {
        out.emplace_back(variables_[k].key.key, text_of(variables_[k], values[k]));
    }
    return out;
}

}  // namespace damper
