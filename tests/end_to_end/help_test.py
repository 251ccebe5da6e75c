# SPDX-License-Identifier: MIT
"""Help, man page and completion say the same, and the examples do what they show."""
import re
import shlex
import subprocess

from support import DAMPER, SOURCE, CommandTest, damper, environment

VERBS = ("run", "show", "loop", "fit", "modes", "response", "orbit", "recording", "cover", "heat",
         "compare", "tune", "vary", "scatter", "gather", "check", "diagnose", "match", "report",
         "export", "bench")


def options_of(verb):
    """Long options as the help of a verb shows them."""
    return set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", damper(verb, "--help").stdout.split("Example:")[0]))


class Help(CommandTest):
    def test_the_version_is_that_of_the_project(self):
        done = damper("--version")
        self.assert_status(done, 0)
        project = (SOURCE / "CMakeLists.txt").read_text()
        version = re.search(r"project\(damper VERSION ([\d.]+)", project)[1]
        self.assertEqual(done.stdout, f"damper {version}\n")

    def test_the_help_names_every_verb(self):
        done = damper("--help")
        self.assert_status(done, 0)
        listed = re.findall(r"^  ([a-z]+) {2,}[A-Z]", done.stdout, re.M)
        self.assertEqual(tuple(listed), VERBS)

    def test_every_example_of_the_help_runs(self):
        """In the order of the verbs: the page needs the result of the run before it."""
        seen = 0
        texts = [damper("--help").stdout] + [damper(v, "--help").stdout for v in VERBS]
        for text in texts:
            self.assertIn("\nExample:\n", text)
            for line in text.split("\nExample:\n")[1].splitlines():
                if not line.strip():
                    continue
                words = shlex.split(line)
                self.assertEqual(words[0], "damper")
                done = damper(*words[1:], cwd=self.folder)
                if words[1] == "bench" and "emscripten was missing" in done.stderr:
                    seen += 1  # built without the page, which it told
                    continue
                self.assertIn(done.returncode, (0, 1), f"{line}\n{done.stderr}")
                self.assertNotEqual(done.stdout, "")
                seen += 1
        self.assertGreaterEqual(seen, 1 + len(VERBS))
        self.assertTrue((self.folder / "damper_out/car_idle_hot.h5").is_file())
        self.assertTrue((self.folder / "car_idle_hot.html").is_file())

    def test_the_man_page_names_every_verb_and_option(self):
        page = (SOURCE / "tools/damper/damper.1").read_text().replace("\\-", "-")
        for verb in VERBS:
            self.assertRegex(page, rf"(?m)^\.B damper {verb}$")
            self.assertRegex(page, rf"(?m)^\.B {verb}$")
            for option in options_of(verb):
                self.assertIn(option, page, f"{verb} {option}")

    def test_the_man_page_has_no_warnings(self):
        done = subprocess.run(["man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z",
                               str(SOURCE / "tools/damper/damper.1")],
                              capture_output=True, text=True, env=environment(MANWIDTH="80"))
        self.assertEqual((done.returncode, done.stderr), (0, ""))

    def complete(self, *words):
        """What bash offers for the last word."""
        line = " ".join(shlex.quote(w) for w in words)
        script = (f"source {shlex.quote(str(SOURCE / 'tools/damper/damper.bash'))}; "
                  f"COMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; _damper; "
                  'printf "%s\\n" "${COMPREPLY[@]}"')
        done = subprocess.run(["bash", "-c", script], capture_output=True, text=True,
                              cwd=self.folder, check=True)
        self.assertEqual(done.stderr, "")
        return {word for word in done.stdout.split("\n") if word}

    def test_the_completion_offers_every_verb_and_option(self):
        self.assertEqual(self.complete("damper", ""), set(VERBS) | {"--help", "--version"})
        for verb in VERBS:
            self.assertEqual(self.complete("damper", verb, "--"), options_of(verb), verb)

    def test_the_completion_offers_values_and_files(self):
        self.assertEqual(self.complete("damper", "loop", "--format", ""), {"text", "json", "csv"})
        self.assertEqual(self.complete("damper", "run", "--solver", "g"), {"general"})
        (self.folder / "a.toml").touch()
        (self.folder / "a.h5").touch()
        self.assertEqual(self.complete("damper", "run", "a"), {"a.toml"})
        self.assertEqual(self.complete("damper", "report", "a"), {"a.h5"})

    def test_help_goes_to_standard_output_and_ends_with_an_example(self):
        for verb in VERBS:
            done = damper(verb, "--help")
            self.assert_status(done, 0)
            self.assertRegex(done.stdout, r"Example:\n(  damper .*\n)+\s*$")
            self.assertEqual(damper(verb, "-h").stdout, done.stdout)

    def test_the_command_runs_without_a_home_or_a_locale(self):
        done = subprocess.run([DAMPER, "--version"], env={}, capture_output=True)
        self.assertEqual(done.returncode, 0)
