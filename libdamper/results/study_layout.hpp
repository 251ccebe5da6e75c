// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/layout.hpp"
#include "libdamper/results/study_record.hpp"

#include <tuple>

/// What stands in the file of a study. Changing a name, a unit or a type here changes the format:
/// raise `study_format_version`.
namespace damper::layout {

inline constexpr const char* study_format_name = "damper study";
inline constexpr int study_format_version = 2;

inline constexpr std::tuple study_limits{
    Column{"measure", "", "name of the measure", &StudyLimit::measure},
    Column{"units", "", "unit of nominal, good and bad", &StudyLimit::units},
    Column{"nominal", "", "of the scenario as it stands", &StudyLimit::nominal},
    Column{"good", "", "still good up to here", &StudyLimit::good},
    Column{"bad", "", "bad beyond here", &StudyLimit::bad},
    Column{"judged", "", "variants that have the measure", &StudyLimit::judged},
    Column{"watch", "", "variants between good and bad", &StudyLimit::watch},
    Column{"beyond", "", "variants graded bad", &StudyLimit::beyond},
    Column{"share", "1", "beyond / judged", &StudyLimit::share},
    Column{"share_low", "1", "lower end of its 95 % interval (Clopper and Pearson)",
           &StudyLimit::low},
    Column{"share_high", "1", "upper end of its 95 % interval", &StudyLimit::high},
    Column{"key", "", "key that explains most of the measure", &StudyLimit::key},
    Column{"explained", "1", "share of the variance that it explains by itself",
           &StudyLimit::explained},
    Column{"share_at_low", "1", "beyond / judged in the lowest fifth of that key",
           &StudyLimit::share_at_low},
    Column{"share_at_high", "1", "beyond / judged in its highest fifth",
           &StudyLimit::share_at_high}};
inline constexpr std::tuple study_statistics{
    Column{"measure", "", "name of the measure", &StudyStatistic::measure},
    Column{"units", "", "unit of the figures", &StudyStatistic::units},
    Column{"nominal", "", "of the scenario as it stands", &StudyStatistic::nominal},
    Column{"count", "", "variants that have it", &StudyStatistic::count},
    Column{"mean", "", "mean", &StudyStatistic::mean},
    Column{"deviation", "", "standard deviation", &StudyStatistic::deviation},
    Column{"least", "", "least value", &StudyStatistic::least},
    Column{"percentile_5", "", "5 % lie below", &StudyStatistic::fifth},
    Column{"median", "", "half lie below", &StudyStatistic::median},
    Column{"percentile_95", "", "95 % lie below", &StudyStatistic::ninety_fifth},
    Column{"most", "", "largest value", &StudyStatistic::most},
    Column{"least_variant", "", "number of the variant with the least",
           &StudyStatistic::least_variant},
    Column{"most_variant", "", "number of the variant with the largest",
           &StudyStatistic::most_variant}};
inline constexpr std::tuple study_influences{
    Column{"measure", "", "name of the measure", &StudyInfluence::measure},
    Column{"key", "", "key that was varied", &StudyInfluence::key},
    Column{"explained", "1", "share of the variance that the key explains by itself",
           &StudyInfluence::explained},
    Column{"correlation", "1", "of key and measure", &StudyInfluence::correlation}};
inline constexpr std::tuple study_effects{
    Column{"measure", "", "name of the measure", &StudyEffect::measure},
    Column{"units", "", "unit of the effects", &StudyEffect::units},
    Column{"key", "", "key that was varied", &StudyEffect::key},
    Column{"mean", "", "mean elementary effect over the whole range", &StudyEffect::mean},
    Column{"mean_absolute", "", "mean of the magnitudes", &StudyEffect::mean_absolute},
    Column{"deviation", "", "standard deviation of the effects", &StudyEffect::deviation},
    Column{"effects", "", "how many there were", &StudyEffect::effects}};
inline constexpr std::tuple study_indices{
    Column{"measure", "", "name of the measure", &StudyIndex::measure},
    Column{"key", "", "key that was varied", &StudyIndex::key},
    Column{"first", "1", "share of the variance by the key alone", &StudyIndex::first},
    Column{"first_low", "1", "lower end of its 95 % interval", &StudyIndex::first_low},
    Column{"first_high", "1", "upper end of its 95 % interval", &StudyIndex::first_high},
    Column{"total", "1", "share with all interactions of the key", &StudyIndex::total},
    Column{"total_low", "1", "lower end of its 95 % interval", &StudyIndex::total_low},
    Column{"total_high", "1", "upper end of its 95 % interval", &StudyIndex::total_high}};
inline constexpr std::tuple study_failures{
    Column{"variant", "", "number of the variant", &StudyFailure::variant},
    Column{"why", "", "why it has no measures", &StudyFailure::why}};
inline constexpr std::tuple study_missing{
    Column{"from", "", "first variant of a gap", &std::pair<std::int64_t, std::int64_t>::first},
    Column{"to", "", "last variant of it", &std::pair<std::int64_t, std::int64_t>::second}};

}  // namespace damper::layout
