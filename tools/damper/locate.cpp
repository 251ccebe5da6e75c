// SPDX-License-Identifier: MIT
#include "tools/damper/locate.hpp"

#include "libdamper/base/error.hpp"

#include <cstdlib>
#include <fmt/format.h>
#include <system_error>

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

}  // namespace

fs::path models_folder(const std::string& asked) {
    if (!asked.empty()) return folder_asked_for(asked, "--models");
    if (const char* variable = std::getenv("DAMPER_MODELS"); variable && *variable != '\0') {
        return folder_asked_for(variable, "DAMPER_MODELS");
    }
    std::error_code failed;
    const fs::path executable = fs::read_symlink("/proc/self/exe", failed);
    if (!failed) {
        const fs::path prefix = executable.parent_path().parent_path();
        if (is_folder(prefix / "share/damper/models")) return prefix / "share/damper/models";
    }
    const fs::path source_tree = fs::path(DAMPER_SOURCE_DIR) / "models";
    return is_folder(source_tree) ? source_tree : fs::path{};
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
