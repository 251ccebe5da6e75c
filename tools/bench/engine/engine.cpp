// SPDX-License-Identifier: MIT
// What the page calls: JSON in, JSON out. One caller at a time; every worker of the page has an
// engine of its own.
#include "libdamper/base/error.hpp"
#include "libdamper/base/version.hpp"

#include "tools/bench/engine/answers.hpp"
#include "tools/bench/engine/shelves.hpp"

#include <exception>
#include <filesystem>
#include <fstream>
#include <string>

namespace damper::bench {

namespace {

using Json = nlohmann::ordered_json;

/// Puts the files of the page, {"models/discs/x.toml": text, …}, where descriptions are read from:
/// a file system in memory.
Json take_files(const Json& files) {
    for (const auto& [name, text] : files.items()) {
        const std::filesystem::path path(name);
        std::filesystem::create_directories(path.parent_path());
        std::ofstream(path, std::ios::binary) << text.get<std::string>();
    }
    return {{"version", program_version()}, {"shelves", shelves()}};
}

Json answer(const Json& asked) {
    const auto ask = asked.at("ask").get<std::string>();
    if (ask == "files") return take_files(asked.at("files"));
    if (ask == "disc") return answer_disc(asked);
    if (ask == "run") return answer_run(asked);
    throw ModelError("the engine was asked for \"" + ask + "\"");
}

}  // namespace
}  // namespace damper::bench

/// The answer lives until the next question. What goes wrong comes back as {"error": text}.
extern "C" const char* damper_bench_ask(const char* question) {
    static std::string answered;
    damper::bench::Json out;
    try {
        out = damper::bench::answer(damper::bench::Json::parse(question));
    } catch (const std::exception& error) {
        out = {{"error", error.what()}};
    }
    answered = out.dump(-1, ' ', false, damper::bench::Json::error_handler_t::replace);
    return answered.c_str();
}
