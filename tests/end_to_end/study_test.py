# SPDX-License-Identifier: MIT
"""damper vary, scatter and gather from outside: results, shards, going on after a kill, refusals."""
import csv
import io
import json
import os
import random
import signal
import subprocess
import time
import unittest

import h5py
import numpy as np

from support import CommandTest, damper, start

SHORT = ("--set", "manoeuvre.settle=0.15 s", "--set", "manoeuvre.length=0.3 s",
         "--set", "recording.step=0.5 ms")
OVER = ("--over", "disc.stages[0].stiffness=times 0.7..1.4:4",
        "--over", "conditions.gearbox_oil=20 degC..90 degC:3")
SPREAD = ("--spread", "disc.stages[0].hysteresis=normal(nominal, 30 %)",
          "--spread", "conditions.gearbox_oil=uniform(60 degC, 95 degC)")


def table(path):
    """All of a study that is computed: columns of keys and measures by name."""
    with h5py.File(path) as file:
        return {name: file[group][name][...] for group in ("variants", "measures")
                for name in file[group]}


class StudyTest(CommandTest):
    def assert_same(self, one, other):
        a, b = table(one), table(other)
        self.assertEqual(a.keys(), b.keys())
        for name, values in a.items():
            self.assertEqual(values.tobytes(), b[name].tobytes(), name)


