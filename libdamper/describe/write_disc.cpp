// SPDX-License-Identifier: MIT
#include "libdamper/describe/write_disc.hpp"

#include "libdamper/describe/schema.hpp"
#include "libdamper/describe/toml_text.hpp"
#include "libdamper/parts/disc_fields.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

std::string one_line(std::string text) {
    for (char& c : text) {
        if (static_cast<unsigned char>(c) < 0x20U || c == 0x7F) c = ' ';
    }
    return text;
}

template <class Part>
void write_values(const Part& part, const std::string& path,
                  const std::map<std::string, std::string>& comments, std::string& out) {
    for_each_field<Part>([&]<class Owner, class Value>(const Field<Owner, Value>& one) {
        if constexpr (!is_list<Value>) {
            const Value& value = part.*one.member;
            std::string text;
            if constexpr (is_text<Value>) {
                text = toml_text(value);
            } else if constexpr (is_quantity<Value>) {
                text = write_quantity(value);
                // Plain numbers stand without quotation marks.
                if (Value::dimension != Dimension{}) text = toml_text(text);
            } else {
                text = fmt::format("{}", value);
            }
            out += fmt::format("{} = {}", one.key, text);
            const auto comment = comments.find(path + std::string(one.key));
            if (comment != comments.end()) out += "  # " + one_line(comment->second);
            out += '\n';
        }
    });
}

}  // namespace

std::string disc_toml(const Disc& disc, const std::map<std::string, std::string>& comments,
                      const std::vector<std::string>& remarks) {
    std::string out;
    for (const std::string& remark : remarks) out += "# " + one_line(remark) + "\n";
    if (!remarks.empty()) out += '\n';
    write_values(disc, "", comments, out);
    for (std::size_t s = 0; s < disc.stages.size(); ++s) {
        out += "\n[[stages]]\n";
        write_values(disc.stages[s], fmt::format("stages[{}].", s), comments, out);
    }
    return out;
}

}  // namespace damper
