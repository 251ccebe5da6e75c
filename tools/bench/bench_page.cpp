// SPDX-License-Identifier: MIT
#include "tools/bench/bench_page.hpp"

#ifdef DAMPER_BENCH_PAGE
#include "libdamper/outputs/base64.hpp"

#include "tools/bench/bench_files.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <string_view>
#else
#include "libdamper/base/error.hpp"
#endif

namespace damper::command {

bool has_bench_page() {
#ifdef DAMPER_BENCH_PAGE
    return true;
#else
    return false;
#endif
}

#ifdef DAMPER_BENCH_PAGE

namespace {

/// Names and texts as JSON that cannot end the script element it stands in.
std::string files_json(const std::vector<std::pair<std::string, std::string>>& files) {
    nlohmann::ordered_json json = nlohmann::ordered_json::object();
    for (const auto& [name, text] : files) json[name] = text;
    const std::string plain =
        json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
    std::string out;
    out.reserve(plain.size());
    for (const char c : plain) {
        if (c == '<') {
            out.append("\\u003c");
        } else {
            out += c;
        }
    }
    return out;
}

std::string source_hash(const EmbeddedFile& file) {
    return fmt::format("'sha256-{}'", base64_of_hex(file.sha256));
}

std::string data_block(std::string_view id, std::string_view type, std::string_view text) {
    return fmt::format("<script type=\"{}\" id=\"{}\">{}</script>\n", type, id, text);
}

}  // namespace

std::string bench_page(const std::vector<std::pair<std::string, std::string>>& files) {
    std::string out = R"(<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">)";
    // Workers are made from the page's own text; they calculate, and reach nothing.
    out += fmt::format(
        R"(<meta http-equiv="Content-Security-Policy" content="default-src 'none'; )"
        R"(script-src {} 'wasm-unsafe-eval'; worker-src blob:; style-src {}; base-uri 'none'; )"
        R"(form-action 'none'">)",
        source_hash(bench_script()), source_hash(bench_style()));
    out += R"(<meta name="viewport" content="width=device-width, initial-scale=1">)"
           R"(<meta name="color-scheme" content="light dark"><title>Disc bench</title>)";
    out += fmt::format("<style>{}</style></head>\n", bench_style().text);
    out += bench_body().text;
    out += data_block("files", "application/json", files_json(files));
    out += data_block("engine-script", "text/plain", bench_engine_script().text);
    out += data_block("worker-script", "text/plain", bench_worker_script().text);
    out += data_block("engine-wasm", "application/octet-stream", base64(bench_engine().text));
    out += fmt::format("<script>{}</script></body></html>\n", bench_script().text);
    return out;
}

#else

std::string bench_page(const std::vector<std::pair<std::string, std::string>>& /*files*/) {
    throw ModelError("this program was built without the bench page");
}

#endif

}  // namespace damper::command
