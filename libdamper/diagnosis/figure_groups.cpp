// SPDX-License-Identifier: MIT
#include "libdamper/diagnosis/figure_groups.hpp"

#include <algorithm>

namespace damper {

namespace {

/// Found on complaints of benchmarks/diagnosis with seeds below 1000, which are used for nothing
/// else.
constexpr double trust_in_runs = 0.7;

FigureRows columns_of(const FigureRows& rows, const std::vector<Eigen::Index>& columns) {
    FigureRows out(rows.rows(), static_cast<Eigen::Index>(columns.size()));
    for (std::size_t c = 0; c < columns.size(); ++c) {
        out.col(static_cast<Eigen::Index>(c)) = rows.col(columns[c]);
    }
    return out;
}

}  // namespace

bool FigureGroup::seen_in(const std::vector<std::optional<double>>& values) const {
    return std::ranges::any_of(columns, [&](Eigen::Index column) {
        return values[static_cast<std::size_t>(column)].has_value();
    });
}

double FigureGroup::log_density(std::size_t cause, const std::vector<std::optional<double>>& values,
                                const std::vector<double>& errors) const {
    std::vector<std::optional<double>> own_values;
    std::vector<double> own_errors;
    for (const Eigen::Index column : columns) {
        own_values.push_back(values[static_cast<std::size_t>(column)]);
        own_errors.push_back(errors[static_cast<std::size_t>(column)]);
    }
    return trust * clouds[cause].log_density(own_values, own_errors);
}

std::vector<FigureGroup> figure_groups(const std::vector<FigureRows>& rows,
                                       const std::vector<std::string>& shown_by) {
    std::vector<FigureGroup> out;
    for (std::size_t f = 0; f < shown_by.size(); ++f) {
        auto group = std::ranges::find(out, shown_by[f], &FigureGroup::shown_by);
        if (group == out.end()) {
            out.push_back({.shown_by = shown_by[f], .columns = {}, .clouds = {}});
            if (shown_by[f] == "run") out.back().trust = trust_in_runs;
            group = out.end() - 1;
        }
        group->columns.push_back(static_cast<Eigen::Index>(f));
    }
    for (FigureGroup& group : out) {
        std::vector<FigureRows> own;
        for (const FigureRows& one : rows) own.push_back(columns_of(one, group.columns));
        const Eigen::MatrixXd common = common_covariance(own);
        for (const FigureRows& one : own) group.clouds.emplace_back(one, common);
    }
    return out;
}

}  // namespace damper
