// SPDX-License-Identifier: MIT
#include "tools/damper/terminal.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fmt/format.h>
#include <unistd.h>
#include <utility>

namespace damper::command {

namespace {

constexpr auto redraw_after = std::chrono::milliseconds(100);

}  // namespace

std::string printable(std::string_view text) {
    std::string out;
    for (std::size_t start = 0; start <= text.size();) {
        const std::size_t end = std::min(text.find('\n', start), text.size());
        if (start > 0) out += '\n';
        out += visible_text(text.substr(start, end - start));
        start = end + 1;
    }
    return out;
}

void print_error(std::string_view text) {
    const std::string line = printable(text) + "\n";
    std::fwrite(line.data(), 1, line.size(), stderr);
}

void print_result(std::string_view text) {
    const std::size_t written = std::fwrite(text.data(), 1, text.size(), stdout);
    if (written != text.size() || std::fflush(stdout) != 0) {
        throw FileError(fmt::format("cannot write to standard output: {}", std::strerror(errno)));
    }
}

ProgressLine::ProgressLine(std::string label, bool wanted)
    : label_(std::move(label)), active_(wanted && isatty(STDERR_FILENO) == 1) {}

ProgressLine::~ProgressLine() {
    clear();
}

void ProgressLine::show(double share) {
    show(share, "");
}

void ProgressLine::show(double share, const std::string& note) {
    if (!active_) return;
    const auto now = std::chrono::steady_clock::now();
    if (drawn_ && now - last_ < redraw_after) return;
    last_ = now;
    drawn_ = true;
    fmt::print(stderr, "\r\x1b[K{}: {:.0f} %{}{}", printable(label_), 100.0 * share,
               note.empty() ? "" : ", ", note);
    std::fflush(stderr);
}

void ProgressLine::clear() {
    if (!drawn_) return;
    drawn_ = false;
    std::fputs("\r\x1b[K", stderr);
    std::fflush(stderr);
}

}  // namespace damper::command
