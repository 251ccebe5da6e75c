# SPDX-License-Identifier: MIT
"""damper modes from outside: text, data, file and page; words that do not fit."""
import csv
import io
import json
import resource
import signal

import h5py

from support import CommandTest, damper


def small_files():
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))


class Modes(CommandTest):
    def data(self, *words):
        done = damper("modes", *words, "--format", "json", cwd=self.folder)
        self.assert_status(done, 0)
        return json.loads(done.stdout)

    def refused(self, words, *texts):
        done = damper("modes", *words, cwd=self.folder)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)

    def test_a_vehicle_has_a_table_of_all_gears(self):
        done = damper("modes", "car_petrol")
        self.assert_status(done, 0)
        for text in ("Neutral: 800 rpm", "Gear 5:", "shuffle", "half shaft stiffness", "firing (2)"):
            self.assertIn(text, done.stdout)
        self.assertEqual(done.stderr, "")

    def test_text_data_and_table_say_the_same(self):
        data = self.data("car_tip_in_2")
        done = damper("modes", "car_tip_in_2", "--format", "csv")
        self.assert_status(done, 0)
        rows = list(csv.DictReader(io.StringIO(done.stdout)))
        modes = [(g["gear"], m) for g in data["gears"] for m in g["modes"]]
        self.assertEqual(len(rows), len(modes))
        for row, (gear, mode) in zip(rows, modes):
            self.assertEqual((row["gear"], row["name"]), (gear, mode["name"]))
            self.assertAlmostEqual(float(row["frequency_Hz"]) / mode["frequency_hz"], 1, places=8)

    def test_the_file_and_the_page_are_written_and_the_file_agrees(self):
        done = damper("modes", "car_tip_in_2", "--gear", "2", "--out", "kept", cwd=self.folder)
        self.assert_status(done, 0)
        self.assertIn("Written: kept/car_tip_in_2_modes.h5", done.stdout)
        mode = self.data("car_tip_in_2", "--gear", "2")["gears"][0]["modes"][0]
        with h5py.File(self.folder / "kept/car_tip_in_2_modes.h5") as file:
            self.assertEqual(file.attrs["format"], "damper modes")
            self.assertEqual(file["modes/2/frequency"][0], mode["frequency_hz"])
            self.assertEqual(list(file["modes/2/kinetic_share"][0]), mode["kinetic_share"])
        page = (self.folder / "kept/car_tip_in_2_modes.html").read_text(encoding="utf-8")
        self.assertIn("shuffle", page)
        self.assertEqual(sorted(p.name for p in (self.folder / "kept").iterdir()),
                         ["car_tip_in_2_modes.h5", "car_tip_in_2_modes.html"])

    def test_the_same_words_give_the_same_bytes_but_for_the_time(self):
        first = damper("modes", "van_diesel", "--format", "json").stdout
        self.assertEqual(first, damper("modes", "van_diesel", "--format", "json").stdout)

    def test_stage_torque_speed_and_friction_change_what_they_should(self):
        words = ("car_tip_in_2", "--gear", "3")
        plain = self.data(*words)["gears"][0]
        idle = self.data(*words, "--stage", "1")["gears"][0]
        self.assertTrue(idle["stage_asked"])
        self.assertEqual((plain["disc_stage"], idle["disc_stage"]), ("main", "idle"))
        self.assertLess(idle["modes"][0]["frequency_hz"], plain["modes"][0]["frequency_hz"])
        asked = self.data(*words, "--torque", "50 N m", "--speed", "3000 rpm")["gears"][0]
        self.assertEqual(asked["engine_torque_n_m"], 50)
        self.assertAlmostEqual(asked["engine_speed_rad_per_s"], 314.159265, places=5)
        stiff = self.data(*words, "--friction", "sticks")["gears"][0]
        self.assertGreater(stiff["disc_stiffness_n_m_per_rad"],
                           5 * plain["disc_stiffness_n_m_per_rad"])

    def test_a_change_of_the_description_moves_the_frequency(self):
        plain = self.data("car_petrol", "--gear", "1")["gears"][0]["modes"][0]
        heavy = self.data("car_petrol", "--gear", "1", "--set", "body.mass=2000 kg")
        self.assertLess(heavy["gears"][0]["modes"][0]["frequency_hz"], plain["frequency_hz"])
        self.assertEqual(heavy["scenario"]["changes"],
                         [{"key": "body.mass", "value": "2000 kg"}])

    def test_quiet_prints_nothing_and_still_writes(self):
        done = damper("modes", "car_petrol", "--quiet", "-o", self.folder / "out")
        self.assert_status(done, 0)
        self.assertEqual((done.stdout, done.stderr), ("", ""))
        self.assertTrue((self.folder / "out/car_petrol_modes.h5").is_file())

    def test_words_that_do_not_fit_are_refused_with_the_way_out(self):
        self.refused(["car_petrol", "--gear", "nuetral"], 'no gear "nuetral"',
                     "neutral, 1, 2, 3, 4, 5, R", "did you mean neutral?")
        self.refused(["car_petrol", "--gear", ""], "--gear", "neutral, or all")
        self.refused(["car_petrol", "--stage", "3"], "no stage 3", "1 (idle) or 2 (main)")
        self.refused(["car_petrol", "--stage", "1.5"], "--stage", "whole number")
        self.refused(["car_petrol", "--stage", "0"], "--stage")
        self.refused(["car_petrol", "--torque", "50"], "--torque", "without a unit")
        self.refused(["car_petrol", "--torque", "50 rpm"], "--torque")
        self.refused(["car_petrol", "--speed", "1 rpm"], "--speed", "200 rpm to 10000 rpm")
        self.refused(["car_petrol", "--up-to", "300 rpm"], "below its idle speed")
        self.refused(["car_petrol", "--set", "engine.top_speed=700 rpm"], "engine.top_speed",
                     "more than idle_speed, which is 800 rpm")
        self.refused(["car_petrol", "--friction", "stick"], "did you mean sticks?")
        self.refused(["car_petrol", "--format", "xml"], "text or json or csv")
        self.refused(["car_petrl"], "Did you mean car_petrol?")
        self.refused(["car_no_idle_stage"], "describes a disc; damper modes needs a scenario")
        self.refused([], "FILE")

    def test_tyres_that_cannot_carry_the_torque_are_told(self):
        self.refused(["car_petrol", "--gear", "1", "--torque", "9000 N m",
                      "--set", "tyre.grip=0.9"], "in gear 1 there is no steady state", "To mend")

    def test_a_full_disk_leaves_the_earlier_file_as_it_was(self):
        out = self.folder / "out"
        self.assert_status(damper("modes", "car_petrol", "--quiet", "-o", out), 0)
        before = (out / "car_petrol_modes.h5").read_bytes()
        done = damper("modes", "car_petrol", "--gear", "1", "--quiet", "-o", out,
                      preexec_fn=small_files)
        self.assert_status(done, 4)
        self.assertEqual((out / "car_petrol_modes.h5").read_bytes(), before)
        self.assertEqual([p.name for p in out.iterdir() if ".part" in p.name], [])

    def test_a_folder_that_cannot_be_made_gives_status_4(self):
        done = damper("modes", "car_petrol", "--out", "/proc/damper_out")
        self.assert_status(done, 4)
        self.assertIn("/proc/damper_out", done.stderr)
