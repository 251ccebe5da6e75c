# SPDX-License-Identifier: MIT
"""damper diagnose --ask and --questions from outside."""
import json
import re
import subprocess
import tomllib
import unittest

from support import DAMPER, CommandTest, damper, environment

QUICK = ("--vehicles", "8", "--no-discs")


class Ask(CommandTest):
    def diagnosed(self, *words):
        done = damper("diagnose", *words, "--format", "json", cwd=self.folder)
        self.assert_status(done, 0)
        return json.loads(done.stdout)

    def test_asking_writes_a_complaint_that_is_taken(self):
        path = self.folder / "asked.toml"
        # Nonsense is asked again; Enter leaves an answer open; the end of the input ends it.
        answers = "99\nx\n9\n2\nMy case\n\n1\n\n" + "\n" * 3
        done = subprocess.run([DAMPER, "diagnose", "--ask", str(path)], input=answers, text=True,
                              capture_output=True, env=environment(), timeout=60)
        self.assertEqual(done.returncode, 0, done.stderr)
        asked = tomllib.loads(path.read_text())
        self.assertEqual(asked["title"], "My case")
        self.assertEqual(len(asked["answers"]), 1)
        self.assertIn("The input ended here", done.stdout)
        self.assertIn("van_diesel: Rear-driven light van", done.stdout)
        before = self.diagnosed(path, *QUICK)
        self.assertFalse([one for one in before["figures"] if "seen" in one])
        # What is recorded, and how, is the same in the file and in what to find out next.
        steps = next(one["steps"] for one in before["tests"] if one["name"] == "recordings")
        self.assertTrue(steps[1].startswith("flywheel: speed of the flywheel"))
        for step in steps:
            self.assertIn(step.split(": ", 1)[-1].rstrip("."), path.read_text())
        # Every line that is left open is one that is taken once it is filled in.
        text = path.read_text()
        for key, value in (("engine_idle_speed", "795 rpm"), ("weakest_cylinder", "0.98"),
                           ("idle_raised", "less"), ("hub_by_hand", "as_new")):
            text, count = re.subn(f'^# {key} = "([^"]*)"', lambda found: f'{key} = "' + (
                found.group(1).replace("…", value.split()[0]) if "…" in found.group(1) else value)
                + '"', text, flags=re.MULTILINE)
            self.assertEqual(count, 1, key)
        path.write_text(text)
        after = self.diagnosed(path, *QUICK)
        self.assertEqual({one["name"] for one in after["figures"] if "seen" in one},
                         {"engine_idle_speed", "weakest_cylinder"})
        self.assertGreater(len(after["figures"]), len(after["tests"][0]["figures"]))
        # An open line that is only uncommented is refused, not guessed.
        path.write_text(re.sub('^# (input_run_down = )', r'\1', text, flags=re.MULTILINE))
        refused = damper("diagnose", path, *QUICK)
        self.assert_status(refused, 2)
        self.assertIn("input_run_down", refused.stderr)
        path.write_text(text)
        self.assertNotIn("name) A number", done.stdout)  # what is read stands behind its prompt

    def ask(self, path, answers):
        return subprocess.run([DAMPER, "diagnose", "--ask", path], input=answers, text=True,
                              capture_output=True, cwd=self.folder, env=environment(), timeout=60)

    def test_asking_goes_on_with_a_file_and_loses_nothing_of_it(self):
        first = self.ask("case.toml", "judder\ncar_petrol\nMine\n90 000 km\n2\n")
        self.assert_status(first, 0)
        written = (self.folder / "case.toml").read_text()
        self.assertIn("Measured, nothing removed", written)
        self.assertIn("disc_runout", written)
        # Nothing answered, nothing touched.
        nothing = self.ask("case.toml", "")
        self.assert_status(nothing, 0)
        self.assertIn("is as it was", nothing.stdout)
        self.assertEqual((self.folder / "case.toml").read_text(), written)
        # What --ask wrote itself goes on without a copy; the first question that is open comes.
        second = self.ask("case.toml", "growing\n")
        self.assert_status(second, 0)
        self.assertIn("How did the complaint come?", second.stdout)
        self.assertNotIn("A title", second.stdout)
        self.assertNotIn("Which starts from rest", second.stdout)
        self.assertEqual(tomllib.loads((self.folder / "case.toml").read_text())["answers"],
                         {"take_up_when": "hot", "since": "growing"})
        self.assertEqual([one.name for one in self.folder.glob("*before*")], [])
        # A person's own file keeps every value; its comments stay in the copy.
        (self.folder / "of").mkdir()
        (self.folder / "of/seat.csv").write_text("time [s],acceleration [g]\n0,0\n1,1\n2,0\n3,1\n")
        own = ('# seen by me\ntitle = "Mine"\norigin = "me"\nvehicle = "car_petrol"\n'
               'symptom = "judder"\nflywheel_teeth = 135\ntruth = "none"\n[answers]\n'
               'since = "unknown"\nsmell = "often"\n[measured]\ndisc_runout = "0.3 mm"\n'
               'slip_order_share = 0.4\n[recordings]\nseat_acceleration = "of/seat.csv"\n'
               '[change]\n"body.mass" = "1500 kg"\n[repair]\ndone = "New clutch"\n'
               'complaint = "gone"\nrenewed = ["disc", "cover"]\n[repair.measured]\n'
               'disc_runout = "0.1 mm"\n[repair.recordings]\nseat_acceleration = "of/new.csv"\n')
        (self.folder / "of/new.csv").write_text((self.folder / "of/seat.csv").read_text() + "4,0\n")
        for count in (1, 2):
            (self.folder / "own.toml").write_text(own)
            # The mileage comes first, then nine questions before "Is the gearbox off?".
            done = self.ask("own.toml", "\n" + "\n" * 9 + "yes\nglazed\n")
            self.assert_status(done, 0)
            copy = self.folder / ("own.toml.before" + ("2" if count == 2 else ""))
            self.assertEqual(copy.read_text(), own)
        got, was = tomllib.loads((self.folder / "own.toml").read_text()), tomllib.loads(own)
        self.assertEqual(got["answers"], {"smell": "often", "facing_look": "glazed"})
        was["measured"]["slip_order_share"] = "0.4"  # as text it is the same
        for key in set(was) - {"answers"}:
            self.assertEqual(got[key], was[key], key)
        # What is no complaint is refused and stays.
        (self.folder / "own.toml").write_text("title = 3\n")
        self.assert_status(self.ask("own.toml", "1\n"), 2)
        self.assertEqual((self.folder / "own.toml").read_text(), "title = 3\n")

    def test_asking_gives_up_on_endless_nonsense(self):
        for answers, said in (("\n" * 99, "name no symptom"), ("maybe\n" * 99, "name no symptom"),
                              ("9\n" + "\n" * 99, "name no vehicle"),
                              ("x" * 100000, "more than 4096 characters")):
            done = self.ask("none.toml", answers)
            self.assert_status(done, 2)
            self.assertIn(said, done.stderr)
            self.assertFalse((self.folder / "none.toml").exists())
        done = self.ask("some.toml", "judder\ncar_petrol\n" + "maybe\n" * 999)
        self.assert_status(done, 0)
        self.assertEqual(tomllib.loads((self.folder / "some.toml").read_text())["answers"], {})

    def test_what_is_asked_can_be_seen_beforehand(self):
        done = damper("diagnose", "--questions", "rattle_at_idle", "--vehicle", "van_diesel")
        self.assert_status(done, 0)
        places = [done.stdout.index(text) for text in (
            "Asked of the driver", "Tried, nothing removed", "(pedal_down)",
            "Mind: Neutral", "[ ] It stops (gone)", "Measured, nothing removed", "Gearbox off",
            "Figures, [measured]", "engine_idle_speed = … rpm", "To be recorded", "flywheel = ",
            "sound = ")]
        self.assertEqual(places, sorted(places))
        data = json.loads(damper("diagnose", "--questions", "Judder", "--format", "json").stdout)
        kinds = [one["kind"] for one in data["questions"]]
        order = ["asked", "tried", "measured", "opened"]
        self.assertEqual(kinds, sorted(kinds, key=order.index))
        self.assertEqual(data["vehicle"], "car_petrol")
        self.assertIn("seat_acceleration", [one["name"] for one in data["recordings"]])
        for words, said in ((("--questions", "juder"), "did you mean judder?"),
                            (("--questions", "judder", "--vehicle", "car_petrl"), "car_petrl"),
                            (("--vehicle", "car_petrol"), "goes with --questions")):
            done = damper("diagnose", *words)
            self.assert_status(done, 2)
            self.assertIn(said, done.stderr)


if __name__ == "__main__":
    unittest.main()
