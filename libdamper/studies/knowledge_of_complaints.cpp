// SPDX-License-Identifier: MIT
#include "libdamper/studies/knowledge_of_complaints.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/read_cause.hpp"
#include "libdamper/describe/read_knowledge.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

const ComplaintKind* Knowledge::find(const std::string& symptom) const {
    const auto found = std::ranges::find(kinds, symptom, &ComplaintKind::symptom);
    return found != kinds.end() ? &*found : nullptr;
}

const ComplaintKind& Knowledge::of(const std::string& symptom) const {
    const ComplaintKind* known = find(symptom);
    if (known != nullptr) return *known;
    const std::string near = nearest_word(symptom, symptoms());
    throw InputError(fmt::format("nothing is known of the symptom \"{}\"{}", symptom,
                                 near.empty() ? "" : "; did you mean " + near + "?"));
}

std::vector<std::string> Knowledge::symptoms() const {
    std::vector<std::string> out;
    for (const ComplaintKind& kind : kinds) out.push_back(kind.symptom);
    return out;
}

Knowledge read_knowledge(const std::filesystem::path& models) {
    Knowledge out;
    const std::filesystem::path folder = models / "complaints";
    out.questions = read_questions(folder / "questions.toml");
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().extension() == ".toml" && entry.path().filename() != "questions.toml") {
            files.push_back(entry.path());
        }
    }
    std::ranges::sort(files);
    for (const auto& file : files) {
        out.kinds.push_back(read_complaint_kind(file, out.questions));
        for (CandidateCause& candidate : out.kinds.back().causes) {
            if (candidate.cause.empty()) continue;
            auto found = out.causes.find(candidate.cause);
            if (found == out.causes.end()) {
                const auto path = models / "causes" / (candidate.cause + ".toml");
                if (!std::filesystem::exists(path)) {
                    throw InputError(fmt::format("{}: it names the cause {}, but there is no {}",
                                                 file.string(), candidate.cause, path.string()));
                }
                found = out.causes.emplace(candidate.cause, read_cause(path)).first;
            }
            if (candidate.title.empty()) candidate.title = found->second.title;
            if (candidate.seat.empty()) candidate.seat = found->second.seat;
        }
    }
    return out;
}

ComplaintKind applicable(const ComplaintKind& kind, const std::map<std::string, Cause>& causes,
                         const Vehicle& vehicle, std::vector<std::string>& left_out) {
    ComplaintKind out = kind;
    out.causes.clear();
    for (const CandidateCause& candidate : kind.causes) {
        const auto cause = causes.find(candidate.cause);
        std::string lacks;
        if (!candidate.cause.empty() && cause != causes.end()) {
            for (const auto& [key, value] : cause->second.changes) {
                if (key.starts_with("two_mass_flywheel") && !vehicle.two_mass_flywheel) {
                    lacks = "two-mass flywheel";
                }
            }
        }
        const bool never = std::ranges::any_of(candidate.classes, [&](const auto& one) {
            return one.first == vehicle.vehicle_class && !(one.second > 0.0);
        });
        if (!lacks.empty()) {
            left_out.push_back(fmt::format("{}: this vehicle has no {}", candidate.title, lacks));
        } else if (never) {
            left_out.push_back(
                fmt::format("{}: not in a {}", candidate.title, vehicle.vehicle_class));
        } else {
            out.causes.push_back(candidate);
        }
    }
    return out;
}

}  // namespace damper
