# SPDX-License-Identifier: MIT
"""damper cover from outside: text, data, tables, file and page; measured curves in
the spellings that benches write; words and files that do not fit."""
import csv
import io
import json
import resource
import signal

import h5py

from support import CommandTest, damper

VEHICLES = ("car_petrol", "van_diesel", "medium_truck", "heavy_truck")


def small_files():
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))


class ClutchTest(CommandTest):
    verb = "cover"

    def data(self, *words, status=0):
        done = damper(self.verb, *words, "--format", "json", cwd=self.folder)
        self.assert_status(done, status)
        return json.loads(done.stdout)

    def table(self, *words, status=0):
        done = damper(self.verb, *words, "--format", "csv", cwd=self.folder)
        self.assert_status(done, status)
        return list(csv.DictReader(io.StringIO(done.stdout)))

    def refused(self, words, *texts):
        done = damper(self.verb, *words, cwd=self.folder)
        self.assert_status(done, 2)
        self.assertEqual(done.stdout, "")
        for text in texts:
            self.assertIn(text, done.stderr)

    def measure(self, data, name):
        return next(m["value"] for m in data["measures"] if m["name"] == name)

    def grade(self, data, name):
        return next(j["grade"] for j in data["verdict"]["judgements"] if j["measure"] == name)


