// SPDX-License-Identifier: MIT
#include "tools/damper/ranks.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fmt/format.h>
#include <initializer_list>

#ifdef DAMPER_MPI
#include <mpi.h>
#endif

namespace damper::command {

namespace {

/// The first of these that the environment has, as a number.
int from_environment(std::initializer_list<const char*> names, int otherwise) {
    for (const char* name : names) {
        if (const char* text = std::getenv(name)) return std::atoi(text);
    }
    return otherwise;
}

/// How many processes mpirun says it has started, by what common launchers leave behind.
int started_together() {
    return from_environment({"OMPI_COMM_WORLD_SIZE", "PMI_SIZE"}, 1);
}

#ifdef DAMPER_MPI
constexpr int tag_ask = 1, tag_few = 2, tag_leave = 3;
#endif

}  // namespace

bool is_later_rank() {
    return started_together() > 1 && from_environment({"OMPI_COMM_WORLD_RANK", "PMI_RANK"}, 0) > 0;
}

Ranks& Ranks::all() {
    static Ranks one;
    return one;
}

#ifdef DAMPER_MPI

Ranks::Ranks() {
    if (started_together() < 2) return;
    // Calls come from one thread at a time, though not always from the same one.
    int given = MPI_THREAD_SINGLE;
    MPI_Init_thread(nullptr, nullptr, MPI_THREAD_SERIALIZED, &given);
    MPI_Comm_rank(MPI_COMM_WORLD, &rank_);
    MPI_Comm_size(MPI_COMM_WORLD, &count_);
    if (given < MPI_THREAD_SERIALIZED) {
        throw InputError("this MPI does not allow calls from threads; use --shard I/N instead");
    }
}

Ranks::~Ranks() {
    if (count_ > 1) MPI_Finalize();
}

bool Ranks::as_first_says(bool said) const {
    int word = said ? 1 : 0;
    if (count_ > 1) MPI_Bcast(&word, 1, MPI_INT, 0, MPI_COMM_WORLD);
    return word != 0;
}

bool Ranks::all_say(bool said) const {
    int word = said ? 1 : 0;
    if (count_ > 1) MPI_Allreduce(MPI_IN_PLACE, &word, 1, MPI_INT, MPI_MIN, MPI_COMM_WORLD);
    return word != 0;
}

void Handout::serve() {
    constexpr auto pause = std::chrono::microseconds(200);  // waiting must not take a core
    for (int there = Ranks::all().count() - 1; there > 0;) {
        int waits = 0;
        MPI_Status status;
        MPI_Iprobe(MPI_ANY_SOURCE, MPI_ANY_TAG, MPI_COMM_WORLD, &waits, &status);
        if (waits == 0) {
            std::this_thread::sleep_for(pause);
            continue;
        }
        std::uint64_t threads = 0;
        MPI_Recv(&threads, 1, MPI_UINT64_T, status.MPI_SOURCE, status.MPI_TAG, MPI_COMM_WORLD,
                 MPI_STATUS_IGNORE);
        if (status.MPI_TAG == tag_leave) {
            --there;
            continue;
        }
        const std::vector<std::uint64_t> given = few(threads);
        MPI_Send(given.data(), static_cast<int>(given.size()), MPI_UINT64_T, status.MPI_SOURCE,
                 tag_few, MPI_COMM_WORLD);
    }
}

#else

Ranks::Ranks() {
    if (started_together() > 1) {
        throw InputError(
            "mpirun has started several of this program, which was built without MPI: build it "
            "with cmake -DDAMPER_MPI=ON, or give each its part with --shard I/N");
    }
}

Ranks::~Ranks() = default;
bool Ranks::as_first_says(bool said) const {
    return said;
}
bool Ranks::all_say(bool said) const {
    return said;
}
void Handout::serve() {}

#endif

Handout::Handout(std::vector<std::uint64_t> pending, std::size_t threads,
                 std::function<bool()> stop)
    : pending_(std::move(pending)), stop_(std::move(stop)), threads_(threads) {
    const Ranks& ranks = Ranks::all();
    if (ranks.is_first() && ranks.count() > 1) server_ = std::thread([this] { serve(); });
}

Handout::~Handout() {
    if (server_.joinable()) server_.join();
#ifdef DAMPER_MPI
    const std::uint64_t none = 0;
    if (!Ranks::all().is_first()) MPI_Send(&none, 1, MPI_UINT64_T, 0, tag_leave, MPI_COMM_WORLD);
#endif
}

std::vector<std::uint64_t> Handout::few(std::size_t at_least) {
    constexpr std::size_t most = 256;
    const std::lock_guard lock(guard_);
    const std::size_t at = at_.load();
    if (stop_ && stop_()) return {};
    const std::size_t left = pending_.size() - at;
    const auto ranks = static_cast<std::size_t>(Ranks::all().count());
    const std::size_t count = std::min({left, most, std::max(at_least, left / (8 * ranks))});
    at_ = at + count;
    const auto from = pending_.begin() + static_cast<std::ptrdiff_t>(at);
    return {from, from + static_cast<std::ptrdiff_t>(count)};
}

std::optional<std::uint64_t> Handout::next() {
    if (stop_ && stop_()) return {};
    if (Ranks::all().is_first()) {
        const std::lock_guard lock(guard_);
        const std::size_t at = at_.load();
        if (at == pending_.size()) return {};
        at_ = at + 1;
        return pending_[at];
    }
#ifdef DAMPER_MPI
    const std::lock_guard lock(guard_);
    if (mine_.empty() && !over_) {
        const std::uint64_t threads = threads_;
        MPI_Send(&threads, 1, MPI_UINT64_T, 0, tag_ask, MPI_COMM_WORLD);
        MPI_Status status;
        int count = 0;
        MPI_Probe(0, tag_few, MPI_COMM_WORLD, &status);
        MPI_Get_count(&status, MPI_UINT64_T, &count);
        mine_.resize(static_cast<std::size_t>(count));
        MPI_Recv(mine_.data(), count, MPI_UINT64_T, 0, tag_few, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
        std::ranges::reverse(mine_);  // the lowest comes out first
        over_ = mine_.empty();
    }
    if (!mine_.empty()) {
        const std::uint64_t variant = mine_.back();
        mine_.pop_back();
        return variant;
    }
#endif
    return {};
}

}  // namespace damper::command
