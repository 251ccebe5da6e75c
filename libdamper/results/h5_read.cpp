// SPDX-License-Identifier: MIT
#include "libdamper/results/h5_read.hpp"

#include "libdamper/results/h5_guard.hpp"

#include <array>

namespace damper {

namespace {

constexpr std::uint64_t most_memory = std::uint64_t{4} << 30;  // of one result [bytes]

void require_type(const H5Type& found, hid_t expected, const std::string& what) {
    if (H5Tequal(found.id(), expected) <= 0) throw H5Failure(what + ": has another type");
}

/// Number of rows; throws if there is not exactly one dimension.
std::size_t row_count(const H5Space& space, const std::string& what) {
    hsize_t rows = 0;
    if (H5Sget_simple_extent_ndims(space.id()) != 1 ||
        H5Sget_simple_extent_dims(space.id(), &rows, nullptr) != 1) {
        throw H5Failure(what + ": is not a column");
    }
    return rows;
}

H5Attribute open_single(hid_t object, const char* name, hid_t type) {
    const std::string what = std::string("attribute ") + name;
    if (H5Aexists(object, name) <= 0) throw H5Failure(what + ": is missing");
    H5Attribute attribute(H5Aopen(object, name, H5P_DEFAULT), what);
    require_type(H5Type(H5Aget_type(attribute.id()), what), type, what);
    const H5Space space(H5Aget_space(attribute.id()), what);
    if (H5Sget_simple_extent_type(space.id()) != H5S_SCALAR) {
        throw H5Failure(what + ": is not a single value");
    }
    return attribute;
}

template <class T>
T read_single(hid_t object, const char* name) {
    const H5Types types = h5_types_of(T{});
    const H5Attribute attribute = open_single(object, name, types.file);
    T value{};
    h5_check(H5Aread(attribute.id(), types.memory, &value), name);
    return value;
}

template <class T>
void read_rows(const H5Dataset& dataset, const std::string& name, ReadBudget& budget,
               std::vector<T>& values) {
    const H5Types types = h5_types_of(T{});
    require_type(H5Type(H5Dget_type(dataset.id()), name), types.file, name);
    const std::size_t rows = row_count(H5Space(H5Dget_space(dataset.id()), name), name);
    budget.take(rows * sizeof(T), name);
    values.resize(rows);
    h5_check(H5Dread(dataset.id(), types.memory, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()),
             name);
}

/// Text that the library allocated and that must be given back to it, but only after a read that
/// went well: a read that fails leaves bytes of the file in place of the pointers, and to give
/// those back would be a crash. What little was allocated until then is lost.
class LibraryText {
  public:
    LibraryText(std::size_t count, hid_t type, hid_t space)
        : pointers_(count, nullptr), type_(type), space_(space) {}
    LibraryText(const LibraryText&) = delete;
    LibraryText& operator=(const LibraryText&) = delete;
    ~LibraryText() {
        if (read_) (void)H5Dvlen_reclaim(type_, space_, H5P_DEFAULT, pointers_.data());
    }
    /// `read` fills the buffer and returns what the library returned. Throws H5Failure.
    template <class Read>
    void fill(const Read& read, const std::string& what) {
        h5_check(read(pointers_.data()), what);
        read_ = true;
    }
    /// The library gives an empty text as a null pointer.
    [[nodiscard]] std::string at(std::size_t i) const {
        return pointers_[i] == nullptr ? std::string() : std::string(pointers_[i]);
    }

