// SPDX-License-Identifier: MIT
#include "libdamper/results/study_shard.hpp"

#include "libdamper/base/crc32.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_reason.hpp"

#include <bit>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <fmt/format.h>
#include <fstream>
#include <optional>
#include <span>
#include <sys/stat.h>
#include <type_traits>
#include <unistd.h>

namespace damper {

namespace {

static_assert(std::endian::native == std::endian::little, "shards are little-endian");

const std::string magic = "damper shard 1\n";
constexpr std::uint32_t longest_frame = 1U << 22U;  // [bytes]
constexpr std::size_t longest_why = 400;            // [bytes]
constexpr auto sync_every = std::chrono::seconds(5);

template <class T>
void put(std::string& out, T value) {
    static_assert(std::is_trivially_copyable_v<T>);
    char bytes[sizeof value];
    std::memcpy(bytes, &value, sizeof value);
    out.append(bytes, sizeof value);
}

std::string framed(const std::string& payload) {
    std::string frame;
    put(frame, static_cast<std::uint32_t>(payload.size()));
    put(frame, crc32(std::as_bytes(std::span(payload))));
    return frame + payload;
}

std::string payload_of(const VariantResult& result) {
    std::string out;
    put(out, result.variant);
    put(out, static_cast<std::uint8_t>(result.ended));
    put(out, static_cast<std::uint16_t>(result.values.size()));
    put(out, static_cast<std::uint16_t>(result.measures.size()));
    put(out, static_cast<std::uint16_t>(result.grades.size()));
    for (const double value : result.values) put(out, value);
    for (const auto& [number, value] : result.measures) {
        put(out, number);
        put(out, value);
    }
    for (const auto& [number, grade] : result.grades) {
        put(out, number);
        put(out, grade);
    }
    return out + result.why.substr(0, longest_why);
}

/// Takes values off the front; false once there are too few bytes.
class Bytes {
  public:
    explicit Bytes(const std::string& text) : text_(text) {}
    template <class T>
    bool take(T& value) {
        if (text_.size() - at_ < sizeof value) return false;
        std::memcpy(&value, text_.data() + at_, sizeof value);
        at_ += sizeof value;
        return true;
    }
    [[nodiscard]] std::string rest() const { return text_.substr(at_); }

