// SPDX-License-Identifier: MIT
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

namespace damper::command {

/// The processes of one command, started together by mpirun; one alone otherwise. MPI is begun only
/// where mpirun has left its marks in the environment, so that it costs others nothing.
class Ranks {
  public:
    /// The one of this process. Ends MPI with the program. Where the program was built without MPI
    /// but mpirun started several, InputError.
    static Ranks& all();
    ~Ranks();
    Ranks(const Ranks&) = delete;
    Ranks& operator=(const Ranks&) = delete;

    [[nodiscard]] int rank() const { return rank_; }
    [[nodiscard]] int count() const { return count_; }
    [[nodiscard]] bool is_first() const { return rank_ == 0; }

    /// What rank 0 says, on every rank. All must call it.
    [[nodiscard]] bool as_first_says(bool said) const;
    /// Whether every rank says so; returns when all have said. All must call it.
    [[nodiscard]] bool all_say(bool said) const;

  private:
    Ranks();
    int rank_ = 0;
    int count_ = 1;
};

/// Whether mpirun started this process as another than the first: it leaves to the first one to say
/// what is wrong with the words that all of them got. Needs no MPI.
[[nodiscard]] bool is_later_rank();

/// Hands variants out among ranks as they get done: rank 0 holds the list, the others ask it for a
/// few whenever they have none left. The few become fewer towards the end, so that no rank waits
/// long for the last. What a variant gives does not depend on who runs it.
class Handout {
  public:
    /// `pending` counts on rank 0 only. `threads` of this rank will call `next`. `stop` ends the
    /// handing out, on rank 0 for all.
    Handout(std::vector<std::uint64_t> pending, std::size_t threads, std::function<bool()> stop);
    /// Waits on rank 0 until every other rank has left.
    ~Handout();
    Handout(const Handout&) = delete;
    Handout& operator=(const Handout&) = delete;

    /// The next variant for this rank; nothing when there are no more. From several threads.
    [[nodiscard]] std::optional<std::uint64_t> next();
    /// Of rank 0: how many are handed out.
    [[nodiscard]] std::size_t handed_out() const { return at_.load(); }

  private:
    std::vector<std::uint64_t> few(std::size_t at_least);
    void serve();

    std::vector<std::uint64_t> pending_;
    std::function<bool()> stop_;
    std::size_t threads_;
    std::atomic<std::size_t> at_ = 0;
    std::mutex guard_;
    std::vector<std::uint64_t> mine_;
    bool over_ = false;
    std::thread server_;
};

}  // namespace damper::command
