# SPDX-License-Identifier: MIT
"""Take-ups from outside: verdict, file, page, faults of the clutch by --set, words that do not fit."""
import json
import pathlib
import tempfile
import unittest

import h5py

from support import damper


class TakeUp(unittest.TestCase):
    def setUp(self):
        holder = tempfile.TemporaryDirectory()
        self.addCleanup(holder.cleanup)
        self.folder = pathlib.Path(holder.name)

    def run_take_up(self, *words, status=0):
        done = damper("run", *words, "--format", "json", "--out", "kept", cwd=self.folder)
        self.assertEqual(done.returncode, status, done.stderr)
        record = json.loads(done.stdout)
        return record[0] if isinstance(record, list) else record

    def measures(self, record):
        found = record["measures"] if "measures" in record else record["result"]["measures"]
        return {one["name"]: one["value"] for one in found}

    def refused(self, words, *texts):
        done = damper("run", *words, cwd=self.folder)
        self.assertEqual(done.returncode, 2, done.stdout)
        for text in texts:
            self.assertIn(text, done.stderr)

    def test_a_smooth_take_up_leaves_file_and_page(self):
        self.run_take_up("car_take_up_1")
        with h5py.File(self.folder / "kept/car_take_up_1.h5") as file:
            signals = file["signals"]
            heat = (signals["clutch_torque"][:] * signals["clutch_slip"][:]).sum()
            heat *= signals["time"][1] - signals["time"][0]
            names = [name.decode() if isinstance(name, bytes) else name
                     for name in file["energy/element"][:]] if "energy/element" in file else []
            if names:
                book = file["energy/dissipated"][names.index("clutch faces")]
                self.assertAlmostEqual(heat / book, 1, places=2)
            self.assertGreater(heat, 5000)
            # Stuck at the end: no slip at all.
            self.assertLess(abs(signals["clutch_slip"][-1]), 1e-9)
        page = (self.folder / "kept/car_take_up_1.html").read_text(encoding="utf-8")
        self.assertIn("What the clutch did", page)
        self.assertIn("Torque of the clutch faces", page)

    def test_friction_that_falls_brings_judder(self):
        good = self.measures(self.run_take_up("car_take_up_1"))
        bad = self.measures(self.run_take_up(
            "car_take_up_1", "--set", "facing.friction_gradient=-0.014 s/m", status=1))
        self.assertLess(bad["judder_margin"], 0)
        self.assertGreater(bad["judder_acceleration"], 3 * good["judder_acceleration"])

    def test_uneven_faces_bring_judder_that_follows_the_slip(self):
        bad = self.measures(self.run_take_up(
            "car_take_up_1", "--set", "facing.slip_modulation=0.15", status=1))
        self.assertGreater(bad["slip_order_share"], 0.6)
        self.assertAlmostEqual(bad["judder_margin"], 1, places=9)

    def test_a_weak_clamp_slips_to_the_end(self):
        done = damper("run", "car_take_up_1", "--set", "facing.friction=0.05", "--out", "kept",
                      cwd=self.folder)
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertIn("still slips at the end", done.stdout)

    def test_a_stall_is_a_verdict(self):
        done = damper("run", "car_take_up_3_stall", "--out", "kept", cwd=self.folder)
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertIn("The engine stalls at take-up", done.stdout)

    def test_both_solvers_judge_alike(self):
        one = self.measures(self.run_take_up("medium_truck_take_up_2"))
        other = self.measures(self.run_take_up("medium_truck_take_up_2", "--solver", "general"))
        self.assertAlmostEqual(one["slip_energy"] / other["slip_energy"], 1, places=2)

    def test_words_that_do_not_fit_are_refused(self):
        self.refused(["car_take_up_1", "--set", "manoeuvre.gear=9"], "manoeuvre.gear", "1, 2, 3")
        self.refused(["car_take_up_1", "--set", "facing.friction_gradient=-0.02"], "s/m")
        self.refused(["car_take_up_1", "--set", "facing.stiction=0.5"], "facing.stiction", "1")
        self.refused(["car_take_up_1", "--set", "manoeuvre.load=0"], "manoeuvre.load", "stalls")
        self.refused(["car_take_up_1", "--set", "manoeuvre.brake=on"], "until it pulls")
        self.refused(["car_take_up_1", "--start", "periodic"], "does not repeat itself")
