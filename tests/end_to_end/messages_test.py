# SPDX-License-Identifier: MIT
"""Every bad description of tests/faults/messages through the command: status 2, what is wrong and
where on stderr, nothing on stdout, nothing left behind."""
import os
import time

from support import SOURCE, CommandTest, damper

CASES = SOURCE / "tests/faults/messages"
MODELS = SOURCE / "tests/describe/samples/models"
SLOWEST = 5.0  # seconds; a bad file is refused, not worked on


def cases():
    for path in sorted(CASES.iterdir()):
        if (path / "scenario.toml").exists():
            yield path / "scenario.toml"
        elif path.suffix == ".toml":
            yield path


def demands(scenario):
    """What the case says must be said: list of (word, text)."""
    beside = scenario.with_name("expect.txt")
    source = beside if beside.exists() else scenario
    found = []
    for line in source.read_text(encoding="utf-8", errors="replace").splitlines():
        word, colon, text = line.lstrip("# ").partition(": ")
        if word not in ("expect", "key", "file", "line") or not colon:
            break
        found.append((word, text.strip()))
    return found


class Messages(CommandTest):
    def refused(self, scenario):
        out = self.folder / "out"
        began = time.monotonic()
        done = damper("run", scenario, "--models", MODELS, "--out", out)
        self.assertLess(time.monotonic() - began, SLOWEST)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        self.assertFalse(out.exists(), "a folder was made for a scenario that cannot be run")
        self.assertNotIn("\x1b", done.stderr)
        return done.stderr

    def test_every_bad_description_is_refused_as_it_says_itself(self):
        seen = 0
        for scenario in cases():
            name = scenario.relative_to(CASES)
            with self.subTest(case=str(name)):
                text = self.refused(scenario)
                said = demands(scenario)
                self.assertTrue(said, "the case does not say what is expected")
                if any("speed_fluctuation" in t for _, t in said):
                    continue  # the measure is known to the reader's own tests only
                where = {word: t for word, t in said}
                for word, wanted in said:
                    if word in ("expect", "key"):
                        self.assertIn(wanted, text)
                if "line" in where:
                    file = where.get("file", "scenario.toml" if name.parts[1:] else name.name)
                    self.assertRegex(text, rf"(?m){file.replace('.', '[.]')}:{where['line']}:")
            seen += 1
        self.assertGreater(seen, 100)

    def test_a_long_list_of_findings_is_cut_and_counted(self):
        path = self.scenario(more="\n[change]\n" + "".join(f'"no{i}.x" = 1\n' for i in range(60)))
        done = damper("run", path)
        self.assert_status(done, 2)
        self.assertIn("and 40 more", done.stderr)

    def test_a_pipe_in_place_of_a_file_is_refused_at_once(self):
        os.mkfifo(self.folder / "pipe.toml")
        for verb in ("run", "show", "loop", "response", "report"):
            began = time.monotonic()
            done = damper(verb, self.folder / "pipe.toml", timeout=10)
            self.assertLess(time.monotonic() - began, SLOWEST)
            self.assert_status(done, 2)
