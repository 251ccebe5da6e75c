# SPDX-License-Identifier: MIT
"""damper tune, and studies as files, from outside."""
import csv
import io
import json
import signal
import time

from support import CommandTest, damper, start

SHORT = ("--set", "manoeuvre.settle=0.3 s", "--set", "manoeuvre.length=0.6 s")


class Tune(CommandTest):
    def refused(self, words, *texts):
        done = damper(*words, cwd=self.folder)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)

    def test_a_disc_is_found_that_meets_what_the_fitted_one_misses(self):
        out = self.folder / "tuned"
        words = ("van_idle_cold", *SHORT, "--free", "disc.stages[0].stiffness", "--free",
                 "disc.stages[0].drive_end", "--evaluations", 60)
        done = damper("tune", *words, "-o", out, "--threads", 2)
        self.assert_status(done, 0)
        flat = " ".join(done.stdout.split())
        self.assertIn("A disc that meets all limits was found.", flat)
        self.assertRegex(flat, r"The fitted disc misses \d+ of \d+ limits")
        self.assertEqual(sorted(p.name for p in out.iterdir()),
                         ["tune.csv", "tune.html", "tune.json", "tune.txt", "tuned_disc.toml"])
        # The file of the disc does what the search says of it.
        data = json.loads((out / "tune.json").read_text(encoding="utf-8"))
        best = data["candidates"][data["best"]]
        said = {one["measure"]: one["value"] for one in best["figures"][0]}
        run = damper("run", "van_idle_cold", *SHORT, "--set", f"disc={out / 'tuned_disc.toml'}",
                     "--format", "json", "-o", self.folder / "run", "--no-report")
        self.assertIn(run.returncode, (0, 1))
        found = {one["name"]: one["value"] for one in json.loads(run.stdout)["measures"]}
        for name, value in said.items():
            self.assertAlmostEqual(found[name], value, delta=1e-6 * abs(value) + 1e-12)
        # Every disc that was tried is told, and one thread gives the same to the last digit.
        again = damper("tune", *words, "--threads", 1, "--format", "csv").stdout
        self.assertEqual(again, (out / "tune.csv").read_text(encoding="utf-8"))
        rows = list(csv.DictReader(io.StringIO(again)))
        self.assertEqual(rows[0]["origin"], "fitted")
        self.assertEqual(sum(row["best"] == "1" for row in rows), 1)
        page = (out / "tune.html").read_text(encoding="utf-8")
        for outside in ("src=\"http", "href=\"http", "@import", " style="):
            self.assertNotIn(outside, page)

    def test_a_search_that_is_stopped_keeps_the_best_so_far(self):
        out = self.folder / "tuned"
        search = start("tune", "van_idle_cold", "--evaluations", 100000, "-o", out)
        time.sleep(2.0)
        search.send_signal(signal.SIGINT)
        text, _ = search.communicate(timeout=60)
        self.assertEqual(search.returncode, 128 + signal.SIGINT)
        self.assertIn("The search was stopped", text)
        self.assertGreaterEqual(len(json.loads((out / "tune.json").read_text())["candidates"]), 1)
        self.assertTrue((out / "tuned_disc.toml").is_file())

    def test_what_cannot_be_searched_is_refused_with_the_nearest_name(self):
        self.refused(("tune", "van_idle_cold", "--free", "disc.stages[0].stifness"),
                     "did you mean disc.stages[0].stiffness?")
        self.refused(("tune", "van_idle_cold", "--leave-out", "tranfer"), "did you mean transfer?")
        self.refused(("tune", "van_idle_cold", "car_idle_hot"), "expected one disc to begin with")
        self.refused(("tune", "van_idle_cold", "--drive-twist", "28 mm"), "--drive-twist")

    def test_a_study_file_says_what_the_options_say(self):
        (self.folder / "map.toml").write_text('''study = "vary"
scenarios = ["car_idle_hot"]
measures = ["transfer"]
[set]
"manoeuvre.settle" = "0.15 s"
"manoeuvre.length" = "0.3 s"
[over]
"disc.stages[0].stiffness" = "times 0.7..1.4:3"
''')
        typed = damper("vary", "car_idle_hot", "--measure", "transfer", "--set",
                       "manoeuvre.settle=0.15 s", "--set", "manoeuvre.length=0.3 s", "--over",
                       "disc.stages[0].stiffness=times 0.7..1.4:3", "--format", "csv")
        read = damper("vary", self.folder / "map.toml", "--format", "csv")
        self.assert_status(read, 0)
        self.assertEqual(read.stdout, typed.stdout)
        changed = damper("vary", self.folder / "map.toml", "--format", "csv", "--over",
                         "disc.stages[0].stiffness=times 1..2:2")
        self.assertEqual(len(changed.stdout.splitlines()), 1 + 2)
        other = damper("vary", self.folder / "map.toml", "van_idle_hot", "--format", "json")
        self.assertEqual(json.loads(other.stdout)["run"]["scenario"], "van_idle_hot")

    def test_the_studies_that_are_shipped_run(self):
        short = ("--set", "manoeuvre.settle=0.15 s", "--set", "manoeuvre.length=0.3 s")
        for verb, name, more in (("vary", "car_idle_stage_map", ()),
                                 ("scatter", "car_idle_series", ("--count", 20)),
                                 ("compare", "car_idle_discs", ()),
                                 ("tune", "van_quiet_idle", ("--evaluations", 10))):
            done = damper(verb, name, *short, *more)
            self.assertIn(done.returncode, (0, 1), done.stderr)
            self.assertTrue(done.stdout)

    def test_a_slip_in_a_study_file_is_told_with_its_place(self):
        file = self.folder / "bad.toml"
        good = 'study = "vary"\nscenarios = ["car_idle_hot"]\n{}[over]\n{}\n'
        over = '"disc.stages[0].stiffness" = "times 0.6..1.2"'
        for more, keys, texts in (
                ("cuont = 5\n", over, ("bad.toml:3:1: cuont", 'Did you mean "count"?')),
                ('design = "sobl"\n', over, ("bad.toml:3:10: design", 'Did you mean "sobol"?')),
                ("", over.replace("..1.2", ""), ("bad.toml:4:", "LOW..HIGH")),
                ("", over.replace("0.6..1.2", "1.2..0.6"), ("bad.toml:4:", "lower end")),
                ('[set]\n"disc.stages[1].drive_end" = "4 deg"\n', over,
                 ("bad.toml:4:", "disc.stages[1].drive_end: found 4 deg"))):
            file.write_text(good.format(more, keys))
            self.refused(("vary", file), *texts)
        file.write_text(good.format("", over))
        self.refused(("scatter", file), "is a study to vary; use damper vary")
        self.refused(("run", file), "describes a study; damper run needs a scenario")
