// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_page.hpp"

#include "libdamper/outputs/base64.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/page_files.hpp"

namespace damper {
namespace {

std::string source_hash(const EmbeddedFile& file) {
    return fmt::format("'sha256-{}'", base64_of_hex(file.sha256));
}

}  // namespace

std::string page_head(std::string_view title) {
    std::string out = R"(<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">)";
    put(out,
        R"(<meta http-equiv="Content-Security-Policy" content="default-src 'none'; )"
        R"(script-src {} {}; style-src {} {}; img-src data:; base-uri 'none'; form-action 'none'">)",
        source_hash(chart_script()), source_hash(page_script()), source_hash(chart_style()),
        source_hash(page_style()));
    out += R"(<meta name="viewport" content="width=device-width, initial-scale=1">)"
           R"(<meta name="color-scheme" content="light dark">)";
    put(out, "<title>{}</title>", html_escape(title));
    put(out, "<style>{}</style><style>{}</style></head>\n", chart_style().text, page_style().text);
    return out;
}

std::string page_banner(const RunIdentity& identity) {
    std::string out = "<header>";
    put(out, "<h1>{}</h1>", html_escape(identity.title));
    for (const auto& change : change_texts(identity)) {
        put(out, R"(<p class="changed">{}</p>)", html_escape(change));
    }
    out += "<dl class=\"facts\">";
    const auto fact = [&](std::string_view name, const std::string& value) {
        if (value.empty()) return;
        put(out, "<div><dt>{}</dt><dd>{}</dd></div>", html_escape(name), html_escape(value));
    };
    fact("Vehicle", identity.vehicle);
    fact("Disc", identity.disc);
    fact("Manoeuvre", identity.manoeuvre);
    for (const auto& [name, value] : identity.conditions) fact(name, value);
    return out + "</dl></header>\n";
}

std::string scripts_off_notice() {
    return "<noscript><p class=\"notice\">Scripts are off: charts are shown as still pictures."
           "</p></noscript>\n";
}

std::string page_end() {
    std::string out;
    put(out, "</main><footer><p>{}</p></footer>\n", estimate_notice());
    put(out, "<script>{}</script><script>{}</script></body></html>\n", chart_script().text,
        page_script().text);
    return out;
}

}  // namespace damper