  private:
    const std::string& text_;
    std::size_t at_ = 0;
};

std::optional<VariantResult> result_of(const std::string& payload, const StudyHead& head) {
    VariantResult out;
    Bytes bytes(payload);
    std::uint8_t ended = 0;
    std::uint16_t values = 0, measures = 0, grades = 0;
    if (!bytes.take(out.variant) || !bytes.take(ended) || !bytes.take(values) ||
        !bytes.take(measures) || !bytes.take(grades) || ended > 2 || values != head.keys.size() ||
        out.variant >= static_cast<std::uint64_t>(head.total)) {
        return {};
    }
    out.ended = static_cast<VariantResult::Ended>(ended);
    out.values.resize(values);
    for (double& value : out.values) {
        if (!bytes.take(value)) return {};
    }
    out.measures.resize(measures);
    for (auto& [number, value] : out.measures) {
        if (!bytes.take(number) || !bytes.take(value) || number >= head.measures.size()) return {};
    }
    out.grades.resize(grades);
    for (auto& [number, grade] : out.grades) {
        if (!bytes.take(number) || !bytes.take(grade) || number >= head.measures.size()) return {};
    }
    out.why = bytes.rest();
    return out;
}

/// The payload of the next frame; nothing at the end and where a frame is torn or damaged.
std::optional<std::string> next_frame(std::ifstream& in) {
    std::uint32_t length = 0, sum = 0;
    if (!in.read(reinterpret_cast<char*>(&length), sizeof length)) return {};
    if (!in.read(reinterpret_cast<char*>(&sum), sizeof sum)) return {};
    if (length > longest_frame) return {};
    std::string payload(length, '\0');
    if (!in.read(payload.data(), length)) return {};
    if (crc32(std::as_bytes(std::span(payload))) != sum) return {};
    return payload;
}

std::int64_t size_of(const std::filesystem::path& path) {
    std::error_code error;
    const auto size = std::filesystem::file_size(path, error);
    if (error) throw_file_error(path, "cannot be read", error.value());
    return static_cast<std::int64_t>(size);
}

}  // namespace

bool hardly_begun(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    constexpr std::size_t frame_head = 8;
    std::string there(magic.size() + frame_head, '\0');
    in.read(there.data(), static_cast<std::streamsize>(there.size()));
    const auto got = static_cast<std::size_t>(in.gcount());
    if (got < magic.size()) return magic.starts_with(there.substr(0, got));
    if (!there.starts_with(magic)) return false;
    if (got < there.size()) return true;
    std::uint32_t length = 0;
    std::memcpy(&length, there.data() + magic.size(), sizeof length);
    return size_of(path) < static_cast<std::int64_t>(there.size() + length);
}

ShardRead read_shard(const std::filesystem::path& path,
                     const std::function<void(VariantResult&&)>& visit) {
    std::ifstream in(path, std::ios::binary);
    if (!in) throw_file_error(path, "cannot be read", errno);
    std::string start(magic.size(), '\0');
    if (!in.read(start.data(), static_cast<std::streamsize>(start.size())) || start != magic) {
        throw InputError(path.string() + ": is not a shard of a study");
    }
    const auto text = next_frame(in);
    if (!text) throw InputError(path.string() + ": the head of the shard is damaged");
    ShardRead out;
    try {
        out.head = head_of(*text);
    } catch (const InputError& wrong) {
        throw InputError(fmt::format("{}: {}", path.string(), wrong.what()));
    }
    constexpr std::size_t frame_head = 8;
    out.whole = static_cast<std::int64_t>(magic.size() + frame_head + text->size());
    while (const auto payload = next_frame(in)) {
        auto result = result_of(*payload, out.head);
        if (!result) break;
        out.whole += static_cast<std::int64_t>(frame_head + payload->size());
        ++out.variants;
        if (visit) visit(std::move(*result));
    }
    if (in.bad()) throw_file_error(path, "cannot be read", EIO);
    out.torn = size_of(path) - out.whole;
    return out;
}

ShardWriter::ShardWriter(std::filesystem::path path, const StudyHead& head)
    : path_(std::move(path)), synced_(std::chrono::steady_clock::now()) {
    lock_ = std::make_unique<FileLock>(path_.string() + ".lock", path_);
    const std::string start = magic + framed(head_text(head));
    file_ = FileDescriptor(::open(path_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666));
    if (!file_.is_open()) throw_file_error(path_, "cannot be written", errno);
    struct stat status {};
    if (::fstat(file_.number(), &status) != 0) throw_file_error(path_, "cannot be read", errno);
    if (!S_ISREG(status.st_mode)) throw FileError(path_.string() + ": is not a regular file");
    const bool fresh = hardly_begun(path_);
    if (!fresh) {
        const ShardRead there = read_shard(path_, {});
        const std::string other = difference_of(there.head, head);
        if (!other.empty()) {
            throw InputError(fmt::format(
                "{}: holds another study ({})\n    Choose another folder with --out, or remove the "
                "file if its results are no longer wanted.",
                path_.string(), other));
        }
        whole_ = there.whole;
    }
    if (::ftruncate(file_.number(), whole_) != 0 || ::lseek(file_.number(), whole_, SEEK_SET) < 0) {
        throw_file_error(path_, "cannot be written", errno);
    }
    if (fresh) write_frame(start);
}

ShardWriter::~ShardWriter() = default;

void ShardWriter::write_frame(const std::string& frame) {
    std::size_t at = 0;
    while (at < frame.size()) {
        const ssize_t written = ::write(file_.number(), frame.data() + at, frame.size() - at);
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) {
            const int reason = errno;
            // Half a frame would be cut off by the next run as well; a gathering need not see it.
            (void)!::ftruncate(file_.number(), whole_);
            (void)::lseek(file_.number(), whole_, SEEK_SET);
            throw_file_error(path_, "cannot be written", reason);
        }
        at += static_cast<std::size_t>(written);
    }
    whole_ += static_cast<std::int64_t>(frame.size());
}

void ShardWriter::append(const VariantResult& result) {
    write_frame(framed(payload_of(result)));
    if (std::chrono::steady_clock::now() - synced_ > sync_every) finish();
}

void ShardWriter::finish() {
    if (::fsync(file_.number()) != 0 && errno != EINVAL && errno != ENOTSUP) {
        throw_file_error(path_, "cannot be brought to the disk", errno);
    }
    synced_ = std::chrono::steady_clock::now();
}

}  // namespace damper
