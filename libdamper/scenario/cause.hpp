// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// What shows a cause: a figure that is beyond a bound with it and within the bound without it.
struct CauseSign {
    std::string run;      ///< Name of a scenario that is run; or empty.
    std::string cover;    ///< Name of a vehicle whose clutch is calculated; or empty.
    std::string heat;     ///< Name of a vehicle whose clutch is heated by starts; or empty.
    std::string measure;  ///< Of the run or the clutch.
    std::string above;    ///< With the cause it is more than this, without it no more; or empty.
    std::string below;    ///< The other way round; or empty.
};

/// A defect, a wrong part or a state, as a change to a vehicle, under a name.
struct Cause {
    std::string name;  ///< File name without extension.
    std::string title;
    std::string origin;
    std::string complaint;  ///< What is complained of.
    std::string seat;       ///< Where the cause sits: "clutch", "engine", …
    std::vector<std::pair<std::string, std::string>> changes;  ///< As on the command line.
    std::vector<CauseSign> signs;
};

/// The cause that a change belongs to, beside it in a list of changes.
struct OfCause {
    std::string name;             ///< Empty: to none.
    bool goes_with_disc = false;  ///< It changes the fitted disc, and does not come with a new one.
};

/// Whether what a cause changes under a key is taken out with the disc: the disc itself, and what
/// is wrong with its facings where the cause sits in disc or facings. A shaft out of line shows at
/// the facings, but stays.
[[nodiscard]] inline bool goes_with_disc(const Cause& cause, const std::string& key) {
    if (key == "disc" || key.starts_with("disc.")) return true;
    return key.starts_with("facing") && (cause.seat == "disc" || cause.seat == "facings");
}

}  // namespace damper