  private:
    std::vector<char*> pointers_;
    hid_t type_;
    hid_t space_;
    bool read_ = false;
};

}  // namespace

void ReadBudget::take(std::uint64_t bytes, const std::string& what) {
    if (bytes > left) throw H5Failure(what + ": the file would take more memory than is allowed");
    left -= bytes;
}

std::string read_text(hid_t object, const char* name) {
    const H5Type type = h5_text_type();
    const H5Attribute attribute = open_single(object, name, type.id());
    const H5Space space(H5Aget_space(attribute.id()), name);
    LibraryText text(1, type.id(), space.id());
    text.fill([&](void* to) { return H5Aread(attribute.id(), type.id(), to); }, name);
    return text.at(0);
}

double read_number(hid_t object, const char* name) {
    return read_single<double>(object, name);
}

std::int64_t read_integer(hid_t object, const char* name) {
    return read_single<std::int64_t>(object, name);
}

GroupIn GroupIn::open_group(const std::string& name) const {
    return {H5Group(H5Gopen2(id(), name.c_str(), H5P_DEFAULT), "group " + name), *budget_};
}

H5Dataset GroupIn::open_dataset(const std::string& name) const {
    return {H5Dopen2(id(), name.c_str(), H5P_DEFAULT), "dataset " + name};
}

std::vector<std::string> GroupIn::names() const {
    H5G_info_t info{};
    h5_check(H5Gget_info(id(), &info), "names in a group");
    std::vector<std::string> found;
    for (hsize_t i = 0; i < info.nlinks; ++i) {
        const auto link_name = [&](char* to, std::size_t size) {
            const ssize_t length = H5Lget_name_by_idx(id(), ".", H5_INDEX_CRT_ORDER, H5_ITER_INC, i,
                                                      to, size, H5P_DEFAULT);
            h5_check(length, "names in a group");
            return static_cast<std::size_t>(length);
        };
        std::string name(link_name(nullptr, 0), '\0');
        (void)link_name(name.data(), name.size() + 1);
        found.push_back(std::move(name));
    }
    return found;
}

void GroupIn::read_column(const std::string& name, std::vector<double>& values) const {
    read_rows(open_dataset(name), name, *budget_, values);
}

void GroupIn::read_column(const std::string& name, std::vector<std::int32_t>& values) const {
    read_rows(open_dataset(name), name, *budget_, values);
}

void GroupIn::read_column(const std::string& name, std::vector<std::int64_t>& values) const {
    read_rows(open_dataset(name), name, *budget_, values);
}

void GroupIn::read_column(const std::string& name, std::vector<std::int8_t>& values) const {
    read_rows(open_dataset(name), name, *budget_, values);
}

void GroupIn::read_column(const std::string& name, std::vector<std::string>& values) const {
    const H5Dataset dataset = open_dataset(name);
    const H5Type type = h5_text_type();
    require_type(H5Type(H5Dget_type(dataset.id()), name), type.id(), name);
    const H5Space space(H5Dget_space(dataset.id()), name);
    const std::size_t rows = row_count(space, name);
    budget_->take(rows * (sizeof(char*) + sizeof(std::string)), name);
    if (rows == 0) {
        values.clear();
        return;
    }
    // Rows may share one stored text, so the sum can be far larger than the file.
    hsize_t bytes = 0;
    h5_check(H5Dvlen_get_buf_size(dataset.id(), type.id(), space.id(), &bytes), name);
    budget_->take(2 * bytes, name);
    LibraryText text(rows, type.id(), space.id());
    text.fill(
        [&](void* to) {
            return H5Dread(dataset.id(), type.id(), H5S_ALL, H5S_ALL, H5P_DEFAULT, to);
        },
        name);
    values.resize(rows);
    for (std::size_t i = 0; i < rows; ++i) values[i] = text.at(i);
}

std::vector<std::vector<double>> GroupIn::read_matrix(const std::string& name, std::size_t rows,
                                                      std::size_t columns) const {
    const H5Dataset dataset = open_dataset(name);
    require_type(H5Type(H5Dget_type(dataset.id()), name), H5T_IEEE_F64LE, name);
    const H5Space space(H5Dget_space(dataset.id()), name);
    std::array<hsize_t, 2> size{};
    if (H5Sget_simple_extent_ndims(space.id()) != 2 ||
        H5Sget_simple_extent_dims(space.id(), size.data(), nullptr) != 2 || size[0] != rows ||
        size[1] != columns) {
        throw H5Failure(name + ": has another size than its axes");
    }
    // Rows without columns take memory too, and there may be as many as an axis says.
    budget_->take(rows * (2 * columns * sizeof(double) + sizeof(std::vector<double>)), name);
    std::vector<double> flat(rows * columns);
    if (!flat.empty()) {
        h5_check(
            H5Dread(dataset.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, flat.data()),
            name);
    }
    std::vector<std::vector<double>> values(rows);
    for (std::size_t r = 0; r < rows; ++r) {
        values[r].assign(flat.begin() + static_cast<std::ptrdiff_t>(r * columns),
                         flat.begin() + static_cast<std::ptrdiff_t>((r + 1) * columns));
    }
    return values;
}

double GroupIn::read_scalar(const std::string& name) const {
    const H5Dataset dataset = open_dataset(name);
    require_type(H5Type(H5Dget_type(dataset.id()), name), H5T_IEEE_F64LE, name);
    const H5Space space(H5Dget_space(dataset.id()), name);
    if (H5Sget_simple_extent_type(space.id()) != H5S_SCALAR) {
        throw H5Failure(name + ": is not a single number");
    }
    double value = 0.0;
    h5_check(H5Dread(dataset.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, &value), name);
    return value;
}

H5Source::H5Source(std::span<const std::byte> image) : budget_{.left = most_memory} {
    const H5Properties access(H5Pcreate(H5P_FILE_ACCESS), "file in memory");
    constexpr std::size_t growth = std::size_t{1} << 16;
    h5_check(H5Pset_fapl_core(access.id(), growth, false), "file in memory");
    // The library copies the bytes at once; its interface merely lacks the const.
    void* bytes = const_cast<std::byte*>(image.data());  // NOLINT
    h5_check(H5Pset_file_image(access.id(), bytes, image.size()), "file in memory");
    file_ = H5File(H5Fopen("result", H5F_ACC_RDONLY, access.id()), "opening");
    guard_file(file_.id(), image.size());
}

GroupIn H5Source::root() {
    return {H5Group(H5Gopen2(file_.id(), "/", H5P_DEFAULT), "root group"), budget_};
}

}  // namespace damper
