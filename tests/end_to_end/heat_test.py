# SPDX-License-Identifier: MIT
"""damper heat from outside: where the heat of starts goes, how many there may be, text, tables,
file and page; words that do not fit."""
import h5py

from cover_test import VEHICLES, ClutchTest
from support import damper


class Heat(ClutchTest):
    verb = "heat"

    def test_every_vehicle_starts_and_its_heat_is_accounted_for(self):
        for vehicle in VEHICLES:
            data = self.data(vehicle)
            numbers = {key: one["value"] for key, one in data["numbers"].items()}
            self.assertAlmostEqual((numbers["energy_stored"] + numbers["energy_lost"])
                                   / numbers["energy_in"], 1, places=10)
            self.assertEqual(len(data["steps"]["rows"]), 10)
            level, hill = data["starts"]["rows"]
            self.assertGreater(hill["energy"], level["energy"])

    def test_starts_are_counted_to_the_limit_and_the_clutch_cools(self):
        words = ("heavy_truck", "--set", "body.mass=44000 kg", "--interval", "20 s", "--starts", "80",
                 "--limit", "150 degC")
        data = self.data(*words, status=1)
        count = data["starts_to_limit"]
        self.assertGreater(count, 5)
        hottest = [max(step["after"]) for step in data["steps"]["rows"]]
        self.assertGreater(hottest[count - 1], 423.15)
        self.assertLessEqual(hottest[count - 2], 423.15)
        self.assertGreater(data["numbers"]["time_to_cool"]["value"], 0)
        text = damper("heat", *words)
        self.assert_status(text, 1)
        self.assertIn(f"After {count} such starts", text.stdout)
        self.assertIn("let the clutch cool", text.stdout)

    def test_tables_file_and_page(self):
        rows = self.table("van_diesel", "--curve", "history")
        self.assertIn("pressure_plate_K", rows[0])
        steps = self.table("van_diesel")
        self.assertEqual(len(steps), 10)
        self.assertEqual(len(self.table("van_diesel", "--curve", "starts")), 2)
        done = damper("heat", "van_diesel", "--out", "kept", cwd=self.folder)
        self.assert_status(done, 0)
        with h5py.File(self.folder / "kept/van_diesel_heat.h5") as file:
            self.assertEqual(file.attrs["format"], "damper heat")
            self.assertEqual(file["steps/after"].shape, (10, 2))
            self.assertAlmostEqual(file["steps/after"][3, 0], float(steps[3]["pressure_plate_after_K"]),
                                   places=5)
            self.assertEqual(file["history/temperature"].shape, (len(rows), 2))
        page = (self.folder / "kept/van_diesel_heat.html").read_text(encoding="utf-8")
        self.assertIn("Starts in a row, then cooling", page)

    def test_words_that_do_not_fit_are_refused(self):
        self.refused(["car_petrol", "--gear", "9"], "--gear", "1, 2, 3")
        self.refused(["car_petrol", "--torque", "20 N m"], "to move the vehicle", "lower gear")
        self.refused(["car_petrol", "--starts", "2.5"], "whole number")
        self.refused(["car_petrol", "--interval", "1 s"], "--interval", "slip")
        self.refused(["car_petrol", "--limit", "50 degC"], "--limit", "surroundings")
        self.refused(["heavy_truck", "--set", "facing.faces=4"], "centre plate")
        self.refused(["car_petrol", "--grade", "12 degC"], "--grade")
