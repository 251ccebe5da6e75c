// SPDX-License-Identifier: MIT
#include "tools/damper/stop_signal.hpp"

#include <csignal>
#include <fcntl.h>
#include <initializer_list>
#include <unistd.h>

namespace damper::command {

namespace {

// A signal handler can reach nothing but a variable of static life.
volatile std::sig_atomic_t noted = 0;  // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)

}  // namespace

extern "C" {
static void note_signal(int number) {
    if (noted != 0) _exit(128 + number);
    noted = number;
}
}

void watch_stop_signals() {
    struct sigaction action {};
    action.sa_handler = note_signal;
    sigemptyset(&action.sa_mask);
    action.sa_flags = SA_RESTART;  // a write in progress goes on; the solver asks for the flag
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) sigaction(number, &action, nullptr);
    // A reader that went away and a file that grew too large are errors of a write, told as such.
    action.sa_handler = SIG_IGN;
    for (const int number : {SIGPIPE, SIGXFSZ}) sigaction(number, &action, nullptr);
}

void keep_standard_streams() {
    for (int stream = 0; stream <= 2; ++stream) {
        if (fcntl(stream, F_GETFD) != -1) continue;
        // Opened the wrong way round on purpose: using it is an error, as it was when closed.
        if (open("/dev/null", stream == 0 ? O_WRONLY : O_RDONLY) == -1) return;
    }
}

int stop_signal() {
    return noted;
}

}  // namespace damper::command
