// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_report.hpp"

#include "libdamper/base/digest.hpp"
#include "libdamper/outputs/base64.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/page_files.hpp"

#include "tests/outputs/decode_base64.hpp"
#include "tests/outputs/sample_record.hpp"
#include "tests/outputs/scan.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <set>
#include <string>
#include <vector>

using namespace damper;

namespace {

bool holds(const std::string& text, const std::string& piece) {
    return text.find(piece) != std::string::npos;
}

/// Contents of all elements of a kind whose opening tag starts so.
std::vector<std::string> contents(const std::string& page, const std::string& open,
                                  const std::string& close) {
    std::vector<std::string> out;
    for (std::size_t at = page.find(open); at != std::string::npos; at = page.find(open, at)) {
        const std::size_t from = page.find('>', at) + 1;
        const std::size_t to = page.find(close, from);
        out.push_back(page.substr(from, to - from));
        at = to;
    }
    return out;
}

/// The page without scripts, styles and the licence of the chart library.
std::string markup_of(std::string page) {
    for (const auto& [open, close] :
         {std::pair{"<script", "</script>"}, {"<style", "</style>"}, {"<pre", "</pre>"}}) {
        for (std::size_t at = page.find(open); at != std::string::npos; at = page.find(open, at)) {
            page.erase(at, page.find(close, at) - at + std::string(close).size());
        }
    }
    return page;
}

}  // namespace

TEST_CASE("the page tells the verdict first, then how it came about") {
    const std::string page = html_report(sample::idle());
    std::size_t last = 0;
    for (const char* piece :
         {"<h1>Idle in neutral", "The gearbox rattles at hot idle", "id=\"limits\"",
          "id=\"cautions\"", "id=\"disc-loop\"", "id=\"speed\"", "id=\"input-acceleration\"",
          "id=\"orders\"", "id=\"stages\"", "id=\"impacts\"", "id=\"measures\"", "id=\"energy\"",
          "id=\"method\""}) {
        CAPTURE(piece);
        const std::size_t at = page.find(piece);
        REQUIRE(at != std::string::npos);
        CHECK(at > last);
        last = at;
    }
    for (const char* piece :
         {"scenarios/car_idle_hot.toml", "Runge–Kutta", "damper run scenarios",
          "0.78·hub − gear 3 loose", "flywheel − hub", "6.2 mW", "210 % beyond"}) {
        CAPTURE(piece);
        CHECK(holds(page, piece));
    }
    CHECK(holds(page, "the vehicle maker's procedure and limits rule"));
}

TEST_CASE("a change of torque shows what the driver feels, idle does not") {
    const std::string page = html_report(sample::tip_in());
    for (const char* id : {"vehicle-acceleration", "vehicle-jerk", "drive-shaft-torque"}) {
        CAPTURE(id);
        CHECK(holds(page, "id=\"" + std::string(id) + "\""));
    }
    CHECK_FALSE(holds(page, "id=\"orders\""));
    CHECK_FALSE(holds(html_report(sample::idle()), "id=\"vehicle-acceleration\""));
}

TEST_CASE("what was changed is told with who changed it") {
    RunIdentity identity = sample::idle().identity;
    identity.changes = {{"engine.idle_speed", "750 rpm"}, {"a.b", "times 6"}, {"c.d", "1"}};
    identity.causes = {{"a.b", "worn"}};
    CHECK(change_texts(identity) ==
          std::vector<std::string>{"changed on the command line: engine.idle_speed = 750 rpm",
                                   "changed by the cause worn: a.b = times 6",
                                   "changed by the scenario: c.d = 1"});
}

TEST_CASE("an empty record still gives a page") {
    const std::string page = html_report(RunRecord{});
    CHECK(holds(page, "nothing was judged"));
    CHECK(holds(page, "Unfinished"));
    CHECK(holds(page, "</html>"));
}

