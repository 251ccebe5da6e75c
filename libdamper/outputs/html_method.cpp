// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/page_files.hpp"
#include "libdamper/outputs/run_text.hpp"

#include <cmath>

namespace damper {
namespace {

using Pairs = std::vector<std::pair<std::string, std::string>>;
using Rows = std::vector<std::vector<std::string>>;

Rows escaped(const Pairs& pairs) {
    Rows rows;
    for (const auto& [name, value] : pairs) rows.push_back({html_escape(name), html_escape(value)});
    return rows;
}

std::string inertia_table(const ModelTable& model) {
    Rows rows;
    for (const auto& inertia : model.inertias) {
        rows.push_back({html_escape(inertia.name), number_text(inertia.inertia),
                        quantity_text(inertia.reference_speed, "rad/s")});
    }
    return html_table("Inertias", {{"Inertia"}, {"kg m²", true}, {"Mean speed", true}}, rows);
}

/// "flywheel − hub": what an element twists between.
std::string row_text(const ModelTable& model, const ModelTable::Element& element) {
    std::string text;
    for (const auto& [index, coefficient] : element.row) {
        const auto at = static_cast<std::size_t>(index);
        const bool known = index >= 0 && at < model.inertias.size();
        if (!text.empty() || coefficient < 0.0) text += coefficient < 0.0 ? " − " : " + ";
        if (std::abs(coefficient) != 1.0) put(text, "{}·", number_text(std::abs(coefficient)));
        put(text, "{}", known ? model.inertias[at].name.c_str() : "?");
    }
    return text;
}

std::string law_text(const ModelTable::Element& element) {
    std::string text;
    const auto next = [&] { text += text.empty() ? "" : "; "; };
    for (const auto& part : element.parts) {
        next();
        text += part.name;
        if (part.name != part.kind) put(text, " ({})", part.kind);
        if (!part.modes.empty() && part.modes.front().spring != 0.0) {
            put(text, " {}", quantity_text(part.modes.front().spring, "N.m/rad"));
        }
        if (part.modes.size() > 1) put(text, ", {} modes", part.modes.size());
    }
    if (element.damping != 0.0) {
        next();
        put(text, "damping {}", quantity_text(element.damping, "N.m.s/rad"));
    }
    for (const auto& [name, value] : element.smooth) {
        next();
        put(text, "{} {}", key_text(name), number_text(value));
    }
    return text;
}

std::string element_table(const ModelTable& model) {
    Rows rows;
    for (const auto& element : model.elements) {
        rows.push_back({html_escape(element.name), html_escape(element.kind),
                        html_escape(row_text(model, element)), html_escape(law_text(element))});
    }
    return html_table("Elements between them",
                      {{"Element"}, {"Kind"}, {"Twist"}, {"Law, as it stands at the start"}}, rows);
}

std::string input_table(const ModelTable& model) {
    if (model.inputs.empty()) return "";
    Rows rows;
    for (const auto& input : model.inputs) {
        std::string parameters;
        for (const auto& [name, value] : input.parameters) {
            parameters += fmt::format("{}{} {}", parameters.empty() ? "" : ", ", key_text(name),
                                      number_text(value));
        }
        const auto at = static_cast<std::size_t>(input.inertia);
        rows.push_back({html_escape(input.name), html_escape(input.kind),
                        input.inertia >= 0 && at < model.inertias.size()
                            ? html_escape(model.inertias[at].name)
                            : "?",
                        html_escape(parameters)});
    }
    return html_table("Torques that drive it",
                      {{"Torque"}, {"Kind"}, {"Acts on"}, {"Parameters in SI units"}}, rows);
}

std::string solver_text(const SolverReport& solver) {
    std::string out = fmt::format(
        "<p>Solver: {}, relative tolerance {}. {} steps ({} rejected), {} evaluations of the "
        "equations, {} changes of mode, smallest step {} s, reached {} s{}.</p>",
        html_escape(solver.method), number_text(solver.tolerance), solver.steps, solver.rejected,
        solver.evaluations, solver.mode_changes, number_text(solver.smallest_step),
        number_text(solver.end_time), solver.complete ? "" : " (unfinished)");
    if (!start_text(solver.start).empty()) {
        put(out, "<p>Start: {}</p>", html_escape(start_text(solver.start)));
    }
    if (!stop_text(solver).empty()) {
        put(out, "<p>End: {}</p>", html_escape(stop_text(solver)));
    }
    if (!solver.warnings.empty()) {
        out += "<p>The solver warned:</p><ul>";
        for (const auto& warning : solver.warnings) put(out, "<li>{}</li>", html_escape(warning));
        out += "</ul>";
    }
    return out;
}

std::string licence_text() {
    return fmt::format(
        R"(<details><summary>Charts are drawn by uPlot {}, whose licence follows</summary>)"
        R"(<pre>{}</pre></details>)",
        html_escape(chart_version().text),
        // Line ends matter in a licence; the text is our own file.
        chart_licence().text);
}

}  // namespace

std::string measure_section(const RunRecord& record) {
    if (record.measures.empty()) return "";
    Rows rows;
    for (const auto& measure : record.measures) {
        rows.push_back({html_escape(key_text(measure.name)), html_escape(value_text(measure)),
                        measure.better == Better::less   ? "less"
                        : measure.better == Better::more ? "more"
                                                         : "–",
                        html_escape(measure.definition)});
    }
    return html_section(
        "measures", "All that was measured",
        html_table("Measures of this run",
                   {{"Measure"}, {"Value", true}, {"Better is"}, {"What it means"}}, rows));
}

std::string energy_section(const RunRecord& record) {
    const EnergyBook& book = record.energy;
    if (book.entries.empty()) return "";
    Rows rows;
    EnergyBook::Entry total{.element = "Sum"};
    for (const auto& entry : book.entries) {
        rows.push_back({html_escape(entry.element), number_text(entry.supplied),
                        number_text(entry.dissipated), number_text(entry.stored_change)});
        total.supplied += entry.supplied;
        total.dissipated += entry.dissipated;
        total.stored_change += entry.stored_change;
    }
    rows.push_back({"<strong>Sum</strong>", number_text(total.supplied),
                    number_text(total.dissipated), number_text(total.stored_change)});
    std::string out;
    put(out,
        "<p>A check on the calculation itself: what came in must be turned into heat or stored. "
        "Left over: {} J, that is <strong>{:.2g} of the energy turned over</strong>.</p>",
        number_text(book.unbalanced()), book.residual());
    out += html_table("Over the whole run, in J",
                      {{"Element"},
                       {"Supplied", true},
                       {"Turned into heat", true},
                       {"Stored more than before", true}},
                      rows);
    return html_section("energy", "Energy book", out);
}

std::string method_section(const RunRecord& record) {
    const RunIdentity& identity = record.identity;
    std::string out;
    out += solver_text(record.solver);
    out += html_table(
        "Run", {{"Item"}, {"Value"}},
        {{"Scenario", html_escape(identity.scenario)},
         {"Origin of the data", html_escape(identity.origin)},
         {"Vehicle class", html_escape(identity.vehicle_class)},
         {"Program version", html_escape(identity.program_version)},
         {"Command line", fmt::format("<code>{}</code>", html_escape(identity.command_line))},
         {"Created", html_escape(identity.created)}});
    if (!identity.changes.empty()) {
        out += html_table("Changed for this run", {{"Key"}, {"Value"}}, escaped(identity.changes));
    }
    if (!identity.inputs.empty()) {
        Rows rows;
        for (const auto& [file, digest] : identity.inputs) {
            rows.push_back(
                {html_escape(file), fmt::format("<code>{}</code>", html_escape(digest))});
        }
        out += html_table("Files it was read from", {{"File"}, {"SHA-256"}}, rows);
    }
    if (!record.model.inertias.empty()) {
        out += "<h3>The driveline as calculated</h3>";
        out +=
            inertia_table(record.model) + element_table(record.model) + input_table(record.model);
    }
    return html_section("method", "How it was computed", out + licence_text());
}

}  // namespace damper
