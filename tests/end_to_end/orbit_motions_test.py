# SPDX-License-Identifier: MIT
"""damper orbit from outside: what it finds, against exact runs and itself."""
import csv
import io
import json
import math

from support import CommandTest, damper

RPM = math.pi / 30


class OrbitMotions(CommandTest):
    def data(self, *words):
        done = damper("orbit", *words, "--format", "json", cwd=self.folder)
        self.assert_status(done, 0)
        return json.loads(done.stdout)

    def refused(self, words, *texts):
        done = damper("orbit", *words, cwd=self.folder)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)

    def test_exact_runs_begun_on_the_curve_stay_on_it(self):
        # Two methods that share only the laws. Where the exact run repeats itself, the order
        # amplitudes differ by what the harmonics left out are worth, 1e-3 at most.
        for scenario in ("car_idle_cold_three_stage", "medium_truck_idle_hot",
                         "heavy_truck_idle_hot"):
            data = self.data(scenario, "--check", "12", "--to", "2200 rpm")
            self.assertTrue(data["complete"])
            repeats = [c for c in data["checks"] if c["periodic"]]
            self.assertGreaterEqual(len(repeats), 8, scenario)
            for check in repeats:
                self.assertLess(abs(check["deviation"]), 2e-3, (scenario, check["engine_speed"]))

    def test_motions_close_and_are_stable_at_idle(self):
        data = self.data("van_idle_hot", "--to", "1500 rpm")
        for point in data["points"]:
            self.assertLess(point["closing_error"], 1e-3)
            self.assertTrue(point["stable"])
            self.assertLess(point["truncation"], 1.0001e-3)

    def test_text_json_and_csv_tell_one_thing(self):
        words = ("car_idle_hot", "--gear", "3", "--from", "2000 rpm", "--to", "3000 rpm")
        data = self.data(*words)
        text = damper("orbit", *words).stdout
        self.assertIn("pulling in gear 3 with 100 % of the peak torque, 2000 to 3000 rpm", text)
        self.assertIn("An estimate", text)
        table = list(csv.DictReader(io.StringIO(damper("orbit", *words, "--format", "csv").stdout)))
        self.assertEqual(len(table), len(data["points"]))
        for row, point in zip(table, data["points"]):
            theirs = point["gearbox_input_speed"]["amplitude"][0]
            self.assertAlmostEqual(float(row["gearbox_input_speed_order_2_rad_s"]), theirs,
                                   delta=1e-8 * theirs)
            self.assertEqual(row["stable"], "1" if point["stable"] else "0")
        self.assertEqual(data["units"]["half_shaft_torque"], "N.m")
        self.assertAlmostEqual(data["points"][0]["engine_speed"], 3000 * RPM, places=6)

    def test_less_load_swings_less(self):
        # At low speed, where gas torque outweighs that of the moving masses.
        def at_top(load):
            data = self.data("car_idle_hot", "--gear", "4", "--load", load, "--from", "1200 rpm",
                             "--to", "1500 rpm", "--no-stability")
            return data["points"][0]["flywheel_speed"]["amplitude"][0]
        self.assertLess(at_top("50 %"), at_top("100 %"))

    def test_the_engine_says_where_its_speeds_end(self):
        data = self.data("van_idle_hot", "--set", "engine.top_speed=800 rpm", "--set",
                         "engine.idle_speed=750 rpm", "--no-stability")
        self.assertAlmostEqual(data["points"][0]["engine_speed"], 800 * RPM, places=6)

    def test_words_that_do_not_fit(self):
        self.refused(("car_idle_hot", "--curve", "pull"), "needs --gear", "1, 2, 3")
        self.refused(("car_idle_hot", "--gear", "9"), "--gear")
        self.refused(("car_idle_hot", "--gear", "3", "--curve", "neutral"), "not with neutral")
        self.refused(("car_idle_hot", "--curve", "pul"), "did you mean")
        self.refused(("car_idle_hot", "--from", "3000 rpm", "--to", "2000 rpm"), "above --from")
        self.refused(("car_idle_hot", "--from", "3000"), "--from")
        self.refused(("car_idle_hot", "--load", "50 %"), "--load")
        self.refused(("car_idle_hot", "--check", "1000"), "--check")
        self.refused(("no_such_scenario",), "no_such_scenario")