class Cover(ClutchTest):
    def test_every_vehicle_has_its_clutch_new_and_worn(self):
        for vehicle in VEHICLES:
            data = self.data(vehicle)
            self.assertEqual(data["verdict"]["grade"], "good", vehicle)
            states = {s["state"]: s for s in data["states"]["rows"]}
            self.assertEqual(set(states), {"new", "worn"})
            torque = data["numbers"]["torque"]["value"]
            self.assertGreater(states["worn"]["capacity_hot"], torque)
            for judgement in data["verdict"]["judgements"]:
                self.assertTrue(judgement["source"])

    def test_text_says_grade_limits_sources_and_cautions(self):
        done = damper("cover", "car_petrol")
        self.assert_status(done, 0)
        for text in ("Good: ", "Clamp load", "common practice, no source", "[1]",
                     "What a fault alone would make of it", "guarded press", "estimates",
                     "Force at the pedal"):
            self.assertIn(text, done.stdout)
        self.assertLess(max(len(line) for line in done.stdout.splitlines()), 121)
        self.assertEqual(done.stderr, "")

    def test_a_missed_limit_is_status_1(self):
        data = self.data("heavy_truck", "--set", "release.bearing_travel=9 mm", "--set",
                         "facing.runout=0.9 mm", status=1)
        self.assertEqual(self.grade(data, "release_margin_new"), "bad")
        self.assertIn("drags", data["verdict"]["headline"])
        done = damper("cover", "car_petrol", "--torque", "500 N m")
        self.assert_status(done, 1)
        self.assertIn("slips", done.stdout)

    def test_tables_say_what_the_data_say(self):
        data = self.data("van_diesel")
        rows = self.table("van_diesel")
        self.assertEqual(len(rows), len(data["wear"]["rows"]))
        for row, point in zip(rows, data["wear"]["rows"]):
            self.assertAlmostEqual(float(row["clamp_load_N"]) / point["clamp_load"], 1, places=8)
        for curve, column in (("spring", "load_N"), ("release", "bearing_load_N"),
                              ("temperature", "capacity_new_N_m"), ("states", "lift_m"),
                              ("cases", "factor")):
            rows = self.table("van_diesel", "--curve", curve)
            self.assertGreater(len(rows), 1)
            for row in rows:
                float(row[column])

    def test_file_page_and_text_are_kept_and_agree(self):
        done = damper("cover", "heavy_truck", "--out", "kept", cwd=self.folder)
        self.assert_status(done, 0)
        data = self.data("heavy_truck")
        with h5py.File(self.folder / "kept/heavy_truck_cover.h5") as file:
            self.assertEqual(file.attrs["format"], "damper cover")
            self.assertEqual(list(file["wear/clamp_load"]),
                             [p["clamp_load"] for p in data["wear"]["rows"]])
            self.assertEqual(file["wear/clamp_load"].attrs["units"], "N")
            self.assertEqual(list(file["release_worn/lift"]),
                             [p["lift"] for p in data["release_curves"]["worn"]["rows"]])
            self.assertEqual(file["measures/release_margin_new"][()],
                             self.measure(data, "release_margin_new"))
        page = (self.folder / "kept/heavy_truck_cover.html").read_text(encoding="utf-8")
        self.assertTrue("Clamp load and torque over wear" in page)
        self.assertFalse("://" in page, "the page asks for something elsewhere")
        text = (self.folder / "kept/heavy_truck_cover.txt").read_text(encoding="utf-8")
        self.assertIn(text.splitlines()[0], done.stdout)

    def test_measured_curves_in_the_spellings_of_benches(self):
        rows = self.table("car_petrol")
        spellings = (("wear [mm],clamp load [N]\n", ",", "."), ("Wear;Clamp load\nmm;kN\n", ";", ","),
                     ("plate travel (mm)\tforce (kN)\n", "\t", "."))
        for number, (head, apart, point) in enumerate(spellings):
            kilo = 1e-3 if "kN" in head else 1.0
            lines = [apart.join(f"{value:.6f}".replace(".", point) for value in
                                (2e3 * float(r["wear_m"]), 0.97 * kilo * float(r["clamp_load_N"])))
                     for r in rows]
            path = self.folder / f"bench_{number}.csv"
            path.write_text("# bench 7\n" + head + "\n".join(lines) + "\n", encoding="utf-8")
            data = self.data("car_petrol", "--clamp", path)
            self.assertEqual(len(data["measured"]), 1)
            self.assertAlmostEqual(data["measured"][0]["mean_deviation"], -0.03, places=6)
            self.assertEqual(self.grade(data, "clamp_load_deviation"), "good")

    def test_a_weak_spring_and_a_lost_lift_are_seen_in_measured_curves(self):
        rows = [r for r in self.table("car_petrol", "--curve", "release") if r["state"] == "new"]
        path = self.folder / "release.csv"
        path.write_text("travel [mm];release load [N];plate lift [mm]\n" + "\n".join(
            ";".join(f"{v:.6f}" for v in (1e3 * float(r["travel_m"]),
                                         0.7 * float(r["bearing_load_N"]),
                                         1e3 * 0.85 * float(r["lift_m"]))) for r in rows) + "\n",
                        encoding="utf-8")
        data = self.data("car_petrol", "--release", path)
        self.assertEqual([m["what"] for m in data["measured"]], ["release load", "plate lift"])
        self.assertAlmostEqual(data["measured"][1]["largest_deviation"], -0.15, places=5)
        self.assertEqual(self.grade(data, "plate_lift_deviation"), "watch")
        rows = self.table("car_petrol", "--release", path, "--curve", "measured")
        self.assertEqual({r["what"] for r in rows}, {"release load", "plate lift"})

    def test_words_that_do_not_fit_are_refused(self):
        self.refused(["car_petrol", "--torque", "20 N"], "--torque", "a torque")
        self.refused(["car_petrol", "--hot", "9000 degC"], "--hot", "800 degC")
        self.refused(["car_petrol", "--curve", "lift"], "--curve", "release")
        self.refused(["car_soft_long_idle"], "car_soft_long_idle", "a scenario or a vehicle")
        self.refused(["car_petrol", "--set", "cover.thicknes=2 mm"], "thickness")
        self.refused(["car_petrol", "--set", "cover.thickness=2.65 m"], "cover.thickness",
                     "at most 15 mm")
        self.refused(["car_petrol", "--set", "cover.set_deflection=1 mm", "--set",
                      "flywheel.face_ground=2 mm"], "cover.set_deflection", "presses")

    def test_a_vehicle_without_a_clutch_cover_is_told_what_to_add(self):
        source = damper("show", "car_petrol", "--format", "json")
        place = next(v["from"] for v in json.loads(source.stdout)["values"] if v["key"] == "class")
        vehicle = open(place.rsplit(":", 1)[0], encoding="utf-8").read()
        lines = [l for l in vehicle.splitlines() if not l.startswith(("cover", "facing"))]
        path = self.folder / "bare.toml"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        self.refused([path], "cover", "no clutch cover", "--set cover=NAME")
        self.refused([path, "--set", "cover=car_push"], "facing", "--set facing=NAME")
        done = damper("cover", path, "--set", "cover=car_push", "--set", "facing=car_organic")
        self.assert_status(done, 0)
        self.assert_status(damper("modes", path, "--gear", "2"), 0)

    def test_measured_files_that_do_not_fit_are_refused_with_their_place(self):
        path = self.folder / "bad.csv"
        path.write_text("wear [mm],clamp load [N]\n0,5000\n0.5,five\n", encoding="utf-8")
        self.refused(["car_petrol", "--clamp", path], "bad.csv:3")
        path.write_text("wear [mm],clamp load [mm]\n0,5000\n0.5,5100\n", encoding="utf-8")
        self.refused(["car_petrol", "--clamp", path], "bad.csv", "force")
        path.write_text("travel [mm],height [mm]\n0,1\n1,2\n", encoding="utf-8")
        self.refused(["car_petrol", "--release", path], "release load", "plate lift")
        path.write_text("travel [mm],lift [mm]\n-1,0\n1,0.2\n", encoding="utf-8")
        self.refused(["car_petrol", "--release", path], "bad.csv:2", "0 mm and more")
        path.write_text("wear [mm],clamp load [N]\n0,5000\n9,100\n", encoding="utf-8")
        self.refused(["car_petrol", "--clamp", self.folder / "none.csv"], "none.csv")

    def test_a_full_disk_leaves_the_older_result(self):
        self.assert_status(damper("cover", "car_petrol", "--out", "kept", cwd=self.folder), 0)
        before = (self.folder / "kept/car_petrol_cover.h5").read_bytes()
        done = damper("cover", "car_petrol", "--torque", "150 N m", "--out", "kept",
                      cwd=self.folder, preexec_fn=small_files)
        self.assert_status(done, 4)
        self.assertEqual((self.folder / "kept/car_petrol_cover.h5").read_bytes(), before)
