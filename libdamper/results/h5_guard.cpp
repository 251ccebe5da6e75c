// SPDX-License-Identifier: MIT
#include "libdamper/results/h5_guard.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <string>
#include <vector>

namespace damper {

namespace {

constexpr int deepest = 4;  // ours are three levels deep
constexpr std::size_t most_objects = 100'000;
constexpr hsize_t most_chunk_rows = 1 << 20;
// Deflate reaches at most 1032:1 (RFC 1951: 258 bytes from 2 bits); a little is added for headers.
constexpr std::uint64_t most_inflation = 1100;

struct Walk {
    std::uint64_t file_size = 0;
    std::size_t objects = 0;
};

extern "C" herr_t collect_name(hid_t, const char* name, const H5L_info_t* info, void* names) {
    // An exception must not pass through the library; out of memory ends the walk instead.
    try {
        if (info->type != H5L_TYPE_HARD) return -1;
        static_cast<std::vector<std::string>*>(names)->emplace_back(name);
    } catch (...) {
        return -1;
    }
    return 0;
}

void guard_filters(hid_t how, const std::string& path) {
    constexpr std::array known{H5Z_FILTER_DEFLATE, H5Z_FILTER_SHUFFLE, H5Z_FILTER_FLETCHER32};
    const int count = H5Pget_nfilters(how);
    h5_check(count, path);
    for (int i = 0; i < count; ++i) {
        unsigned flags = 0;
        std::size_t values = 0;
        const H5Z_filter_t filter = H5Pget_filter2(how, static_cast<unsigned>(i), &flags, &values,
                                                   nullptr, 0, nullptr, nullptr);
        if (std::find(known.begin(), known.end(), filter) == known.end()) {
            throw H5Failure(path + ": is packed by a filter that results do not use");
        }
    }
}

void guard_size(const H5Dataset& dataset, hid_t how, std::uint64_t file_size,
                const std::string& path) {
    const H5Space space(H5Dget_space(dataset.id()), path);
    const H5Type type(H5Dget_type(dataset.id()), path);
    const hssize_t points = H5Sget_simple_extent_npoints(space.id());
    h5_check(points, path);
    const std::uint64_t each = H5Tget_size(type.id());
    if (each == 0 || static_cast<std::uint64_t>(points) >
                         std::numeric_limits<std::uint64_t>::max() / (2 * each)) {
        throw H5Failure(path + ": is larger than any file");
    }
    const std::uint64_t bytes = static_cast<std::uint64_t>(points) * each;
    const std::uint64_t stored = H5Dget_storage_size(dataset.id());
    const bool chunked = H5Pget_layout(how) == H5D_CHUNKED;
    if (stored > file_size || bytes > stored * (chunked ? most_inflation : 1)) {
        throw H5Failure(path + ": claims more data than the file holds");
    }
    if (!chunked) return;
    std::array<hsize_t, 1> chunk{};
    if (H5Pget_chunk(how, 1, chunk.data()) != 1 || chunk[0] > most_chunk_rows) {
        throw H5Failure(path + ": is cut into pieces that results do not use");
    }
}

void guard_dataset(const H5Dataset& dataset, std::uint64_t file_size, const std::string& path) {
    const H5Properties how(H5Dget_create_plist(dataset.id()), path);
    const H5D_layout_t layout = H5Pget_layout(how.id());
    if (layout == H5D_VIRTUAL) {
        throw H5Failure(path + ": takes its data from other datasets, which is not followed");
    }
    h5_check(layout, path);
    if (H5Pget_external_count(how.id()) != 0) {
        throw H5Failure(path + ": takes its data from another file, which is not followed");
    }
    guard_filters(how.id(), path);
    guard_size(dataset, how.id(), file_size, path);
}

void guard_group(hid_t group, Walk& walk, int depth, const std::string& path) {
    if (depth > deepest) throw H5Failure(path + ": groups are nested too deep");
    std::vector<std::string> names;
    hsize_t at = 0;
    if (H5Literate(group, H5_INDEX_NAME, H5_ITER_NATIVE, &at, collect_name, &names) < 0) {
        throw H5Failure(path + ": holds a link to elsewhere, or is damaged");
    }
    walk.objects += names.size();
    if (walk.objects > most_objects) throw H5Failure("holds too many objects");
    for (const std::string& name : names) {
        const std::string below = path + name;
        H5O_info_t info{};
        h5_check(H5Oget_info_by_name2(group, name.c_str(), &info, H5O_INFO_BASIC, H5P_DEFAULT),
                 below);
        if (info.type == H5O_TYPE_GROUP) {
            const H5Group child(H5Gopen2(group, name.c_str(), H5P_DEFAULT), below);
            guard_group(child.id(), walk, depth + 1, below + "/");
        } else if (info.type == H5O_TYPE_DATASET) {
            const H5Dataset child(H5Dopen2(group, name.c_str(), H5P_DEFAULT), below);
            guard_dataset(child, walk.file_size, below);
        } else {
            throw H5Failure(below + ": is neither a group nor a dataset");
        }
    }
}

}  // namespace

void guard_file(hid_t file, std::uint64_t file_size) {
    const H5Group root(H5Gopen2(file, "/", H5P_DEFAULT), "root group");
    Walk walk{.file_size = file_size};
    guard_group(root.id(), walk, 0, "/");
}

}  // namespace damper