TEST_CASE("the page loads nothing from anywhere") {
    const std::string page = html_report(sample::idle());
    const std::string markup = markup_of(page);
    for (const char* piece : {"http:", "https:", "src=", "href=", "@import", "<link", "<iframe",
                              "<img", "<object", "<base", " style=", "javascript:", "//"}) {
        CAPTURE(piece);
        CHECK_FALSE(holds(markup, piece));
    }
    for (const auto& style : contents(page, "<style", "</style>")) {
        CHECK_FALSE(holds(style, "@import"));
        CHECK_FALSE(holds(style, "url("));
    }
    for (const char* piece : {"eval(", "new Function", "innerHTML", "fetch(", "XMLHttp",
                              "http:", "https:", "import("}) {
        CAPTURE(piece);
        CHECK_FALSE(holds(std::string(page_script().text), piece));
    }
}

TEST_CASE("the security policy names the digest of each script and style, and of nothing else") {
    const std::string page = html_report(sample::idle());
    const auto policy = between(page, R"(Content-Security-Policy" content=")", "\"");
    REQUIRE(policy.size() == 1);
    const std::string& rules = policy[0];
    CHECK(holds(rules, "default-src 'none'"));
    CHECK_FALSE(holds(rules, "unsafe"));
    std::set<std::string> expected;
    for (const char* open : {"<script>", "<style>"}) {
        const std::string close = std::string("</") + (open + 1);
        const auto pieces = contents(page, open, close);
        CHECK(pieces.size() == 2);
        for (const auto& piece : pieces) {
            expected.insert("'sha256-" + base64_of_hex(sha256_hex(piece)) + "'");
        }
    }
    std::set<std::string> named;
    for (const auto& hash : between(rules, "'sha256-", "'")) named.insert("'sha256-" + hash + "'");
    CHECK(named == expected);
}

TEST_CASE("scripts of the page cannot end their own element") {
    for (const auto& file : {chart_script(), page_script()}) {
        const std::string text(file.text);
        CHECK_FALSE(holds(text, "</script"));
        CHECK_FALSE(holds(text, "<!--"));
        CHECK_FALSE(holds(text, "\r"));
    }
}

TEST_CASE("hostile names appear as text and nowhere as markup") {
    RunRecord record = sample::idle();
    const std::string evil = "<script>x()</script>\"'><img src=q onerror=x()>&\u202E\x1b`";
    auto& identity = record.identity;
    for (std::string* text :
         {&identity.title, &identity.vehicle, &identity.disc, &identity.manoeuvre,
          &identity.command_line, &identity.origin, &identity.created, &identity.program_version,
          &identity.vehicle_class, &identity.scenario}) {
        *text = evil;
    }
    identity.conditions = identity.changes = identity.inputs = {{evil, evil}};
    record.verdict.headline = evil;
    record.verdict.reasons = record.verdict.cautions = {evil};
    for (auto& judgement : record.verdict.judgements) {
        judgement.measure = judgement.units = judgement.source = judgement.sentence = evil;
    }
    for (auto& band : record.verdict.bands) band.measure = band.units = band.source = evil;
    for (auto& corner : record.disc_loop.corners) corner.name = evil;
    for (auto& use : record.stage_use) use.stage = evil;
    for (auto& gear : record.gear_impacts) gear.element = evil;
    for (auto& measure : record.measures) measure.name = measure.units = measure.definition = evil;
    for (auto& entry : record.energy.entries) entry.element = evil;
    for (auto& inertia : record.model.inertias) inertia.name = evil;
    for (auto& element : record.model.elements) {
        element.name = element.kind = evil;
        element.smooth = {{evil, 1.0}};
        for (auto& part : element.parts) part.name = evil;
    }
    for (auto& input : record.model.inputs) {
        input.name = input.kind = evil;
        input.parameters = {{evil, 1.0}};
    }
    for (auto& signal : record.signals.signals) signal.units = signal.long_name = evil;
    for (auto& spectrum : record.spectra) spectrum.signal = spectrum.units = evil;
    record.solver.method = evil;
    record.solver.warnings = {evil};

    const std::string page = html_report(record);
    const std::string clean = html_report(sample::idle());
    for (const char* tag : {"<script", "</script", "<img", "<style"}) {
        CAPTURE(tag);
        const auto count = [&](const std::string& text) {
            std::size_t n = 0;
            for (auto at = text.find(tag); at != std::string::npos; at = text.find(tag, at + 1))
                ++n;
            return n;
        };
        CHECK(count(page) == count(clean));
    }
    const std::string markup = markup_of(page);
    CHECK_FALSE(holds(markup, "onerror="));
    CHECK_FALSE(holds(markup, "\u202E"));
    CHECK_FALSE(holds(markup, "\x1b"));
    CHECK(holds(markup, "&lt;script&gt;x()&lt;/script&gt;&quot;&#39;&gt;"));
    CHECK(holds(markup, "[U+202E][U+001B]"));
}

