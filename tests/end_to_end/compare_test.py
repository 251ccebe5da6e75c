# SPDX-License-Identifier: MIT
"""damper compare: which disc, and why."""
import csv
import io
import json
import resource
import signal
import time

from support import CommandTest, damper, start


class Compare(CommandTest):
    def compare(self, *words, status=0):
        done = damper("compare", *words)
        self.assert_status(done, status)
        return done.stdout

    def as_json(self, *words, status=0):
        return json.loads(self.compare(*words, "--format", "json", status=status))

    def test_the_choice_is_explained_and_the_page_stands_alone(self):
        out = self.folder / "out"
        text = self.compare("car_idle_hot", "car_idle_consumers", "--disc", "car_soft_long_idle",
                            "--disc", "car_no_idle_stage", "--out", out, "--threads", 2)
        flat = " ".join(text.split())
        self.assertIn("Keep car_soft_long_idle: it is good in everything; worst is", flat)
        self.assertRegex(flat, r"2\. car_no_idle_stage: misses \d+ limits of \d+; worst is .* in "
                               r"car_idle_consumers, [\d.]+ per second against 50 \(bad above 150\)")
        self.assertRegex(flat, r"Worse than the fitted disc: .* \(bad instead of good\)")
        self.assertEqual(sorted(p.name for p in out.iterdir()),
                         ["compare.csv", "compare.html", "compare.json", "compare.txt"])
        page = (out / "compare.html").read_text(encoding="utf-8")
        for word in ("Bench loops over each other", "Worst margins", "car_no_idle_stage"):
            self.assertIn(word, page)
        for outside in ("src=\"http", "href=\"http", "@import"):
            self.assertNotIn(outside, page)
        rows = list(csv.DictReader(io.StringIO((out / "compare.csv").read_text(encoding="utf-8"))))
        self.assertEqual({row["option"] for row in rows},
                         {"car_soft_long_idle", "car_no_idle_stage"})
        for row in rows:
            if row["grade"]:
                float(row["value"]), float(row["good"]), float(row["margin"])

    def test_no_disc_that_meets_all_limits_gives_status_1_and_says_so(self):
        text = self.compare("car_idle_cold", "--disc", "car_no_idle_stage", status=1)
        self.assertIn("No disc meets all limits", text)

    def test_without_a_disc_all_built_in_ones_of_the_class_are_compared(self):
        result = self.as_json("van_idle_hot")
        names = {one["name"] for one in result["options"]}
        # The small damper is made for behind a two-mass flywheel.
        self.assertEqual(names, {"van_firm_short_idle", "van_no_idle_stage", "van_soft_long_idle"})
        self.assertEqual([one["name"] for one in result["options"] if one["fitted"]],
                         ["van_soft_long_idle"])

    def test_conditions_and_changes_have_names_and_lists_in_them_stay_whole(self):
        result = self.as_json(
            "car_idle_hot", "--change", "softer: disc.stages[0].stiffness=times 0.8, "
            "disc.stages[0].hysteresis = times 1.2",
            "--condition", "weak: engine.cylinder_shares=[1.15, 0.95, 0.95, 0.95], "
            "conditions.gearbox_oil=60 degC", "--condition", "worn: cause=idle_friction_stuck",
            status=None)
        self.assertEqual([one["name"] for one in result["options"]], ["as fitted", "softer"])
        self.assertEqual([len(one["changes"]) for one in result["options"]], [0, 2])
        weak = result["conditions"][0]["changes"]
        self.assertEqual([one["key"] for one in weak],
                         ["engine.cylinder_shares", "conditions.gearbox_oil"])
        self.assertEqual(weak[0]["value"], "[1.15, 0.95, 0.95, 0.95]")
        self.assertEqual(result["conditions"][1]["in_fitted_disc_alone"],
                         ["disc.stages[0].hysteresis"])

    def test_a_new_disc_has_no_cause_that_sits_in_the_fitted_one(self):
        short = ("--set", "manoeuvre.length=0.7 s")
        result = self.as_json("car_idle_hot", "--disc", "car_soft_long_idle", "--cause",
                              "idle_friction_stuck", *short, status=None)
        grades = {one["option"]: one["grade"] for one in result["ranking"]}
        self.assertEqual(grades, {"car_soft_long_idle": "good", "as fitted": "bad"})
        self.assertIn("in the fitted disc alone", " ".join(result["choice"]))

    def assert_status(self, done, status):
        if status is not None:
            super().assert_status(done, status)

    def test_a_disc_from_a_file_beside_the_user(self):
        disc = self.folder / "mine.toml"
        source = damper("show", "models", "--format", "json")
        self.assertEqual(source.returncode, 0)
        import support
        text = (support.SOURCE / "models/discs/car_firm_short_idle.toml").read_text()
        disc.write_text(text, encoding="utf-8")
        done = damper("compare", "car_idle_hot", "--disc", "mine.toml", "--disc",
                      "car_firm_short_idle", "--format", "json", cwd=self.folder)
        variants = json.loads(done.stdout)["variants"]
        by_name = {one["option"]: one["measures"] for one in variants}
        self.assertEqual(by_name["mine"], by_name["car_firm_short_idle"])

    def test_a_variant_that_cannot_be_read_is_told_and_the_rest_ranked(self):
        done = damper("compare", "car_idle_hot", "--disc", "car_three_stage", "--disc",
                      "car_no_idle_stage", "--condition",
                      "second: disc.stages[1].stiffness=times 0.9")
        self.assert_status(done, 2)
        flat = " ".join(done.stdout.split())
        self.assertIn("car_no_idle_stage in car_idle_hot (second), not read", flat)
        self.assertIn("car_three_stage", flat.split("3. ")[0])

    def test_slips_on_the_command_line_say_how_to_mend_them(self):
        for words, said in ((("--condition", "cold"), "NAME: KEY=VALUE"),
                            (("--condition", ": a=b"), "name is missing"),
                            (("--condition", "x: cause=no_such_cause"), "no_such_cause"),
                            (("--change", "x: stiffness"), "no KEY=VALUE"),
                            (("--disc", "car_soft"), "car_soft_long_idle"),
                            (("--disc", "car_petrol"), "needs a disc"),
                            (("--condition", "x:", "--condition", "x:"), "two conditions"),
                            (("--disc", "car_rigid_hub", "--disc", "car_rigid_hub"), "two discs"),
                            (("--threads", "0"), "--threads")):
            done = damper("compare", "car_idle_hot", *words)
            self.assert_status(done, 2)
            self.assertIn(said, done.stderr)

    def test_six_discs_in_eight_scenarios_and_four_conditions_take_seconds(self):
        """Processor time of both cores: the wall clock depends on who else is at work."""
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        text = self.compare(
            "car_idle_hot", "car_idle_cold", "car_idle_consumers", "car_idle_weak_cylinder",
            "car_tip_in_2", "car_tip_in_5", "car_back_out_2", "car_engine_start",
            "--disc", "car_soft_long_idle", "--disc", "car_firm_short_idle", "--disc",
            "car_three_stage", "--disc", "car_no_idle_stage", "--disc", "car_rigid_hub",
            "--change", "softer: disc.stages[0].stiffness=times 0.8",
            "--condition", "new:", "--condition", "oil 20: conditions.gearbox_oil=20 degC",
            "--condition", "soft corner: disc.stages[*].stiffness=times 0.9",
            "--condition", "worn: disc.stages[*].hysteresis=times 0.5", status=1)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        self.assertIn("6 discs, 8 scenarios, 4 conditions: 192 runs.", text)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        self.assertLess(used, 20.0)

    def test_an_interrupt_prints_what_is_done_and_gives_130(self):
        long = self.scenario("long", "590 s")
        out = self.folder / "out"
        process = start("compare", long, "car_idle_hot", "--disc", "car_three_stage", "--threads",
                        2, "--out", out)
        time.sleep(3.0)
        process.send_signal(signal.SIGINT)
        status, text, err = self.ended(process)
        self.assertEqual(status, 130, err)
        self.assertIn("were not reached", text)
