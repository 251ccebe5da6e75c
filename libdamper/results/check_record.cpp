// SPDX-License-Identifier: MIT
#include "libdamper/results/check_record.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/results/layout.hpp"

#include <fmt/format.h>
#include <set>
#include <string>

namespace damper {

namespace {

void require(bool holds, const std::string& sentence) {
    if (!holds) throw ModelError(sentence);
}

/// Names become names of groups and datasets.
class Names {
  public:
    explicit Names(std::string what) : what_(std::move(what)) {}
    void add(const std::string& name) {
        require(!name.empty() && name != "." && name.find('/') == name.npos &&
                    name.find('\0') == name.npos,
                fmt::format("\"{}\" cannot be the name of a {}", name, what_));
        require(seen_.insert(name).second, fmt::format("there are two {}s \"{}\"", what_, name));
    }

  private:
    std::string what_;
    std::set<std::string> seen_;
};

void check_index(int index, std::size_t size, const std::string& what) {
    require(index >= 0 && static_cast<std::size_t>(index) < size,
            fmt::format("{} points to row {} of {}", what, index, size));
}

void check_signals(const SignalSet& set) {
    Names names("signal");
    names.add("time");
    for (const Signal& signal : set.signals) {
        names.add(signal.name);
        require(signal.values.size() == set.time.size(),
                fmt::format("signal \"{}\" has {} values at {} times", signal.name,
                            signal.values.size(), set.time.size()));
    }
}

void check_events(const EventTable& events) {
    for (const Impact& impact : events.impacts) {
        check_index(impact.element, events.elements.size(), "the element of an impact");
    }
    for (const ModeChange& change : events.changes) {
        check_index(change.element, events.elements.size(), "the element of a mode change");
        check_index(change.from, events.modes.size(), "the old mode of a mode change");
        check_index(change.to, events.modes.size(), "the new mode of a mode change");
    }
}

void check_model(const ModelTable& model) {
    for (const ModelTable::Element& element : model.elements) {
        for (const auto& [inertia, coefficient] : element.row) {
            check_index(inertia, model.inertias.size(), "element \"" + element.name + "\"");
        }
        for (const ModelTable::Part& part : element.parts) {
            for (const ModelTable::Mode& mode : part.modes) {
                for (const ModelTable::Guard& guard : mode.guards) {
                    check_index(guard.next, part.modes.size(), "a guard of \"" + part.name + "\"");
                }
            }
        }
    }
    for (const ModelTable::Input& input : model.inputs) {
        check_index(input.inertia, model.inertias.size(), "input \"" + input.name + "\"");
    }
}

void check_curves(const RunRecord& record) {
    Names spectra("spectrum of signal");
    for (const OrderSpectrum& spectrum : record.spectra) {
        spectra.add(spectrum.signal);
        require(spectrum.order.size() == spectrum.amplitude.size(),
                "spectrum of \"" + spectrum.signal + "\": orders and amplitudes differ in number");
    }
    for (const auto& column : layout::course_columns) {
        require((record.course.*column.member).size() == record.course.speed.size(),
                std::string("course: speeds and values of ") + column.name + " differ in number");
    }
    for (const auto& [name, loop] :
         {std::pair("disc", &record.disc_loop), std::pair("flywheel", &record.flywheel_loop)}) {
        require(loop->upward.size() == loop->twist.size() &&
                    loop->downward.size() == loop->twist.size(),
                std::string(name) + " loop: twists and torques differ in number");
    }
}

}  // namespace

void check_record(const RunRecord& record) {
    check_signals(record.signals);
    check_events(record.events);
    check_model(record.model);
    check_curves(record);
    Names measures("measure");
    for (const MeasureValue& measure : record.measures) measures.add(measure.name);
}

}  // namespace damper
