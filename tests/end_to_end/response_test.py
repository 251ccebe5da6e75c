# SPDX-License-Identifier: MIT
"""damper response from outside: its file against NumPy, its words, and what it refuses."""
import csv
import io
import json

import h5py
import numpy as np

from support import CommandTest, damper


def matrices(file):
    """Names, M, C and K of /model."""
    group = file["model"]
    names = [name.decode() for name in group["inertias/name"][...]]
    rows = np.zeros((len(group["elements/name"]), len(names)))
    np.add.at(rows, (group["rows/element"][...], group["rows/inertia"][...]),
              group["rows/coefficient"][...])
    stiffness = rows.T @ np.diag(group["elements/stiffness"][...]) @ rows
    damping = rows.T @ np.diag(group["elements/damping"][...]) @ rows
    return names, np.diag(group["inertias/inertia"][...]), damping, stiffness


class Response(CommandTest):
    def setUp(self):
        super().setUp()
        self.out = self.folder / "out"

    def respond(self, *words):
        done = damper("response", *words)
        self.assert_status(done, 0)
        self.assertEqual(done.stderr, "")
        return done.stdout

    def refused(self, *words):
        done = damper("response", *words, "--out", self.out)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        self.assertFalse(self.out.exists(), "a folder was made for what cannot be computed")
        return done.stderr

    def test_the_stored_response_is_that_of_the_stored_matrices(self):
        """NumPy solves (K - w2 M + i w C) x = e from the file alone."""
        self.respond("car_petrol", "--gear", "2", "--friction", "slips", "--to", "flywheel",
                     "--to", "vehicle", "--out", self.out, "--quiet")
        with h5py.File(self.out / "car_petrol_response.h5") as file:
            names, mass, damping, stiffness = matrices(file)
            push = np.zeros(len(names))
            push[names.index("engine")] = 1.0
            for name, inertia in (("flywheel_speed", "engine"), ("vehicle_speed", "vehicle")):
                group = file["spectra"][name]
                frequency = group["frequency"][...]
                ours = group["magnitude"][...] * np.exp(1j * group["phase"][...])
                for i in range(0, len(frequency), 37):
                    w = 2 * np.pi * frequency[i]
                    x = np.linalg.solve(stiffness - w * w * mass + 1j * w * damping, push)
                    theirs = 1j * w * x[names.index(inertia)]
                    # Rounding of either solution, 1e-16 of the condition of the matrix (1e9).
                    self.assertLess(abs(ours[i] - theirs), 1e-6 * abs(theirs), (name, frequency[i]))

    def test_the_file_is_what_it_says_and_frequency_is_a_scale_of_every_curve(self):
        self.respond("car_idle_hot", "--out", self.out, "--quiet", "--no-report")
        self.assertEqual([p.name for p in self.out.iterdir()], ["car_idle_hot_response.h5"])
        with h5py.File(self.out / "car_idle_hot_response.h5") as file:
            self.assertEqual(file.attrs["format"], "damper response")
            self.assertEqual(file.attrs["friction"], "equivalent")
            for group in [*file["spectra"].values(), *file["isolation"].values(),
                          file["equivalent"]]:
                self.assertEqual(group["frequency"].attrs["units"], "Hz")
                self.assertTrue(np.all(np.diff(group["frequency"][...]) > 0))
                for name, column in group.items():
                    self.assertIn("long_name", column.attrs, name)
                    if name != "frequency":
                        self.assertEqual(column.dims[0][0], group["frequency"])
            self.assertLess(np.max(file["equivalent/mismatch"][...]), 1e-9)
            self.assertTrue(np.all(np.isfinite(file["equivalent/twist"][...])))

    def test_text_json_and_csv_tell_one_thing(self):
        words = ("van_diesel", "--gear", "3", "--band", "2 Hz..20 Hz", "--friction", "sticks")
        text = self.respond(*words)
        self.assertIn("in gear 3", text)
        self.assertNotIn("Written", text)
        record = json.loads(self.respond(*words, "--format", "json"))
        table = list(csv.reader(io.StringIO(self.respond(*words, "--format", "csv"))))
        column = table[0].index("drive_shafts_torque_magnitude")
        curve = next(c for c in record["responses"] if c["name"] == "drive_shafts_torque")
        self.assertEqual(len(table) - 1, len(record["frequency"]))
        for row, value in zip(table[1:], curve["magnitude"]):
            self.assertAlmostEqual(float(row[column]), value, delta=1e-8 * value)
        self.assertAlmostEqual(record["frequency"][0], 2.0)
        self.assertAlmostEqual(record["frequency"][-1], 20.0)

    def test_a_stiffer_idle_stage_lets_more_through(self):
        def passed(*words):
            record = json.loads(self.respond("car_idle_hot", "--format", "json", *words))
            return record["isolation"][0]["slips_at_firing"]
        self.assertGreater(passed("--set", "disc.stages[0].stiffness=1 N m/deg"), 2 * passed())

    def test_files_are_written_where_they_are_asked_for_and_only_there(self):
        text = self.respond("car_idle_hot", "--format", "text", "--out", self.out)
        self.assertIn(str(self.out / "car_idle_hot_response.html"), text)
        page = (self.out / "car_idle_hot_response.html").read_text()
        self.assertIn("What the disc keeps from the gearbox", page)
        self.respond("car_idle_hot", "--format", "csv", "--out", self.out)
        self.assertTrue((self.out / "car_idle_hot_response.csv").is_file())
        done = damper("response", "car_idle_hot", cwd=self.folder)
        self.assert_status(done, 0)
        self.assertEqual([p.name for p in self.folder.iterdir()], ["out"])

    def test_a_name_that_there_is_not_brings_the_nearest(self):
        for words, said in (
                (("--gear", "6"), "no gear \"6\"; expected one of neutral, 1, 2, 3, 4, 5"),
                (("--gear", "neutrl"), "did you mean neutral?"),
                (("--to", "flywhel"), "did you mean \"flywheel\"?"),
                (("--from", "engine torqe"), "did you mean \"engine torque\"?"),
                (("--stage", "mian"), "did you mean main?"),
                (("--stage", "0"), "this disc has 1 (idle), 2 (main)"),
                (("--quantity", "sped"), "did you mean speed?"),
                (("--friction", "slip"), "did you mean slips?")):
            with self.subTest(words=words):
                self.assertIn(said, self.refused("car_petrol", *words))

    def test_a_band_that_is_none_is_refused_with_an_example(self):
        for band, said in (("20 Hz", "two dots"), ("20..2 Hz", "expected"),
                           ("20 Hz..2 Hz", "the lower frequency first"), ("..", "expected"),
                           ("0 Hz..20 Hz", "0.01 Hz to 10000 Hz"),
                           ("2 Hz..20 kg", "expected"), ("2 Hz..nan Hz", "expected"),
                           ("2 Hz..1e999 Hz", "expected"), ("-5 Hz..20 Hz", "expected")):
            with self.subTest(band=band):
                self.assertIn(said, self.refused("car_petrol", "--band", band))

    def test_values_beyond_their_range_are_refused(self):
        for words in (("--speed", "90 rpm"), ("--speed", "3 N m"), ("--torque", "1e9 N m"),
                      ("--swing", "0 N m"), ("--swing", "-3 N m"), ("--speed", "fast")):
            with self.subTest(words=words):
                self.assertIn("expected", self.refused("car_petrol", *words))
        self.assertIn("needs a scenario or a vehicle", self.refused("car_no_idle_stage"))
        self.assertIn("no such file", self.refused("no_such_car"))

    def test_a_disc_in_series_is_told_without_its_swing(self):
        text = self.respond("car_idle_hot", "--set", "disc.assembly=series")
        self.assertIn("inertia between its stages", " ".join(text.split()))
        said = self.refused("car_idle_hot", "--set", "disc.assembly=series", "--friction",
                            "equivalent")
        self.assertIn("Expected \"slips\" or \"sticks\"", said)

    def test_a_full_disk_gives_status_4(self):
        done = damper("response", "car_idle_hot", "--out", "/proc/damper_out")
        self.assert_status(done, 4)

    def test_every_shipped_vehicle_answers_in_every_gear(self):
        for vehicle, gears in (("car_petrol", 5), ("van_diesel", 6), ("medium_truck", 6),
                               ("heavy_truck", 10)):
            for gear in ("neutral", *map(str, range(1, gears + 1))):
                with self.subTest(vehicle=vehicle, gear=gear):
                    record = json.loads(self.respond(vehicle, "--gear", gear, "--format", "json",
                                                     "--band", "2 Hz..60 Hz"))
                    for curve in record["responses"]:
                        self.assertTrue(np.all(np.isfinite(curve["magnitude"])))
                    self.assertLess(max((r["mismatch"] for r in record["met"]), default=0), 1e-6)
