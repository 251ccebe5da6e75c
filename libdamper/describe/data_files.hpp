// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/describe/measured_table.hpp"
#include "libdamper/describe/source_map.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Reads the tables of measured values that descriptions name.
///
/// A name leads to a file beside the description, or to one in the folder `recordings` of the
/// models. It must lie inside one of these, symbolic links followed; absolute paths and ".." are
/// refused. A name given on the command line is a path of its own and may lead anywhere.
class DataFiles {
  public:
    DataFiles(std::filesystem::path models, const SourceMap& map, std::vector<Finding>& findings)
        : models_(std::move(models)), map_(map), findings_(findings) {}

    /// The table that the key `key` names by `text`; nothing and findings if there is none.
    /// Throws FileError if the file system refuses to read.
    [[nodiscard]] std::optional<MeasuredTable> read(const std::string& key, const std::string& text,
                                                    const TableRequest& request);

    /// Adds findings about the contents of a file that the part at `path` names.
    void add(const std::vector<Finding>& findings, const std::string& path);

    /// Files read so far, with the SHA-256 of their bytes.
    [[nodiscard]] const std::vector<std::pair<std::string, std::string>>& inputs() const {
        return inputs_;
    }

  private:
    /// The file, or an empty path and why.
    [[nodiscard]] std::filesystem::path locate(const std::string& text, const Place& place,
                                               std::string& expected) const;

    std::filesystem::path models_;
    const SourceMap& map_;
    std::vector<Finding>& findings_;
    std::vector<std::pair<std::string, std::string>> inputs_;
};

}  // namespace damper
