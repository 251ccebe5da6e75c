// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace damper {

/// Share of time that the disc spent in a stage, and how often it passed a corner.
struct StageUse {
    std::string stage;     ///< "idle", "main (coast)", "drive stop", …
    double share = 0.0;    ///< Of the time that is measured, 0…1.
    double entries = 0.0;  ///< Times entered per second [1/s].
};

/// A range of twist that belongs to one stage or one stop.
struct TwistRange {
    std::string name;
    double low = 0.0;   ///< [rad]; −infinity at the coast stop
    double high = 0.0;  ///< [rad]; +infinity at the drive stop
    enum class Kind { coast_stop, stage, drive_stop } kind = Kind::stage;
    bool first = false;     ///< The first stage: from its coast end to its drive end.
    std::size_t stage = 0;  ///< Index of the stage it belongs to; of a stop: the last one.
};

/// "idle"; "stage 2" for one without a name.
[[nodiscard]] std::string stage_name(const std::vector<RunFacts::Stage>& stages, std::size_t index);

/// The ranges from the coast stop to the drive stop, without gaps. The first stage is one range;
/// every other stage has one on each side, unless it has no travel there.
[[nodiscard]] std::vector<TwistRange> twist_ranges(const std::vector<RunFacts::Stage>& stages);

/// Whether the disc has a soft first stage meant for idling: more than one stage, and the first
/// ends at less than 15 % of the engine's peak torque (common practice, no source: such stages end
/// at some 2 % to 5 % of it).
[[nodiscard]] bool has_idle_stage(const RunFacts& facts);

/// Counts time and entries of each range while a run goes. Between two samples the twist is taken
/// as straight, so that finer sampling of the same course changes nothing.
class StageCounter {
  public:
    explicit StageCounter(std::vector<TwistRange> ranges = {});

    /// Twists in order of uniform time [rad].
    void add(double twist);
    /// Share and entries of each range, for samples `step` [s] apart; all 0 with fewer than two
    /// samples or none > 0.
    [[nodiscard]] std::vector<StageUse> use(double step) const;
    [[nodiscard]] const std::vector<TwistRange>& ranges() const { return ranges_; }

  private:
    struct Count {
        double intervals = 0.0;
        double entries = 0.0;
    };
    [[nodiscard]] std::size_t range_of(double twist) const;
    void cross(std::size_t there, double twist);

    std::vector<TwistRange> ranges_;
    std::vector<Count> counts_;
    std::size_t here_ = 0;
    double last_ = 0.0;
    double samples_ = 0.0;
};

/// The same for a twist [rad] that is stored.
[[nodiscard]] std::vector<StageUse> stage_use(const std::vector<TwistRange>& ranges,
                                              std::span<const double> twist, double step);

}  // namespace damper
