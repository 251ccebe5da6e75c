// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/tune_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// Fills the two objectives of a record. Each name asked for is a scenario, a condition or a
/// measure; one alone is set against all the rest, none: the first scenario against the others,
/// else the first condition against the others, else the fitted disc's worst measure against the
/// others. Throws InputError if a name is not known or no two objectives can be made.
void choose_objectives(TuneRecord& record, const std::vector<std::string>& asked);

/// Finds the limits that all candidates so far miss by more than a fifth of the way from good to
/// bad, and sets them aside in the candidates. The fitted disc must be the first of them.
void find_out_of_reach(TuneRecord& record);

/// Fills best disc and front from the candidates.
///
/// The front holds the candidates that no other one equals or beats in both objectives at once, of
/// those with all figures; the first of equals.
void settle(TuneRecord& record);

}  // namespace damper