TEST_CASE("the data of a chart are the signal's own numbers") {
    const RunRecord record = sample::idle();
    const std::string page = html_report(record);
    const auto blocks =
        contents(page, R"(<script type="application/octet-stream" id="speed-axis")", "</script>");
    REQUIRE(blocks.size() == 1);
    const auto time = decode_floats(blocks[0]);
    REQUIRE(time.size() == record.signals.time.size());
    CHECK(time[777] == static_cast<float>(record.signals.time[777]));
    const auto speeds = contents(
        page,
        R"(<script type="application/octet-stream" data-role="y" data-label="Flywheel" data-stroke="line")",
        "</script>");
    REQUIRE(speeds.size() == 1);
    const auto speed = decode_floats(speeds[0]);
    REQUIRE(speed.size() == time.size());
    const double rpm = record.signals.at("flywheel_speed").values[777] * 30.0 / sample::pi;
    CHECK(static_cast<double>(speed[777]) == doctest::Approx(rpm).epsilon(1e-6));
}

TEST_CASE("above 100 000 samples the page carries extremes, on one axis for all curves") {
    RunRecord record;
    for (int i = 0; i < 350'000; ++i) record.signals.time.push_back(1e-5 * i);
    Signal signal{"flywheel_speed", "rad/s", "Flywheel speed", std::vector<double>(350'000, 80.0)};
    signal.values[123'456] = 99.0;
    record.signals.signals.push_back(signal);
    const std::string page = html_report(record);
    const auto axis = decode_floats(
        contents(page, R"(<script type="application/octet-stream" id="speed-axis")", "</script>")
            .at(0));
    const auto y = decode_floats(
        contents(page, R"(<script type="application/octet-stream" data-role="y")", "</script>")
            .at(0));
    CHECK(axis.size() == 100'000);
    CHECK(y.size() == axis.size());
    CHECK(std::is_sorted(axis.begin(), axis.end()));
    const double rpm = 99.0 * 30.0 / sample::pi;
    CHECK(static_cast<double>(*std::max_element(y.begin(), y.end())) ==
          doctest::Approx(rpm).epsilon(1e-6));
}

TEST_CASE("tables have headings and captions, pictures have words") {
    const std::string page = markup_of(html_report(sample::idle()));
    const auto count = [&](const std::string& piece) {
        std::size_t n = 0;
        for (auto at = page.find(piece); at != std::string::npos; at = page.find(piece, at + 1))
            ++n;
        return n;
    };
    CHECK(count("<table>") == count("<caption>"));
    CHECK(count("<table>") == count("<thead>"));
    CHECK(count("<svg ") == count("role=\"img\" aria-label=\"") + count("aria-hidden=\"true\""));
    CHECK(count("<figure ") == count("class=\"reading\""));
    CHECK(holds(page, "<html lang=\"en\">"));
}

TEST_CASE("no identifier stands twice in a page, and each label points at one") {
    const std::string page = markup_of(html_report(sample::idle()));
    std::set<std::string> seen;
    for (const auto& id : between(page, " id=\"", "\"")) {
        CAPTURE(id);
        CHECK(seen.insert(id).second);
    }
    for (const auto& label : between(page, "aria-labelledby=\"", "\"")) {
        CAPTURE(label);
        CHECK(seen.contains(label));
    }
    CHECK(seen.size() > 12);
}

TEST_CASE("the loop of a two-mass flywheel stands beside that of the disc, if there is one") {
    RunRecord record = sample::idle();
    CHECK_FALSE(holds(html_report(record), "flywheel-loop"));
    record.flywheel_loop = record.disc_loop;
    const std::string page = html_report(record);
    CHECK(holds(page, "flywheel-loop"));
    CHECK(holds(page, "Torque over twist of the two-mass flywheel"));
    CHECK(page.find("disc-loop") < page.find("flywheel-loop"));
}
