// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/chart.hpp"
#include "libdamper/outputs/figure_table.hpp"
#include "libdamper/results/run_record.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace damper {

// Pieces of a page without scripts: its charts are still pictures. A page is still_page_head +
// sections + still_page_end; it needs no other file and no network.

/// Name and value under the heading of a page; plain text.
using Fact = std::pair<std::string, std::string>;

/// Everything up to the first section. `subject` is plain text of our own.
[[nodiscard]] std::string still_page_head(std::string_view subject, const RunIdentity& identity,
                                          const std::vector<Fact>& facts);
/// Where the result comes from, and that all is an estimate.
[[nodiscard]] std::string still_page_end(const RunIdentity& identity);

/// An empty chart of paths. Axes are name and unit.
[[nodiscard]] Chart still_chart(std::string id, std::string title, const Fact& x, const Fact& y);
[[nodiscard]] std::string still_figure(const Chart& chart);
[[nodiscard]] std::string still_table(const FigureTable& table);

}  // namespace damper
