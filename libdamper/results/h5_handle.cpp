// SPDX-License-Identifier: MIT
#include "libdamper/results/h5_handle.hpp"

namespace damper {

namespace {

extern "C" herr_t keep_first(unsigned depth, const H5E_error2_t* error, void* text) {
    if (depth == 0 && error->desc != nullptr) *static_cast<std::string*>(text) = error->desc;
    return 0;
}

/// What went wrong at the bottom, in the words of the library.
std::string innermost_error() {
    std::string text;
    (void)H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, keep_first, &text);
    return text.empty() ? std::string("no reason given") : text;
}

}  // namespace

void h5_check(long long result, const std::string& action) {
    if (result < 0) throw H5Failure(action + ": " + innermost_error());
}

H5Quiet::H5Quiet() {
    (void)H5open();
    (void)H5Eget_auto2(H5E_DEFAULT, &print_, &context_);
    (void)H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
    (void)H5PLset_loading_state(0);
}

H5Quiet::~H5Quiet() {
    (void)H5Eset_auto2(H5E_DEFAULT, print_, context_);
}

H5Type h5_text_type() {
    H5Type type(H5Tcopy(H5T_C_S1), "text type");
    h5_check(H5Tset_size(type.id(), H5T_VARIABLE), "text type");
    h5_check(H5Tset_cset(type.id(), H5T_CSET_UTF8), "text type");
    return type;
}

}  // namespace damper
