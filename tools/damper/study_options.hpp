// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/compare_record.hpp"
#include "libdamper/scenario/study_file.hpp"
#include "libdamper/studies/study_variable.hpp"

#include "tools/damper/command_line.hpp"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace damper::command {

/// A study file beside the options of a command line, which come on top of it. Without a file it
/// holds nothing, and the options alone count.
class StudyOverlay {
  public:
    /// Looks for a study file among the words that name scenarios. If there is one, it is read, and
    /// the words become the other ones, or if there are none its own scenarios. Causes and changes
    /// of the file come before those of `description`. Throws InputError if the file is a study of
    /// another verb, or if there are several.
    StudyOverlay(const std::string& verb, Words& scenarios, DescriptionOptions& description);

    [[nodiscard]] const StudyFile& file() const { return file_; }
    [[nodiscard]] bool present() const { return !path_.empty(); }

    /// A single value of the file goes to an option that was not given.
    void fill(std::string& option, const CLI::App& app, const char* name, const char* key) const;
    /// A list of the file comes before what was given.
    static void put_before(Words& option, const std::vector<StudyWord>& words);

    /// Keys of the file, those of `texts` ("KEY=…") in the place of ones of the same name, read by
    /// `read(text, option)`; what it refuses in the file is told with its place.
    [[nodiscard]] std::vector<StudyVariable> variables(
        const Words& texts, const std::string& option,
        const std::function<StudyVariable(const std::string&, const std::string&)>& read) const;
    /// The same as texts, for keys whose range may be "usual": then the key alone.
    [[nodiscard]] Words free_keys(const Words& texts) const;
    /// Those of the file, and those of `texts`, which take the place of ones of the same name.
    [[nodiscard]] std::vector<CompareCondition> conditions(
        const Words& texts, const std::filesystem::path& models) const;
    [[nodiscard]] std::vector<CompareOption> discs(const std::filesystem::path& models) const;

    /// Does `work`; what is wrong with a change of [set] is told with its place in the file.
    int with_places(const std::function<int()>& work) const;

  private:
    /// A path beside the study file, or the word itself.
    [[nodiscard]] std::string beside(const std::string& word) const;

    StudyFile file_;
    std::filesystem::path path_;
    Words given_;  ///< --set of the command line: what is wrong there is not the file's.
};

}  // namespace damper::command
