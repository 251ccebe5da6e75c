// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/diagnosis/figure_cloud.hpp"
#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/scenario/cause.hpp"
#include "libdamper/studies/figure_bench.hpp"
#include "libdamper/studies/what_to_record.hpp"

#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace damper {

/// Vehicles to simulate for a diagnosis.
struct VehiclesAsked {
    std::filesystem::path models;     ///< Folder of the parts.
    std::filesystem::path scenarios;  ///< Folder of the scenarios.
    std::string vehicle;              ///< Name, or an absolute path of a file.
    std::string vehicle_class;
    bool two_mass_flywheel = false;
    bool mounts = true;  ///< Its file tells the mounts.
    int cylinders = 4;
    std::vector<std::pair<std::string, std::string>> changes;  ///< State of the vehicle.
    int count = 32;                                            ///< For each cause. 8…1000
    bool count_was_asked = false;                              ///< If fewer are simulated, say so.
    std::uint64_t seed = 1;
    std::size_t threads = 0;  ///< 0: as many as the processor runs at once.
};

/// The file of the vehicle that is asked for.
[[nodiscard]] std::filesystem::path vehicle_file(const VehiclesAsked& asked);

/// Reads the vehicle that is asked for, and takes over what its file tells and the complaint's
/// state into `asked`. Throws InputError if its file does not fit.
[[nodiscard]] Vehicle take_vehicle(const Complaint& complaint, VehiclesAsked& asked);

/// What vehicles with each cause show in the run of a complaint.
struct CauseVehicles {
    std::string run;       ///< What was run, as typed; empty if there is nothing for the class.
    std::string state;     ///< Of the run in short; empty where the clutch is calculated.
    RecordingGuide guide;  ///< What to record in that state; empty where nothing shows.
    std::vector<FigureScale> scales;
    std::vector<std::string> measures, units, definitions;
    std::vector<std::string> shown_by;  ///< Of each measure, see ComplaintFigure.
    std::vector<Better> better;         ///< Of each measure.
    FigureRows healthy;
    std::vector<FigureRows> rows;  ///< By cause; of causes outside the model see `unsimulated`.
    std::vector<bool> simulated;
    std::vector<std::string> notes;
};

/// What can be measured of a complaint on its vehicle: names, units, definitions and scales;
/// nothing is simulated but the sound vehicle, once. Empty where the class has no run of the
/// complaint. Throws InputError if that vehicle cannot be simulated.
[[nodiscard]] CauseVehicles known_figures(const ComplaintKind& kind, const VehiclesAsked& asked,
                                          const Progress& progress = {});

/// Simulates vehicles that scatter as the complaint's file says: without any cause, and with each
/// of `kind` that the model knows, over its plausible range. The same scatter is drawn for every
/// cause, so that what differs is the cause. Does not depend on the number of threads. Throws
/// InputError if the sound vehicle itself cannot be simulated.
[[nodiscard]] CauseVehicles simulate_causes(const ComplaintKind& kind,
                                            const std::map<std::string, Cause>& causes,
                                            const VehiclesAsked& asked,
                                            const Progress& progress = {});

/// Whether what is `shown_by` a place is with a cause that is not simulated as with any other one;
/// otherwise it is as of a sound vehicle: mounts that are bad leave the disc as it is.
[[nodiscard]] bool shows_as_any(const ComplaintKind& kind, const CandidateCause& cause,
                                const std::string& shown_by);

/// The figures of one vehicle with these changes on top of the run's own, in the order and units of
/// `vehicles`; NaN where it gives none. The way that simulate_causes() takes for each. Throws
/// InputError, SolverError, ModelError.
[[nodiscard]] std::vector<double> figures_of(
    const ComplaintKind& kind, const CauseVehicles& vehicles, const VehiclesAsked& asked,
    const std::vector<std::pair<std::string, std::string>>& changes);

/// Changes of one vehicle: its scatter, then the cause with its range (if `cause` is not null).
/// `number` draws it. Values that name a part of another class ("car_no_idle_stage") name that of
/// `vehicle_class`, where there is one.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> changes_of_vehicle(
    const ComplaintKind& kind, const CandidateCause* candidate, const Cause* cause,
    const VehiclesAsked& asked, std::uint64_t number);

/// What the figures of a complaint are taken from: its run with the vehicle that is asked for, and
/// the places of the workshop that its figures name.
[[nodiscard]] FigureSource source_of(const ComplaintKind& kind, const ComplaintRun& run,
                                     const VehiclesAsked& asked);

/// The run of a complaint that is known for a class; null if it has none. Of one vehicle see
/// run_of_vehicle().
[[nodiscard]] const ComplaintRun* run_for(const ComplaintKind& kind,
                                          const std::string& vehicle_class);

}  // namespace damper
