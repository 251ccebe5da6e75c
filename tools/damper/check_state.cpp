// SPDX-License-Identifier: MIT
#include "tools/damper/check_state.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/digest.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/version.hpp"
#include "libdamper/outputs/baseline_json.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <system_error>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t largest_state = std::size_t{4} * 1024 * 1024;  // [bytes]
constexpr const char* format_name = "damper check state";

/// The program by its bytes: two builds of one version may compute differently.
const std::string& program_digest() {
    static const std::string digest = [] {
        try {
            return sha256_hex_of_file("/proc/self/exe");
        } catch (const FileError&) {
            return std::string(program_version());
        }
    }();
    return digest;
}

std::string text_of(const std::map<std::string, Tolerance>& tolerances) {
    std::string out;
    for (const auto& [name, one] : tolerances) {
        out += fmt::format("{} {:.17g} {:.17g} {:.17g}\n", name, one.absolute.value_or(-1.0),
                           one.relative.value_or(-1.0), one.intervals.value_or(-1.0));
    }
    return out;
}

}  // namespace

CheckState::CheckState(const fs::path& folder) : file_(folder / "check_state.json") {
    std::error_code ignored;
    if (!fs::is_regular_file(file_, ignored)) return;
    try {
        const auto bytes = read_file(file_, largest_state);
        const auto* begin = reinterpret_cast<const char*>(bytes.data());
        const auto root = nlohmann::json::parse(begin, begin + bytes.size(), nullptr, false);
        if (!root.is_object() || root.value("format", nlohmann::json()) != format_name) return;
        const auto kept = root.find("kept");
        if (kept == root.end() || !kept->is_object()) return;
        for (const auto& [name, digest] : kept->items()) {
            if (digest.is_string()) digests_[name] = digest.get<std::string>();
        }
    } catch (const InputError&) {
        digests_.clear();  // everything is checked again, which does no harm
    }
}

bool CheckState::kept(const std::string& name, const std::string& digest) const {
    const auto found = digests_.find(name);
    return found != digests_.end() && found->second == digest;
}

void CheckState::note(const std::string& name, const std::string& digest, bool kept) {
    if (kept) {
        digests_[name] = digest;
    } else {
        digests_.erase(name);
    }
}

void CheckState::write() const {
    const nlohmann::ordered_json root = {
        {"format", format_name}, {"format_version", 1}, {"kept", digests_}};
    write_file_atomically(
        file_, root.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n");
}

std::string digest_of(const CheckJob& job, const CheckSettings& settings) {
    std::string text =
        fmt::format("{}\n{}\n{} {:.17g}\n{}\n", program_version(), program_digest(),
                    settings.run.solver, settings.run.tolerance, settings.against_baselines);
    if (job.scenario) {
        for (const auto& [file, digest] : job.scenario->inputs) text += file + " " + digest + "\n";
        for (const auto& [key, value] : job.scenario->changes) text += key + " = " + value + "\n";
    }
    if (job.baseline) text += baseline_json(*job.baseline);
    text += text_of(settings.tolerances.measures) + "\n" + text_of(settings.tolerances.signals);
    return sha256_hex(text);
}

}  // namespace damper::command
