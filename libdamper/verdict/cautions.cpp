// SPDX-License-Identifier: MIT
#include "libdamper/verdict/reasons.hpp"

namespace damper {

std::vector<std::string> cautions_for(std::string_view manoeuvre) {
    std::vector<std::string> cautions;
    if (manoeuvre == "idle" || manoeuvre == "engine start" || manoeuvre == "engine stop") {
        cautions = {
            "Before listening at a running engine: chock the wheels, set the parking brake, make "
            "sure the gearbox is in neutral, and let nobody stand in front of or behind the "
            "vehicle.",
            "Lead the exhaust outside; keep hair, sleeves, tools and cables away from belts, fans "
            "and turning shafts, and hands out of the bellhousing."};
    } else if (manoeuvre == "take up") {
        cautions = {
            "Take-ups are tried on closed level ground with free space ahead and behind by a "
            "trained "
            "driver alone; on a slope only with a second person to keep others away. No full-load "
            "slipping to \"prove\" a fault: it ruins the clutch and may launch the vehicle.",
            "After slipping, plate, flywheel and housing can be far above 200 °C and burnt facings "
            "give off irritating fumes: let them cool and air the place.",
            "For checks by hand at clutch, joints or mounts: engine off, wheels chocked, vehicle "
            "on "
            "rated stands on firm ground."};
    } else if (manoeuvre == "pull" || manoeuvre == "overrun" || manoeuvre == "creep" ||
               manoeuvre == "recorded speed") {
        cautions = {
            "Pulls, overruns and creeping are driven on a closed or quiet road by a trained driver "
            "within the legal speed, or on a roller bench with the vehicle tied down, the exhaust "
            "led outside, the tyres fit for it and nobody beside or behind the wheels; a second "
            "person watches the instruments.",
            "For checks by hand at joints, axle or mounts: engine off, wheels chocked, vehicle on "
            "rated stands on firm ground."};
    } else {
        cautions = {
            "Tip-in and back-out are driven on a closed or quiet road by a trained driver within "
            "the legal speed; a second person watches the instruments.",
            "For checks by hand at joints, axle or mounts: engine off, wheels chocked, vehicle on "
            "rated stands on firm ground."};
    }
    cautions.emplace_back(
        "Plate, flywheel and exhaust can burn long after the drive: let them cool before "
        "touching.");
    cautions.emplace_back(
        "Treat facing dust as harmful, old facings may hold asbestos: no compressed air, no dry "
        "brush; collect it wet or with a suitable extractor and dispose of it by local rules.");
    cautions.emplace_back(
        "A gearbox comes out on a gearbox jack with a strap; never let it hang on the input shaft: "
        "it may fall, and it bends the disc.");
    cautions.emplace_back(
        "The vehicle maker's procedure and the rules of the place of work come before anything "
        "said here; a competent person decides.");
    cautions.emplace_back(
        "These numbers are estimates from a model and from the data it was given; they do not "
        "prove a defect. Compare them with the vehicle before a part is ordered or a claim "
        "decided.");
    return cautions;
}

}  // namespace damper
