// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_run.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

std::vector<std::string> change_texts(const RunIdentity& identity) {
    std::vector<std::string> texts;
    for (const auto& [key, value] : identity.changes) {
        // A key from a [change] table does not stand on the command line.
        const bool typed = identity.command_line.find(key + "=") != std::string::npos;
        const bool study = identity.command_line.starts_with("damper vary") ||
                           identity.command_line.starts_with("damper scatter");
        const auto cause =
            std::ranges::find(identity.causes, key, &std::pair<std::string, std::string>::first);
        const std::string by = typed                            ? "on the command line"
                               : cause != identity.causes.end() ? "by the cause " + cause->second
                               : study                          ? "by scenario or study"
                                                                : "by the scenario";
        texts.push_back(fmt::format("changed {}: {} = {}", by, key, value));
    }
    return texts;
}

Chart time_chart(const RunRecord& record, std::string id, std::string title) {
    Chart chart;
    chart.kind = Chart::Kind::time;
    chart.id = std::move(id);
    chart.title = std::move(title);
    chart.x_label = "Time";
    chart.x_units = std::string{"s"};
    chart.x = record.signals.time;
    chart.settled = record.measured_from;
    return chart;
}

bool add_signal(Chart& chart, const RunRecord& record, std::string_view name, std::string label,
                Stroke stroke, int tone) {
    if (!record.signals.has(name)) return false;
    const Signal& signal = record.signals.at(name);
    const Shown shown = shown_as(signal.units);
    chart.y_units = shown.units;
    ChartSeries series{.label = std::move(label), .stroke = stroke, .tone = tone, .x = {}, .y = {}};
    series.y.resize(signal.values.size());
    std::transform(signal.values.begin(), signal.values.end(), series.y.begin(),
                   [&](double value) { return value * shown.factor; });
    chart.series.push_back(std::move(series));
    return true;
}

std::optional<Spread> spread_of(const RunRecord& record, std::string_view signal) {
    if (!record.signals.has(signal)) return std::nullopt;
    Spread spread;
    double sum = 0.0;
    double count = 0.0;
    for (const double value : record.signals.from(signal, record.measured_from)) {
        if (!std::isfinite(value)) continue;
        spread.low = count == 0.0 ? value : std::min(spread.low, value);
        spread.high = count == 0.0 ? value : std::max(spread.high, value);
        sum += value;
        count += 1.0;
    }
    if (count == 0.0) return std::nullopt;
    spread.mean = sum / count;
    return spread;
}

std::string spread_text(const RunRecord& record, std::string_view signal, std::string_view label) {
    const auto spread = spread_of(record, signal);
    if (!spread) return "";
    const Shown shown = shown_as(record.signals.at(signal).units);
    std::string text =
        fmt::format("{}: {} to {} {}", label, number_text(spread->low * shown.factor),
                    number_text(spread->high * shown.factor), shown.units);
    // The mean of a swing about zero is nothing but rounding.
    if (std::abs(spread->mean) > 0.02 * (spread->high - spread->low)) {
        text += fmt::format(", mean {}", number_text(spread->mean * shown.factor));
    }
    return text + ". ";
}

}  // namespace damper