class Study(StudyTest):
    def vary(self, *words, out=None, **more):
        place = ("-o", self.folder / out) if out else ()
        return damper("vary", "car_idle_hot", *OVER, *SHORT, *place, *words, **more)

    def refused(self, words, *texts):
        done = damper(*words, cwd=self.folder)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)

    def test_a_grid_leaves_a_table_a_file_and_a_map(self):
        done = self.vary(out="kept")
        self.assert_status(done, 0)
        self.assertIn("12 variants of car_idle_hot, a grid over 2 keys", done.stdout)
        with h5py.File(self.folder / "kept/car_idle_hot_vary.h5") as file:
            self.assertEqual(file.attrs["format"], "damper study")
            self.assertEqual(file.attrs["total"], 12)
            self.assertEqual(file.attrs["missing"], 0)
            column = file["variants/conditions_gearbox_oil"]
            self.assertEqual(column.attrs["units"], "K")
            np.testing.assert_allclose(sorted(set(column[...])), [293.15, 328.15, 363.15])
            self.assertEqual(file["measures/transfer"].dims[0][0], file["measures/index"])
            self.assertTrue(np.all(np.isfinite(file["measures/transfer"][...])))
        page = (self.folder / "kept/car_idle_hot_vary.html").read_text(encoding="utf-8")
        for piece in ("Map of Transfer", "Beyond the limits", "conditions.gearbox_oil in °C"):
            self.assertIn(piece, page)
        self.assertNotIn("<script", page)
        self.assertNotRegex(page, r'(?: d| x| y| width)="[^"]*(?:nan|inf)')

    def test_a_variant_is_the_run_that_set_would_give(self):
        done = self.vary("--format", "json")
        self.assert_status(done, 0)
        data = json.loads(done.stdout)
        factor, oil = (key["values"][7] for key in data["keys"])
        run = damper("run", "car_idle_hot", *SHORT, "--set",
                     f"disc.stages[0].stiffness=times {factor!r}", "--set",
                     f"conditions.gearbox_oil={oil!r} K", "--format", "json", "--no-report",
                     "-o", self.folder / "run")
        self.assertIn(run.returncode, (0, 1))
        measures = {one["name"]: one["value"] for one in json.loads(run.stdout)["measures"]}
        self.assertGreater(len(measures), 15)
        self.assertEqual({name: one["values"][7] for name, one in data["measures"].items()},
                         measures)
        # The table is the same, number by number.
        rows = list(csv.DictReader(io.StringIO(self.vary("--format", "csv").stdout)))
        self.assertEqual([float(row["transfer"]) for row in rows],
                         data["measures"]["transfer"]["values"])
        self.assertEqual([float(row["conditions.gearbox_oil_K"]) for row in rows],
                         data["keys"][1]["values"])

    def test_screening_and_indices_name_the_key_that_matters(self):
        for words, name, column in ((("--screen", "--count", "4"), "effects", "mean_absolute"),
                                    (("--indices", "--count", "16"), "indices", "total")):
            done = self.vary(*words, "--measure", "transfer", "--format", "json")
            self.assert_status(done, 0)
            data = json.loads(done.stdout)
            rows = {row["key"]: row[column] for row in data[name]}
            # The idle stage carries the swing; the oil hardly touches it.
            self.assertGreater(rows["disc.stages[0].stiffness"],
                               3 * rows["conditions.gearbox_oil"])
        self.assertEqual(data["variants"], 16 * 4)

    def test_shards_gathered_are_the_study_in_one_piece(self):
        self.assert_status(self.vary(out="whole"), 0)
        for part in (3, 1):
            done = self.vary("--shard", f"{part}/3", "--threads", str(part), out="parts")
            self.assert_status(done, 0)
            self.assertIn("damper gather", done.stdout)
        gathered = self.folder / "all.h5"
        done = damper("gather", self.folder / "parts", "-o", gathered)
        self.assert_status(done, 3)
        self.assertIn("4 of 12 variants are missing, of part 2 of 3 (4)", done.stderr)
        self.assert_status(self.vary("--shard", "2/3", out="more"), 0)
        done = damper("gather", self.folder / "parts", self.folder / "more", "-o", gathered)
        self.assert_status(done, 0)
        self.assert_same(gathered, self.folder / "whole/car_idle_hot_vary.h5")
        with h5py.File(gathered) as file:
            self.assertEqual(file.attrs["done"] + file.attrs["refused"], 12)
        # The same shard twice is no harm.
        done = damper("gather", self.folder / "parts", self.folder / "more",
                      self.folder / "whole", "-o", gathered)
        self.assert_status(done, 0)
        self.assertIn("12 of them there more than once and equal", done.stdout)

    def test_files_of_another_study_are_refused(self):
        self.assert_status(self.vary(out="kept"), 0)
        before = (self.folder / "kept/car_idle_hot_vary.h5").read_bytes()
        done = self.vary("--set", "disc.damping=times 2", out="kept")
        self.assert_status(done, 2)
        self.assertIn("holds another study", done.stderr)
        self.assertIn("the model", done.stderr)
        self.assertEqual((self.folder / "kept/car_idle_hot_vary.h5").read_bytes(), before)
        self.assert_status(self.vary("--set", "disc.damping=times 2", "--shard", "1/2",
                                     out="other"), 0)
        self.refused(("gather", self.folder / "kept", self.folder / "other", "-o", "x.h5"),
                     "holds another study", "the model")
        self.assert_status(self.vary("--set", "disc.damping=times 2", "--fresh", out="kept"), 0)
        self.refused(("vary", "car_idle_hot", *OVER, *SHORT, "--resume", "-o",
                      self.folder / "empty"), "nothing of this study")

    def test_words_that_do_not_fit_are_refused_with_the_way_out(self):
        over = ("--over", "disc.damping=times 1..2")
        self.refused(("vary", "car_idle_hot", "--over", "disc.damping=5"), "LOW..HIGH")
        self.refused(("vary", "car_idle_hot", "--over", "disc.dampin=times 1..2"), "damping")
        self.refused(("vary", "car_idle_hot", *over, "--measure", "transfr"), "transfer")
        self.refused(("vary", "car_idle_hot", *over, "--screen", "--indices"), "one of them")
        self.refused(("vary", "car_idle_hot", *over, "--shard", "1/2"), "--out")
        self.refused(("vary", "car_idle_hot", *over, "--shard", "3/2", "-o", "x"), "I/N")
        self.refused(("vary", "car_idle_hot", *over, "--design", "grid", "--count", "5"), "levels")
        self.refused(("scatter", "car_idle_hot", "--spread", "disc.damping=normal(1)"),
                     "normal(MEAN, SD)")
        self.refused(("scatter", "car_idle_hot", *SPREAD, "--count", "0"), "--count")
        self.refused(("gather", self.folder, "-o", "x.h5"), "no shards")
        self.refused(("gather", "nowhere", "-o", "x.h5"), "there is no nowhere")

    def test_scatter_tells_shares_with_their_interval(self):
        done = damper("scatter", "car_idle_hot", *SPREAD, *SHORT, "--count", "60", "--format",
                      "json", "-o", self.folder / "kept")
        self.assert_status(done, 0)
        data = json.loads(done.stdout)
        self.assertEqual(data["done"], 60)
        for limit in data["limits"]:
            self.assertLessEqual(limit["share_low"], limit["share"])
            self.assertGreaterEqual(limit["share_high"], limit["share"])
        transfer = [one for one in data["influences"] if one["measure"] == "transfer"]
        best = max(transfer, key=lambda one: one["explained"])
        self.assertEqual(best["key"], "disc.stages[0].hysteresis")
        self.assertTrue((self.folder / "kept/car_idle_hot_scatter.html").is_file())
        page = (self.folder / "kept/car_idle_hot_scatter.html").read_bytes()
        done = damper("report", self.folder / "kept/car_idle_hot_scatter.h5", "-o",
                      self.folder / "again.html")
        self.assert_status(done, 0)
        self.assertEqual((self.folder / "again.html").read_bytes(), page)


