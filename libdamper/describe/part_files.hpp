// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/describe/schema.hpp"
#include "libdamper/describe/source_map.hpp"
#include "libdamper/describe/tree.hpp"

#include <filesystem>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace damper {

/// Reads description files and puts the parts that they name in place.
///
/// A part is named in one of two ways:
///   - by name: "car_soft" is MODELS/discs/car_soft.toml for a disc;
///   - by path from the naming file's folder: "my_disc.toml", "discs/my_disc.toml".
/// On the command line a path from where the command is typed comes first, absolute or not.
/// Either way the file must be a regular one inside the models folder or the naming file's folder,
/// symbolic links followed. Absolute paths and ".." are refused. A file may not include itself,
/// files nest eight deep, and 64 files are read at most.
class PartFiles {
  public:
    PartFiles(std::filesystem::path models, SourceMap& map, std::vector<Finding>& findings);

    /// Reads the file that the user named. A file that does not exist or is no regular one is a
    /// finding and gives a broken node. Throws FileError if the file system refuses.
    [[nodiscard]] TreeNode read_first(const std::filesystem::path& file, const PartSchema& schema);

    /// Puts the parts named anywhere below `node` in place.
    void resolve(TreeNode& node, const PartSchema& schema, const std::string& path,
                 const std::filesystem::path& folder);

    /// Files read so far, with the SHA-256 of their bytes, in order of reading.
    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& inputs() const {
        return inputs_;
    }

  private:
    struct Refusal {
        std::string found;
        std::string expected;
        std::string mend;
    };
    using Located = std::variant<std::filesystem::path, Refusal>;

    [[nodiscard]] Located locate(const std::string& text, const PartSchema& schema,
                                 const std::filesystem::path& folder) const;
    [[nodiscard]] Located locate_by_name(const std::string& name, const PartSchema& schema) const;
    [[nodiscard]] Located inside(const std::filesystem::path& file, const std::string& text,
                                 const std::filesystem::path& folder) const;
    void include(TreeNode& node, const PartSchema& schema, const std::string& path,
                 const std::filesystem::path& folder);
    [[nodiscard]] TreeNode parse(const std::filesystem::path& file, const std::string& bytes);

    std::filesystem::path models_;
    SourceMap& map_;
    std::vector<Finding>& findings_;
    std::vector<std::filesystem::path> open_;  ///< Files being included, canonical.
    std::vector<std::pair<std::string, std::string>> inputs_;
    int files_read_ = 0;
};

}  // namespace damper
