// SPDX-License-Identifier: MIT
#include "tools/damper/exit_status.hpp"

#include "libdamper/base/error.hpp"

#include "tools/damper/ranks.hpp"
#include "tools/damper/terminal.hpp"

#include <fmt/format.h>
#include <new>
#include <string>

namespace damper::command {

int explain(const std::exception_ptr& error, std::string_view who) {
    const auto say = [who](const std::string& text) {
        print_error(fmt::format("{}: {}", who, text));
    };
    try {
        std::rethrow_exception(error);
    } catch (const InputError& bad) {
        if (is_later_rank()) {
            // The first rank got the same words and says it.
        } else if (bad.findings().empty()) {
            say(bad.what());
        } else {
            print_error(bad.what());  // begins with file:line:column
        }
        return to_int(ExitStatus::bad_input);
    } catch (const BusyError& busy) {
        say(busy.what());
        return to_int(ExitStatus::busy);
    } catch (const FileError& file) {
        say(file.what());
        return to_int(ExitStatus::file_system);
    } catch (const SolverError& solver) {
        const std::string where =
            solver.element().empty() ? "" : fmt::format(", at \"{}\"", solver.element());
        say(fmt::format("stopped at t = {:.6g} s{}: {}", solver.time(), where, solver.what()));
        return to_int(ExitStatus::not_finished);
    } catch (const std::bad_alloc&) {
        say("there is not enough memory; a shorter run or a coarser recording step takes less");
        return to_int(ExitStatus::not_finished);
    } catch (const std::exception& fault) {
        // ModelError and std::logic_error: no file can be blamed for these.
        say(fmt::format("{}\n    This is a fault of the program, not of your file.", fault.what()));
        return to_int(ExitStatus::not_finished);
    }
}

}  // namespace damper::command
