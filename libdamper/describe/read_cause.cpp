// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_cause.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/change.hpp"
#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/read_part.hpp"
#include "libdamper/scenario/cause_fields.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <map>

namespace damper {

namespace {

void check_sign(const CauseSign& sign, const TreeNode& node, const std::string& path,
                PartReader& reader) {
    const int places =
        (sign.run.empty() ? 0 : 1) + (sign.cover.empty() ? 0 : 1) + (sign.heat.empty() ? 0 : 1);
    if (places != 1) {
        reader.values().refuse(node.spot, path, fmt::format("{} of run, cover and heat", places),
                               "one of them", "Say what shows the figure.");
    }
    if (sign.above.empty() == sign.below.empty()) {
        reader.values().refuse(
            node.spot, path,
            sign.above.empty() ? "neither above nor below" : "both above and below", "one of them",
            "Say where the figure lies with the cause.");
    }
}

}  // namespace

Cause read_cause(const std::filesystem::path& file) {
    SourceMap map;
    std::vector<Finding> findings;
    PartFiles files({}, map, findings);
    const TreeNode root = files.read_first(file, schema_of<Cause>());
    if (root.broken()) throw InputError(std::move(findings));
    std::map<std::string, std::string> provenance, written;
    PartReader reader(map, findings, provenance, written);
    Cause cause;
    reader.read(root, "", cause, {"change"});
    cause.name = file.stem().string();
    const TreeEntry* change =
        root.table() != nullptr ? find_entry(*root.table(), "change") : nullptr;
    if (change == nullptr || change->node.table() == nullptr) {
        reader.refuse_missing(root.spot, "change", "What the cause changes", "a table [change]");
    } else {
        for (const Change& one : changes_in(change->node)) {
            cause.changes.emplace_back(one.key, as_written(one.node));
        }
    }
    const TreeEntry* signs = root.table() != nullptr ? find_entry(*root.table(), "signs") : nullptr;
    if (signs != nullptr && signs->node.array() != nullptr) {
        const TreeNode::Array& nodes = *signs->node.array();
        for (std::size_t i = 0; i < std::min(nodes.size(), cause.signs.size()); ++i) {
            check_sign(cause.signs[i], nodes[i], fmt::format("signs[{}]", i), reader);
        }
    }
    if (!findings.empty()) throw InputError(std::move(findings));
    return cause;
}

}  // namespace damper
