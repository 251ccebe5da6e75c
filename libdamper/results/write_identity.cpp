// SPDX-License-Identifier: MIT
#include "libdamper/results/write_identity.hpp"

#include "libdamper/results/layout.hpp"
#include "libdamper/results/table_io.hpp"

#include <fmt/format.h>

namespace damper {

void write_identity(GroupOut& root, const RunIdentity& identity, FileKind kind,
                    const std::string& solver) {
    const auto text = [&](const char* name, const std::string& value) {
        write_attribute(root.id(), name, value);
    };
    text("format", kind.format);
    write_attribute(root.id(), "format_version", kind.version);
    text("Conventions", "CF-1.8");
    text("program_version", identity.program_version);
    text("command_line", identity.command_line);
    text("scenario", identity.scenario);
    text("title", identity.title);
    text("origin", identity.origin);
    text("vehicle", identity.vehicle);
    text("vehicle_class", identity.vehicle_class);
    text("disc", identity.disc);
    text("manoeuvre", identity.manoeuvre);
    if (!solver.empty()) text("solver", solver);
    std::string hashes;  // lines that sha256sum --check takes
    for (const auto& [file, hash] : identity.inputs) hashes += fmt::format("{}  {}\n", hash, file);
    text("input_sha256", hashes);

    const GroupOut provenance = root.make_group("provenance");
    write_attribute(provenance.id(), "created", identity.created);
    write_attribute(provenance.id(), "host", identity.host);
    write_table(root, "inputs", identity.inputs, layout::inputs);
    write_table(root, "conditions", identity.conditions, layout::conditions);
    write_table(root, "changes", identity.changes, layout::changes);
    if (!identity.causes.empty()) write_table(root, "causes", identity.causes, layout::causes);
}

}  // namespace damper
