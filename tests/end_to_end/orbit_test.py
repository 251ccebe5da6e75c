# SPDX-License-Identifier: MIT
"""damper orbit from outside: text, data, file and page; words that do not fit."""
import csv
import io
import json
import signal
import time

import h5py

from support import CommandTest, damper, start

SHORT = ("car_idle_hot", "--gear", "3", "--from", "1500 rpm", "--to", "2000 rpm")


class Orbit(CommandTest):
    def refused(self, words, *texts):
        done = damper("orbit", *words, cwd=self.folder)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)

    def test_words_that_do_not_fit_are_refused_with_the_way_out(self):
        self.refused(["car_idle_hot", "--gear", "33"], "--gear", "3")
        self.refused(["car_idle_hot", "--curve", "neutral", "--gear", "3"],
                     "--gear goes with --curve pull or overrun")
        self.refused(["car_idle_hot", "--curve", "pull"], "needs --gear, one of 1, 2")
        self.refused(["car_idle_hot", "--from", "2000 rpm", "--to", "1500 rpm"],
                     "--to must be above --from")
        self.refused(["car_idle_hot", "--load", "50 %"], "--load goes with --curve pull only")
        vary = ["car_idle_hot", "--vary", "disc.stages[0].stiffness=times 0.5..2"]
        self.refused([*vary, "--from", "800 rpm"], "with --vary give --speed")
        self.refused(["car_idle_hot", "--speed", "800 rpm"], "--speed goes with --vary")
        self.refused(["car_idle_hot", "--vary", "disc=car_soft|car_hard"], "expected a range")
        self.refused(["car_idle_hot", "--vary", "disc.stages[0].stiffness=2"], "--vary", "LOW..HIGH")
        self.refused(["car_idle_hot", "--vary", "disc.stages[0].hysteresis=0 N m..1 N m"],
                     "other elements", "To mend")

    def test_json_has_units_and_csv_a_header_and_they_agree(self):
        done = damper("orbit", *SHORT, "--format", "json")
        self.assert_status(done, 0)
        data = json.loads(done.stdout)
        self.assertEqual(data["units"]["engine_speed"], "rad/s")
        self.assertEqual(data["units"]["half_shaft_torque"], "N.m")
        done = damper("orbit", *SHORT, "--format", "csv")
        self.assert_status(done, 0)
        rows = list(csv.DictReader(io.StringIO(done.stdout)))
        self.assertEqual(len(rows), len(data["points"]))
        self.assertGreater(len(rows), 1)
        for row, point in zip(rows, data["points"]):
            self.assertAlmostEqual(float(row["engine_speed_rad_s"]) / point["engine_speed"], 1,
                                   places=8)

    def test_the_file_and_the_page_are_written_and_the_file_agrees(self):
        done = damper("orbit", *SHORT, "--check", "1", "--format", "json", "-o", "kept",
                      cwd=self.folder)
        self.assert_status(done, 0)
        data = json.loads(done.stdout)
        with h5py.File(self.folder / "kept/car_idle_hot_orbit.h5") as file:
            self.assertEqual(file.attrs["format"], "damper orbit")
            group = file["orbit"]
            self.assertEqual(list(group["engine_speed"]),
                             [p["engine_speed"] for p in data["points"]])
            amplitude = group["gearbox_input_speed_amplitude"]
            self.assertEqual(amplitude.attrs["units"], "rad/s")
            self.assertEqual(amplitude.dims[0][0], group["point"])
            self.assertEqual(amplitude.dims[1][0], group["order"])
            self.assertEqual([list(row) for row in amplitude],
                             [p["gearbox_input_speed"]["amplitude"] for p in data["points"]])
            self.assertEqual([list(row) for row in group["rattle_ratio"]],
                             [p["rattle_ratio"] for p in data["points"]])
            self.assertEqual([int(s) for s in group["stable"]],
                             [-1 if p["stable"] is None else int(p["stable"])
                              for p in data["points"]])
            self.assertEqual([m.decode() for m in group["method"]],
                             [p["method"] for p in data["points"]])
            self.assertEqual([int(n) for n in group["periods"]],
                             [p["periods"] for p in data["points"]])
            self.assertEqual(list(file["checks/run_amplitude"][0]), data["checks"][0]["run"])
        page = (self.folder / "kept/car_idle_hot_orbit.html").read_text(encoding="utf-8")
        for piece in ('id="cut-1-clip"', 'id="rattle-clip"', "Half shaft torque", "Engine order"):
            self.assertIn(piece, page)
        self.assertNotIn("<script", page)
        self.assertNotRegex(page, r'(?: d| x| y| width)="[^"]*(?:nan|inf)')

    def test_where_teeth_part_the_file_tells_which_motions_were_shot(self):
        done = damper("orbit", "car_idle_hot", "--curve", "neutral", "--loose-gears", "free",
                      "--from", "650 rpm", "--to", "760 rpm", "-o", "kept", cwd=self.folder)
        self.assert_status(done, 0)
        self.assertIn("motions were found by shooting", done.stdout)
        with h5py.File(self.folder / "kept/car_idle_hot_orbit.h5") as file:
            methods = [m.decode() for m in file["orbit/method"]]
        self.assertEqual(set(methods), {"balance", "shooting"})
        page = (self.folder / "kept/car_idle_hot_orbit.html").read_text(encoding="utf-8")
        self.assertIn(f"{methods.count('shooting')} by shooting", page)

    def test_an_interrupted_search_keeps_what_it_has(self):
        out = self.folder / "out"
        process = start("orbit", "car_idle_hot", "--gear", "3", "--check", "200", "--quiet", "-o",
                        out)
        time.sleep(1.0)
        process.send_signal(signal.SIGINT)
        status, _, err = self.ended(process)
        self.assertEqual(status, 128 + signal.SIGINT, err)
        with h5py.File(out / "car_idle_hot_orbit.h5") as file:
            self.assertEqual(file.attrs["stopped"], 1)
        self.assertIn("Stopped before the end.",
                      (out / "car_idle_hot_orbit.html").read_text(encoding="utf-8"))
