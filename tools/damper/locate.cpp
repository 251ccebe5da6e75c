// SPDX-License-Identifier: MIT
#include "tools/damper/locate.hpp"

#include "libdamper/base/error.hpp"

#include <cstdlib>
#include <fmt/format.h>
#include <system_error>
#include <vector>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

bool is_folder(const fs::path& path) {
    std::error_code ignored;
    return fs::is_directory(path, ignored);
}

fs::path folder_asked_for(const std::string& path, const char* by) {
    if (is_folder(path)) return path;
    throw InputError(fmt::format("{} names \"{}\", which is not a folder", by, path));
}

/// Where models belong to this program: installed, copied, or still where it was built. A copy that
/// was carried away from there does not take what that place happens to hold.
std::vector<fs::path> places_of_executable() {
    std::error_code failed;
    const fs::path executable = fs::read_symlink("/proc/self/exe", failed);
    if (failed) return {};
    const fs::path folder = executable.parent_path();
    std::vector<fs::path> places{folder.parent_path() / "share/damper/models",
                                 folder / "share/damper/models"};
    const fs::path from_build = folder.lexically_relative(fs::path(DAMPER_BUILD_DIR));
    if (!from_build.empty() && *from_build.begin() != "..") {
        places.push_back(fs::path(DAMPER_SOURCE_DIR) / "models");
    }
    return places;
}

}  // namespace

fs::path models_folder(const std::string& asked) {
    if (!asked.empty()) return folder_asked_for(asked, "--models");
    if (const char* variable = std::getenv("DAMPER_MODELS"); variable && *variable != '\0') {
        return folder_asked_for(variable, "DAMPER_MODELS");
    }
    for (const fs::path& place : places_of_executable()) {
        if (is_folder(place)) return place;
    }
    return {};
}

std::string no_models() {
    std::string text =
        "there is no models folder: neither --models nor DAMPER_MODELS names one, and not there "
        "are";
    for (const fs::path& place : places_of_executable()) text += "\n      " + place.string();
    return text + "\n    Give its place: --models DIR";
}

fs::path needed_models_folder(const std::string& asked) {
    fs::path folder = models_folder(asked);
    if (folder.empty()) throw InputError(no_models());
    return folder;
}

fs::path locate(const std::string& word, const std::string& kind, const fs::path& models) {
    std::error_code ignored;
    const bool bare_name =
        word.find('/') == std::string::npos && fs::path(word).extension().empty();
    if (!bare_name || models.empty() || fs::exists(word, ignored)) return word;
    const fs::path folder =
        kind.starts_with("scenarios") ? models.parent_path() / kind : models / kind;
    const fs::path known =
        folder / (word + (kind == "bench" || kind == "recordings" ? ".csv" : ".toml"));
    return fs::is_regular_file(known, ignored) ? known : fs::path(word);
}

}  // namespace damper::command
