# SPDX-License-Identifier: MIT
"""damper match from outside: truths put in by simulation, what is not told, refusals."""
import json
import tomllib
import unittest

from support import SOURCE, CommandTest, damper

SHORT = ("--set", "manoeuvre.length=0.9 s")
GAIN = ("--free", "engine.cylinder_gains=[1, 0.3..1, 1, 1]")
FRICTION = ("--free", "disc.stages[0].hysteresis=times 0.5..5")


class Match(CommandTest):
    def matched(self, *words, status=0):
        done = damper("match", *words, "--format", "json", cwd=self.folder)
        self.assert_status(done, status)
        return json.loads(done.stdout)

    def test_the_weak_cylinder_of_a_recording_is_found_within_its_interval(self):
        """tools/make_recordings put in 0.7. The table that is written runs, as a scenario's."""
        data = self.matched("car_rattles_and_shakes", *GAIN, *SHORT, "-o", "out")
        self.assertTrue(data["explained"])
        value = data["values"][0]
        self.assertEqual((value["name"], value["known"]), ("engine.cylinder_gains[1]", "measured"))
        self.assertLess(value["low"], 0.7)
        self.assertGreater(value["high"], 0.7)
        self.assertLess(value["high"] - value["low"], 0.2)
        table = (self.folder / "out/car_rattles_and_shakes_match.toml").read_text()
        self.assertAlmostEqual(tomllib.loads(table)["change"]["engine.cylinder_gains"][1],
                               value["value"], 12)
        scenario = (SOURCE / "scenarios/car_idle_hot.toml").read_text()
        self.assertNotIn("[change]", scenario)
        (self.folder / "weak.toml").write_text(scenario + "\n" + table)
        done = damper("run", "weak.toml", *SHORT, "--format", "json", cwd=self.folder)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        page = (self.folder / "out/car_rattles_and_shakes_match.html").read_text()
        self.assertIn("engine.cylinder_gains[1]", page)

    def test_what_figures_cannot_tell_apart_is_named_and_threads_do_not_matter(self):
        """The friction of a stage is its hysteresis times its friction factor, whichever of them is
        changed: no figure tells them apart, and along the way that is named the product stays."""
        words = ("car_idle_hot", *SHORT, "--free", "disc.stages[0].hysteresis=times 0.4..2.5",
                 "--free", "disc.stages[0].friction_factor=times 0.4..2.5",
                 "--measured", "transfer=0.33 +- 2 %", "--measured", "half_order_angle=0.001 deg")
        one = self.matched(*words, "--threads", "1", status=0)
        self.assertEqual(one, self.matched(*words, "--threads", "2"))
        named = {part["name"] for tie in one["not_told"] for part in tie}
        self.assertEqual(named, {"disc.stages[0].hysteresis", "disc.stages[0].friction_factor"})
        self.assertIn("cannot be told apart", " ".join(one["not_told_words"]))
        product = 1.0
        for part in one["not_told"][0]:
            product *= part["to"] / part["from"]
        self.assertAlmostEqual(product, 1.0, delta=0.02)

    def test_the_run_is_in_the_state_that_a_complaint_measured(self):
        """Consumers and idle speed that were measured are no signs to be explained: the run is
        there, as one with --set is. What only another complaint knows is not met."""
        case = ('title = "x"\nvehicle = "car_petrol"\nsymptom = "rattle at idle"\n[measured]\n'
                'transfer = "0.3"\n')
        (self.folder / "a.toml").write_text(
            case + 'consumers_torque = "9 N m"\nengine_idle_speed = "700 rpm"\n')
        (self.folder / "b.toml").write_text(
            case + '[change]\n"manoeuvre.consumers" = "9 N m"\n"manoeuvre.speed" = "700 rpm"\n')
        one, two = (self.matched(name, *SHORT, *FRICTION) for name in ("a.toml", "b.toml"))
        self.assertEqual(one["values"], two["values"])
        self.assertEqual([seen["name"] for seen in one["figures"] if "seen" in seen or
                          seen.get("measured") is not None], ["transfer"])
        self.assertIn("manoeuvre.consumers = 9 N m, as the complaint has it",
                      " ".join(one["notes"]))
        free = self.matched("a.toml", *SHORT, "--free", "manoeuvre.consumers=0 N m..20 N m",
                            "--measured", "transfer=0.26 +- 0.02")
        self.assertAlmostEqual(free["values"][0]["value"], 9.0, delta=2.0)

    def test_figures_of_no_such_vehicle_are_told_with_status_1(self):
        data = self.matched("car_idle_hot", *SHORT, *FRICTION, "--measured",
                            "half_order_angle=2 deg +- 5 %", "--measured", "transfer=0.5",
                            status=1)
        self.assertFalse(data["explained"])
        self.assertIn("No vehicle in these ranges", data["headline"])
        self.assertIn("half_order_angle", data["headline"])

    def test_slips_are_told_with_what_was_expected(self):
        base = ("match", "car_idle_hot", *SHORT)
        for words, said in (
                ((), "nothing is free"),
                (FRICTION, "1 value is free, but only 0 figures were measured"),
                ((*FRICTION, *GAIN, "--measured", "transfer=0.5"), "2 values are free, but only 1"),
                ((*FRICTION, "--measured", "transfr=0.5"), "did you mean transfer?"),
                ((*FRICTION, "--measured", "transfer=3 kg"), "which is a mass"),
                ((*FRICTION, "--measured", "transfer=0.5 +- 0 %"), "more than zero"),
                ((*FRICTION, "--measured", "transfer=0.5 +-"), "VALUE +- ERROR"),
                ((*FRICTION, "--measured", "transfer"), "NAME=VALUE"),
                ((*FRICTION, "--measured", "impact_energy_rate=3 W"), "no error of measurement is known"),
                ((*FRICTION, *FRICTION, "--measured", "transfer=0.5"), "comes twice"),
                ((*FRICTION, "--measured", "transfer=0.5", "--error", "x=5 %"), "was not measured"),
                (("--free", "a.b=1..2", "--measured", "transfer=0.5"), "--free: a.b: found the unk"),
                (("--free", "disc=a|b", "--measured", "transfer=0.5"), "choices"),
                (("--free", "engine.cylinder_gains=[1, 1]"), "no range in the list"),
                ((*FRICTION, "--recording", "flywhel=x.csv"), "did you mean flywheel?"),
                ((*FRICTION, "--recording", "flywheel=x.csv"), "x.csv")):
            done = damper(*base, *words, cwd=self.folder)
            self.assertIn(said, done.stderr, words)
            self.assertIn(done.returncode, (2, 4), words)


if __name__ == "__main__":
    unittest.main()
