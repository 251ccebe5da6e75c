// SPDX-License-Identifier: MIT
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>

namespace damper {
namespace {

/// A circle, a triangle or a square with the sign inside: told apart without colour.
std::string grade_picture(Grade grade) {
    const char* shape = grade == Grade::good    ? R"(<circle cx="12" cy="12" r="10"/>)"
                        : grade == Grade::watch ? R"(<path d="M12 2L23 22H1z"/>)"
                                                : R"(<path d="M2 2H22V22H2z"/>)";
    const char* sign = grade == Grade::good ? R"(<path class="sign" d="M7 12.5l3.5 3.5 6.5-8"/>)"
                       : grade == Grade::watch
                           ? R"(<path class="sign" d="M12 9v6m0 2v2.2"/>)"
                           : R"(<path class="sign" d="M7 7l10 10m0-10l-10 10"/>)";
    return fmt::format(
        R"(<svg class="shape" viewBox="0 0 24 24" aria-hidden="true" width="24" height="24">{}{}</svg>)",
        shape, sign);
}

std::string grade_badge(Grade grade) {
    return fmt::format(R"(<span class="grade {}">{}{}</span>)", grade_key(grade),
                       grade_picture(grade), grade_word(grade));
}

/// A strip from 0 to beyond the worst figure: the part still good, the part to watch, the part
/// that is bad, and a pointer at the value. The words beside it say the same.
std::string margin_strip(Judgement judgement, const Shown& shown) {
    constexpr double width = 160.0;
    for (double* one : {&judgement.value, &judgement.good, &judgement.bad}) *one = shown.of(*one);
    const double most =
        1.15 * std::max({std::abs(judgement.value), judgement.good, judgement.bad, 1e-300});
    if (!std::isfinite(most)) return "";
    const auto at = [&](double value) { return std::clamp(width * value / most, 0.0, width); };
    const bool less_is_better = judgement.bad >= judgement.good;
    const double low = at(std::min(judgement.good, judgement.bad));
    const double high = at(std::max(judgement.good, judgement.bad));
    const double x = at(judgement.value);
    std::string out = fmt::format(
        R"(<svg class="strip" viewBox="-4 0 {} 22" width="{}" height="22" aria-hidden="true">)",
        width + 8.0, width + 8.0);
    put(out, R"(<rect class="zone {}" x="0" y="8" width="{:.1f}" height="7"/>)",
        less_is_better ? "good" : "bad", low);
    put(out, R"(<rect class="zone watch" x="{:.1f}" y="8" width="{:.1f}" height="7"/>)", low,
        high - low);
    put(out, R"(<rect class="zone {}" x="{:.1f}" y="8" width="{:.1f}" height="7"/>)",
        less_is_better ? "bad" : "good", high, width - high);
    put(out, R"(<path class="limit" d="M{0:.1f} 4v15M{1:.1f} 4v15"/>)", low, high);
    put(out, R"(<path class="pointer" d="M{:.1f} 14l4.5 -11h-9z"/></svg>)", x);
    return out;
}

std::string limit_table(const Verdict& verdict) {
    std::vector<std::vector<std::string>> rows;
    for (const auto& judgement : verdict.judgements) {
        const Shown shown =
            measure_shown_as(judgement.measure, judgement.units, magnitude(judgement));
        const std::string value = with_units(
            table_number(shown.of(judgement.value), shown.of(judgement.good)), shown.units);
        rows.push_back({html_escape(judgement.sentence.empty() ? key_text(judgement.measure)
                                                               : judgement.sentence),
                        grade_badge(judgement.grade), html_escape(value),
                        html_escape(limit_text(judgement)),
                        margin_strip(judgement, shown) + html_escape(margin_text(judgement.margin)),
                        html_escape(judgement.source)});
    }
    return html_table(
        "What was judged, smallest margin first",
        {{"Judged"}, {"Grade"}, {"Value", true}, {"Limit"}, {"Margin"}, {"Whose limit"}}, rows);
}

std::string band_table(const Verdict& verdict) {
    if (verdict.bands.empty()) return "";
    std::vector<std::vector<std::string>> rows;
    for (const auto& band : verdict.bands) {
        const Shown shown = measure_shown_as(band.measure, band.units, magnitude(band));
        const auto number = [&](double value) {
            return table_number(value * shown.factor, band.high * shown.factor);
        };
        rows.push_back(
            {html_escape(key_text(band.measure)),
             band.within ? "✓ inside" : "<strong>✕ outside</strong>",
             html_escape(with_units(number(band.value), shown.units)),
             html_escape(number(band.low) + " to " + with_units(number(band.high), shown.units)),
             html_escape(band.source)});
    }
    return html_table("What the scenario's author expects",
                      {{"Measure"}, {"Result"}, {"Value", true}, {"Expected"}, {"Whose figure"}},
                      rows);
}

}  // namespace

std::string_view estimate_notice() {
    return "All figures are estimates from a calculation model, not measurements on this vehicle. "
           "They support a decision, they do not take it: the vehicle maker's procedure and "
           "limits rule.";
}

std::string verdict_sections(const Verdict& verdict, const std::string& alert) {
    std::string out = fmt::format(R"(<section class="verdict {}" aria-labelledby="verdict">)",
                                  grade_key(verdict.grade));
    put(out, R"(<h2 id="verdict">{}<span class="headline">{}</span></h2><p class="meaning">{}</p>)",
        grade_badge(verdict.grade), html_escape(verdict.headline), grade_meaning(verdict.grade));
    out += alert;
    if (!verdict.reasons.empty()) out += "<h3>Why</h3>" + html_list(verdict.reasons);
    put(out, R"(<p class="notice">{}</p>)", estimate_notice());
    out += "</section>\n";
    const std::string limits = verdict.judgements.empty()
                                   ? "<p>No limit applies to this run; nothing was judged.</p>"
                                   : limit_table(verdict);
    out += html_section("limits", "Limits", limits + band_table(verdict));
    if (!verdict.cautions.empty()) {
        out += html_section("cautions", "Before you act on it", html_list(verdict.cautions));
    }
    return out;
}

std::string verdict_section(const RunRecord& record) {
    std::string alert;
    if (!record.solver.complete) {
        put(alert,
            R"(<p class="alert"><strong>Unfinished:</strong> the calculation stopped at {} s. )"
            R"(The figures cover the run up to there only.</p>)",
            number_text(record.solver.end_time));
    }
    return verdict_sections(record.verdict, alert);
}

}  // namespace damper
