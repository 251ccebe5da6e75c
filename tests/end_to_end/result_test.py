# SPDX-License-Identifier: MIT
"""What the command leaves and prints when all goes well."""
import csv
import io
import json
import math
import re

import h5py
import numpy as np

from support import BAND, SOURCE, CommandTest, damper


def measures(record):
    return {m["name"]: m["value"] for m in record["measures"]}


class Result(CommandTest):
    def run_json(self, path, *words, name="out"):
        done = damper("run", path, "--format", "json", "--out", self.folder / name, *words)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return json.loads(done.stdout)

    def test_a_run_leaves_a_result_and_a_page_and_nothing_else(self):
        done = damper("run", self.scenario(), "--out", self.folder / "out")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        self.assertEqual(sorted(p.name for p in (self.folder / "out").iterdir()),
                         ["short.h5", "short.html"])
        self.assertIn(str(self.folder / "out/short.h5"), done.stdout)
        self.assertEqual(done.stderr, "")

    def test_no_report_leaves_out_the_page(self):
        damper("run", self.scenario(), "--out", self.folder / "out", "--no-report")
        self.assertEqual([p.name for p in (self.folder / "out").iterdir()], ["short.h5"])

    def test_quiet_prints_nothing(self):
        done = damper("run", self.scenario(), "--out", self.folder / "out", "--quiet")
        self.assertEqual((done.stdout, done.stderr), ("", ""))
        self.assertTrue((self.folder / "out/short.h5").is_file())

    def test_a_stalled_engine_ends_with_status_3_and_keeps_what_there_is(self):
        stall = ("--set", "manoeuvre.to=-400 N m", "--set", "manoeuvre.length=5 s")
        done = damper("run", "car_back_out_2", "--out", self.folder / "out", *stall)
        self.assert_status(done, 3)
        self.assertIn("the engine came to rest at t = ", done.stderr)
        self.assertEqual(sorted(p.name for p in (self.folder / "out").iterdir()),
                         ["car_back_out_2.incomplete.h5", "car_back_out_2.incomplete.html"])
        with h5py.File(self.folder / "out/car_back_out_2.incomplete.h5") as file:
            self.assertTrue(np.all(file["signals/flywheel_speed"][...] > 0))

    def test_a_periodic_start_is_told_and_stored(self):
        record = self.run_json("car_idle_hot", "--start", "periodic", "--no-report")
        start = record["solver"]["start"]
        self.assertTrue(start["periodic"])
        self.assertEqual(start["period_cycles"], 0.25)  # four cylinders, all alike
        self.assertLess(start["multiplier"], 1.0)
        self.assertEqual(record["measured_from_s"], 0.0)
        with h5py.File(self.folder / "out/car_idle_hot.h5") as file:
            self.assertEqual(file["solver"].attrs["start_period"], start["period_s"])
        # The same motion, come to by settling.
        settled = measures(self.run_json("car_idle_hot", "--set", "manoeuvre.length=8 s",
                                         "--no-report", name="settled"))
        name = "input_shaft_acceleration_order"
        self.assertAlmostEqual(measures(record)[name] / settled[name], 1.0, delta=0.02)

    def test_a_rattle_is_run_until_its_rates_are_certain(self):
        record = self.run_json("car_idle_no_idle_stage", "--certain", "5%", "--no-report")
        stop = record["solver"]["stop"]
        self.assertEqual(stop["reason"], "certain")
        for measure in record["measures"]:
            if measure["name"] in ("impact_rate", "impact_energy_rate"):
                self.assertLessEqual(measure["half_width"], 0.05 * measure["value"])
                self.assertEqual(measure["confidence"], 0.95)
                self.assertGreater(measure["batches"], 9)
        with h5py.File(self.folder / "out/car_idle_no_idle_stage.h5") as file:
            self.assertEqual(file["solver"].attrs["stop_reason"], "certain")

    def test_a_rattle_that_stays_uncertain_ends_at_the_longest_time_and_says_so(self):
        record = self.run_json("car_idle_no_idle_stage", "--certain", "0.2%", "--longest", "2 s",
                               "--no-report")
        self.assertEqual(record["solver"]["stop"]["reason"], "longest")
        self.assertTrue(any("0.2 %" in text for text in record["solver"]["warnings"]),
                        record["solver"]["warnings"])

    def test_the_default_folder_is_damper_out(self):
        damper("run", self.scenario(), "--quiet", cwd=self.folder)
        self.assertTrue((self.folder / "damper_out/short.h5").is_file())

    def test_one_scenario_prints_one_object_and_several_an_array(self):
        one = self.run_json(self.scenario())
        self.assertIsInstance(one, dict)
        other = self.scenario("other")
        many = self.run_json(self.scenario(), other, name="many")
        self.assertEqual(len(many), 2)
        self.assertEqual(measures(many[0]), measures(one))

    def test_the_file_and_the_printed_result_agree(self):
        record = self.run_json(self.scenario())
        with h5py.File(self.folder / "out/short.h5") as file:
            time = file["signals/time"][...]
            self.assertAlmostEqual(time[-1], 0.9, delta=1e-3)
            self.assertTrue(np.all(np.diff(time) > 0))
            stored = set(file["measures"])
        self.assertTrue(set(measures(record)) <= stored, (set(measures(record)), stored))

    def test_set_changes_the_result_and_is_kept_in_it(self):
        path = self.scenario()
        before = measures(self.run_json(path))
        again = measures(self.run_json(path, name="again"))
        after = measures(self.run_json(path, "--set", "conditions.gearbox_oil=20 degC",
                                       name="cold"))
        self.assertEqual(before, again)
        self.assertNotEqual(before, after)
        content = (self.folder / "cold/short.h5").read_bytes()
        self.assertIn(b"conditions.gearbox_oil", content)
        self.assertIn(b"20 degC", content)

    def test_a_band_that_is_missed_gives_status_1(self):
        path = self.scenario()
        record = self.run_json(path)
        name, value = next((n, v) for n, v in measures(record).items() if v > 0)
        units = next(m["units"] for m in record["measures"] if m["name"] == name)
        self.assertNotEqual(units, "1")
        low, high = (f"{factor * value:.6g} {self.as_written(units)}" for factor in (2, 3))
        done = damper("run", self.scenario("banded", more=BAND.format(
            measure=name, low=low, high=high)), "--out", self.folder / "banded")
        self.assert_status(done, 1)
        self.assertIn(name.split("_")[0], done.stdout.lower())

    @staticmethod
    def as_written(units):
        """Units of a result as a description file has them."""
        return units.replace("N.m.s", "N m s").replace("N.m", "N m")

    def test_a_band_may_be_set_on_every_measure_that_is_taken_and_on_no_other(self):
        """The list of known measures follows the measures."""
        seen = {}
        for name in ("car_idle_hot", "car_tip_in_2", "car_back_out_2"):
            record = self.run_json(name, name=name)
            seen.update((m["name"], m["units"]) for m in record["measures"])
        self.assertGreater(len(seen), 20)
        more = "".join(f"\n[expect.{name}]\nwithin = [\"0 {units}\", \"1 {units}\"]\n"
                       'source = "invented for this test"\n' if units != "1" else
                       f'\n[expect.{name}]\nwithin = [0, 1]\nsource = "invented for this test"\n'
                       for name, units in ((n, self.as_written(u)) for n, u in seen.items()))
        done = damper("show", self.scenario("banded", more=more))
        self.assert_status(done, 0)
        done = damper("show", self.scenario("wrong", more=BAND.format(
            measure="transfr", low="0 s", high="1 s")))
        self.assert_status(done, 2)
        self.assertIn('"transfer"', done.stderr)

    def test_a_healthy_car_at_idle_gives_status_0(self):
        done = damper("run", "car_idle_hot", "--out", self.folder / "out")
        self.assert_status(done, 0)

    def test_a_car_without_idle_stage_gives_status_1(self):
        done = damper("run", "car_idle_no_idle_stage", "--out", self.folder / "out")
        self.assert_status(done, 1)

    def test_the_highest_status_of_several_wins_and_the_others_are_run(self):
        good = self.scenario()
        bad = self.folder / "bad.toml"
        bad.write_text('titel = "x"\n')
        done = damper("run", bad, good, "--out", self.folder / "out")
        self.assert_status(done, 2)
        self.assertTrue((self.folder / "out/short.h5").is_file())

    def test_the_page_can_be_written_later_from_the_file(self):
        damper("run", self.scenario(), "--out", self.folder / "out", "--quiet")
        first = (self.folder / "out/short.html").read_text(encoding="utf-8")
        page = self.folder / "page.html"
        done = damper("report", self.folder / "out/short.h5", "--out", page)
        self.assert_status(done, 0)
        self.assertEqual(done.stdout, f"Written: {page}\n")
        self.assertEqual(page.read_text(encoding="utf-8"), first)
        self.assertNotRegex(first, r'(src|href)="(https?:)?//')

    def test_the_page_never_takes_the_place_of_its_result(self):
        damper("run", self.scenario(), "--out", self.folder / "out", "--quiet")
        result = self.folder / "out/short.h5"
        before = result.read_bytes()
        done = damper("report", result, "--out", result)
        self.assert_status(done, 2)
        self.assertEqual(result.read_bytes(), before)

    def test_two_runs_leave_the_same_but_for_time_and_host(self):
        path = self.scenario()
        contents = []
        for _ in range(2):
            damper("run", path, "--out", "out", "--quiet", "--no-report", cwd=self.folder)
            contents.append(self.content(self.folder / "out/short.h5"))
        self.assertEqual(contents[0], contents[1])

    @staticmethod
    def content(path):
        """Every dataset and attribute by name, bytes as they are; not those of the session."""
        found = {}

        def visit(name, item):
            if re.match(r"(created|session|provenance|run_info)\b", name):
                return
            if isinstance(item, h5py.Dataset):
                values = item[...]  # texts are pointers here, so their bytes say nothing
                found[name] = values.tobytes() if values.dtype.kind in "iuf" else repr(values.tolist())
            for key, value in item.attrs.items():
                if key not in ("REFERENCE_LIST", "DIMENSION_LIST"):
                    found[f"{name}@{key}"] = repr(value)

        with h5py.File(path) as file:
            file.visititems(visit)
            for key, value in file.attrs.items():
                found[f"@{key}"] = repr(value)
        return found

    def test_a_loop_is_the_same_in_json_and_csv(self):
        as_json = json.loads(damper("loop", "car_soft_long_idle", "--format", "json").stdout)
        text = damper("loop", "car_soft_long_idle", "--format", "csv").stdout
        rows = list(csv.DictReader(io.StringIO(text)))
        self.assertEqual(len(rows), len(as_json["twist"]))
        self.assertGreater(len(rows), 20)
        for row, twist, rising, falling in zip(rows, as_json["twist"], as_json["torque_rising"],
                                               as_json["torque_falling"]):
            self.assertTrue(math.isclose(float(row["twist_rad"]), twist, rel_tol=1e-8, abs_tol=1e-12))
            self.assertTrue(math.isclose(float(row["torque_rising_Nm"]), rising, rel_tol=1e-8, abs_tol=1e-9))
            self.assertGreaterEqual(rising, falling - 1e-9)

    def test_a_loop_of_a_vehicle_and_of_a_scenario_is_that_of_their_disc(self):
        disc = damper("loop", "car_soft_long_idle", "--format", "csv")
        self.assert_status(disc, 0)
        for word in ("car_petrol", "car_idle_hot"):
            self.assertEqual(damper("loop", word, "--format", "csv").stdout, disc.stdout)

    def test_a_loop_follows_set(self):
        key = "stages[0].stiffness"
        soft = json.loads(damper("loop", "car_soft_long_idle", "--format", "json",
                                 "--set", f"{key}=0.2 N m/deg").stdout)
        firm = json.loads(damper("loop", "car_soft_long_idle", "--format", "json",
                                 "--set", f"{key}=0.4 N m/deg").stdout)
        at_end = [{c["name"]: c["torque"] for c in loop["corners"]}["idle drive end"]
                  for loop in (soft, firm)]
        self.assertAlmostEqual(at_end[1] / at_end[0], 2.0, delta=0.01)

    def test_a_loop_is_kept_in_the_folder_asked_for(self):
        for form, ending in (("text", "txt"), ("json", "json"), ("csv", "csv")):
            done = damper("loop", "car_soft_long_idle", "--format", form, "--out", self.folder / "out")
            self.assert_status(done, 0)
            kept = (self.folder / f"out/car_soft_long_idle_loop.{ending}").read_text()
            self.assertTrue(done.stdout.startswith(kept))
        self.assertEqual(len(list((self.folder / "out").iterdir())), 3)

    def test_the_last_lines_say_why_the_exit_status_is_1(self):
        more = BAND.format(measure="twist_mean", low="1 rad", high="2 rad")
        done = damper("run", self.scenario(more=more), "--out", self.folder / "out", "--no-report")
        self.assert_status(done, 1)
        last = done.stdout.rstrip().split("Exit status 1: ")
        self.assertEqual(len(last), 2, done.stdout)
        self.assertIn("a band of the scenario is missed (Twist mean)", " ".join(last[1].split()))
        done = damper("run", self.scenario(), "--out", self.folder / "out", "--no-report")
        self.assertEqual("Exit status 1: a limit" in done.stdout, done.returncode == 1)
        self.assertIn("Exit status: 0 good or watch; 1 a limit missed", damper("run", "--help").stdout)

    def test_what_the_command_line_changed_stands_below_the_title(self):
        more = BAND.format(measure="twist_mean", low="1 rad", high="2 rad")
        done = damper("run", self.scenario(more=more), "--set", "conditions.gearbox_oil=70 degC",
                      "--set", 'manoeuvre.pedal="up"', "--out", self.folder / "out")
        lines = done.stdout.splitlines()
        self.assertEqual(lines[1], "  * changed on the command line: conditions.gearbox_oil = 70 degC")
        self.assertEqual(lines[2], "  * changed on the command line: manoeuvre.pedal = up")
        self.assertNotIn("Expected by the scenario", done.stdout)
        page = (self.folder / "out/short.html").read_text(encoding="utf-8")
        self.assertIn('</h1><p class="changed">changed on the command line: conditions.gearbox_oil', page)

    def test_values_that_look_like_a_slip_are_the_first_thing_to_mind(self):
        done = damper("run", self.scenario(), "--set", "engine.idle_speed=300 rpm",
                      "--out", self.folder / "out")
        after = done.stdout.split("Before you act on it\n")[1].splitlines()
        self.assertEqual(after[0], "  - Check the description: an idle speed of 300 rpm is unusual.")
        page = (self.folder / "out/short.html").read_text(encoding="utf-8")
        self.assertIn("an idle speed of 300 rpm is unusual", page)

    def test_show_lists_what_is_built_in(self):
        done = damper("show")
        self.assert_status(done, 0)
        self.assertEqual(damper("show", "models").stdout, done.stdout)
        for folder in ("scenarios", "models/vehicles", "models/discs", "models/engines",
                       "models/gearboxes", "models/oils", "models/axles", "models/tyres",
                       "scenarios/complaints"):
            for path in (SOURCE / folder).glob("*.toml"):
                self.assertRegex(done.stdout, rf"(?m)^  {path.stem}  +[A-Z]")
        self.assertRegex(done.stdout, r"(?m)^Studies\n  car_idle_discs  +compare: [A-Z]")
        self.assertRegex(done.stdout, r"(?m)^Discs, light van\n  van_")
        listed = json.loads(damper("show", "--format", "json").stdout)
        self.assertIn({"name": "van_diesel", "title": "Rear-driven light van, diesel four, six speeds"},
                      listed["vehicles"])
        self.assertTrue(listed["complaints"] and listed["studies"])

    def test_the_rows_of_a_loop_hold_every_corner_and_no_twist(self):
        text = damper("loop", "car_three_stage").stdout
        corners, rows = text.split("torque, rising")
        printed = [line.split()[0] for line in rows.splitlines()[2:] if line.strip()]
        for twist in re.findall(r"(-?\d+\.\d{3}) +-?\d+\.\d\d$", corners, re.M):
            self.assertIn(twist, printed)
        self.assertIn("0.000", printed)
        self.assertEqual(len(printed), len(set(printed)))
        exact = json.loads(damper("loop", "car_three_stage", "--format", "json").stdout)
        self.assertIn(0.0, exact["twist"])
        for corner in exact["corners"]:
            self.assertIn(corner["twist"], exact["twist"])

    def test_show_names_the_file_and_line_of_a_value(self):
        done = damper("show", "car_idle_hot", "--format", "json")
        self.assert_status(done, 0)
        rows = {row["key"]: row for row in json.loads(done.stdout)["values"]}
        self.assertIn("conditions.gearbox_oil", rows)
        self.assertRegex(rows["conditions.gearbox_oil"]["from"], r"car_idle_hot\.toml:\d+$")
        self.assertIn("80", rows["conditions.gearbox_oil"]["value"])
        self.assertEqual(rows["engine.combustion.intake_pressure"]["value"], "0.35 bar")
        text = damper("show", "car_idle_hot").stdout
        self.assertRegex(text, r"(?m)^conditions\.gearbox_oil +80 degC +scenarios/car_idle_hot\.toml:\d+$")
        self.assertRegex(text, r"(?m) models/discs/car_soft_long_idle\.toml:\d+$")
        done = damper("show", "car_petrol", "--set", "body.mass=1500 kg")
        self.assert_status(done, 0)
        self.assertRegex(done.stdout, r"body\.mass +1500 kg +--set")