class Interrupted(StudyTest):
    """What a study keeps when it is cut short."""

    def many(self, out, *words, count=300):
        return ("scatter", "car_idle_hot", *SPREAD, *SHORT, "--count", str(count), "--format", "csv",
                "--quiet", "-o", self.folder / out, *words)

    def test_killed_again_and_again_it_ends_as_if_it_had_not_been(self):
        self.assert_status(damper(*self.many("whole")), 0)
        dice = random.Random(7)
        shard = self.folder / "killed/car_idle_hot_scatter.part-1-of-1.shard"
        sizes, kills = [], 0
        for _ in range(10):
            process = start(*self.many("killed", "--threads", "2"))
            time.sleep(dice.uniform(0.02, 0.25))
            kills += process.poll() is None
            process.send_signal(signal.SIGKILL)
            process.communicate(timeout=60)
            sizes.append(shard.stat().st_size if shard.exists() else 0)
        self.assertGreater(kills, 2)
        self.assertEqual(sizes, sorted(sizes))  # nothing is lost, but for a torn frame
        self.assert_status(damper(*self.many("killed")), 0)
        self.assert_same(self.folder / "killed/car_idle_hot_scatter.h5",
                         self.folder / "whole/car_idle_hot_scatter.h5")
        self.assertEqual((self.folder / "killed/car_idle_hot_scatter.csv").read_bytes(),
                         (self.folder / "whole/car_idle_hot_scatter.csv").read_bytes())

    def test_stopped_by_a_signal_it_says_how_far_it_came(self):
        process = start(*self.many("stopped", "--threads", "1", count=20000))
        self.wait_for(self.folder / "stopped/car_idle_hot_scatter.part-1-of-1.shard", process)
        time.sleep(0.3)
        process.send_signal(signal.SIGINT)
        status, _, err = self.ended(process)
        self.assertEqual(status, 128 + signal.SIGINT)
        self.assertRegex(err, r"Stopped: \d+ of 20000 variants are kept")

    @unittest.skipUnless(os.geteuid() == 0, "mounting needs root")
    def test_a_full_disk_keeps_the_finished_variants(self):
        small = self.folder / "small"
        small.mkdir()
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(small)], check=True)
        try:
            done = damper(*self.many("small"))
            self.assert_status(done, 4)
            self.assertIn("the disk is full", done.stderr)
            self.assertRegex(done.stderr, r"[1-9]\d* of 300 variants are finished and kept")
            gathered = damper("gather", small, "-o", self.folder / "some.h5", "--quiet")
            self.assert_status(gathered, 3)
            kept = len(table(self.folder / "some.h5")["variant"])
            self.assertGreater(kept, 20)
            subprocess.run(["mount", "-o", "remount,size=16m", str(small)], check=True)
            self.assert_status(damper(*self.many("small")), 0)
            self.assert_status(damper(*self.many("whole")), 0)
            self.assert_same(small / "car_idle_hot_scatter.h5",
                             self.folder / "whole/car_idle_hot_scatter.h5")
        finally:
            subprocess.run(["umount", str(small)], check=True)
