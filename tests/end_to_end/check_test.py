# SPDX-License-Identifier: MIT
"""damper check: bands, baselines, what a CI system reads, and scenarios that fail beside others."""
import json
import resource
import signal
import time
import xml.etree.ElementTree as ElementTree

from support import BAND, SOURCE, CommandTest, damper, start

# Elements and attributes of the XML that CI systems read as results of JUnit. Recalled from the
# schema that goes with the report task of a widespread build tool and from a CI server's own; not
# looked up. Required attributes, allowed ones besides, children in their order.
SUITE = ({"name", "tests", "failures", "errors", "time", "timestamp", "hostname"},
         {"id", "package", "skipped", "disabled", "group"},
         ["properties", "testcase", "system-out", "system-err"])
CASE = ({"name", "classname", "time"}, {"assertions", "status"},
        ["skipped", "error", "failure", "system-out", "system-err"])
OUTCOME = (set(), {"message", "type"}, [])

TIP_IN = '''title = "Short tip-in <&>"
origin = "invented for this test"
vehicle = "car_petrol"
[manoeuvre]
kind = "tip in"
gear = "2"
speed = "1500 rpm"
from = "-10 N m"
to = "110 N m"
start = "0.3 s"
rise = "0.15 s"
lag = "0.05 s"
length = "1.5 s"
[recording]
step = "0.2 ms"
'''


class Check(CommandTest):
    def setUp(self):
        super().setUp()
        self.scenarios = self.folder / "scenarios"
        self.scenarios.mkdir()
        self.baseline = self.folder / "baseline"
        self.junit = self.folder / "check.xml"

    def tip_in(self, name="tip", more=""):
        (self.scenarios / f"{name}.toml").write_text(TIP_IN + more, encoding="utf-8")

    def idle(self, name, **more):
        path = self.scenario(name, length="0.6 s", **more)
        return path.rename(self.scenarios / path.name)

    def check(self, *words, status=0):
        done = damper("check", *words)
        self.assert_status(done, status)
        return done.stdout

    def as_json(self, *words, status=0):
        return json.loads(self.check(*words, "--format", "json", status=status))

    def make_baseline(self):
        return self.check(self.scenarios, "--baseline", self.baseline, "--update-baseline")

    # --- bands --------------------------------------------------------------------------------

    def test_a_band_missed_gives_status_1_and_the_rest_is_still_checked(self):
        self.tip_in("good", BAND.format(measure="shuffle_frequency", low="1 Hz", high="20 Hz"))
        self.tip_in("late", BAND.format(measure="shuffle_frequency", low="1 Hz", high="2 Hz"))
        text = self.check(self.scenarios, status=1)
        self.assertIn("shuffle_frequency", text)
        self.assertIn("outside the band 1 to 2 Hz", text)
        self.assertIn("2 scenarios: 1 kept, 1 missed", text)
        self.assertLess(text.index("late"), text.index("good"), "smallest margin first")
        result = self.as_json(self.scenarios, status=1)
        margins = {one["scenario"]: one["smallest_margin"] for one in result["scenarios"]}
        value = result["scenarios"][0]["values"][0]["value"]
        # Distance to the nearer bound over half the width.
        self.assertAlmostEqual(margins["late"], (2 - value) / 0.5, places=9)
        self.assertAlmostEqual(margins["good"], (value - 1) / 9.5, places=9)

    def test_what_cannot_be_read_or_solved_is_told_and_counted_beside_the_rest(self):
        self.tip_in("good")
        (self.scenarios / "broken.toml").write_text("vehicle = \n", encoding="utf-8")
        (self.scenarios / "stalls.toml").write_text(
            TIP_IN.replace('"110 N m"', '"-400 N m"').replace('"tip in"', '"back out"')
            .replace('"1.5 s"', '"5 s"'), encoding="utf-8")
        (self.scenarios / "my_oil.toml").write_bytes(
            (SOURCE / "models/oils/light_gear_oil.toml").read_bytes())
        text = self.check(self.scenarios, "missing", "--junit", self.junit, status=3)
        self.assertIn("broken.toml:1", text)
        self.assertIn("Not solved: stalls", text)
        self.assertIn("my_oil.toml", text)
        self.assertIn("4 scenarios: 1 kept, 0 missed, 2 not read, 1 not solved", text)
        self.check(self.scenarios / "good.toml", self.scenarios / "broken.toml", status=2)
        suite = ElementTree.parse(self.junit).getroot()[0]
        self.assertEqual((suite.get("errors"), suite.get("failures")), ("3", "0"))
        errors = {case.get("name"): case.find("error") for case in suite.iter("testcase")}
        self.assertEqual(errors["stalls"].get("type"), "unsolved")
        self.assertEqual(errors["broken"].get("type"), "bad_input")
        self.assertIsNone(errors["good"])

    # --- baselines ----------------------------------------------------------------------------

    def test_a_stiffness_ten_percent_higher_is_caught_and_named(self):
        words = ("car_tip_in_2", "car_idle_hot", "--baseline", self.baseline)
        self.check(*words, "--update-baseline")
        self.check(*words)
        result = self.as_json(*words, "--set", "disc.stages[*].stiffness=times 1.1", status=1)
        missed = {one["scenario"]: [v for v in one["values"] if not v["kept"]]
                  for one in result["scenarios"]}
        self.assertEqual(set(missed), {"car_tip_in_2", "car_idle_hot"})
        shuffle = [v for v in missed["car_tip_in_2"] if v["name"] == "shuffle_frequency"][0]
        self.assertGreater(shuffle["value"], 1.001 * shuffle["expected"])
        # A series of springs: 10 % of one of them moves the frequency by less than 5 %.
        self.assertLess(shuffle["value"], 1.05 * shuffle["expected"])
        text = self.check(*words, "--set", "disc.stages[*].stiffness=times 1.1", status=1)
        self.assertRegex(" ".join(text.split()),
                         r"shuffle_frequency [\d.]+ Hz is [\d.]+ % above the baseline's")
        self.assertIn("disc.stages[*].stiffness", text)

    def test_a_baseline_is_small_sorted_by_nothing_but_the_run_and_read_elsewhere(self):
        self.tip_in()
        self.make_baseline()
        text = (self.baseline / "tip.json").read_text(encoding="utf-8")
        self.assertLess(len(text), 16_000)
        self.assertLess(max(map(len, text.splitlines())), 300)
        stored = json.loads(text)
        self.assertEqual(stored["title"], "Short tip-in <&>")
        self.assertLessEqual(len(stored["time_s"]), 200)
        for one in stored["signals"]:
            self.assertEqual(len(one["values"]), len(stored["time_s"]))
        self.assertIn("models/vehicles/car_petrol.toml", [i["file"] for i in stored["inputs"]])
        self.assertNotIn(str(self.folder), text, "a place that other machines do not have")
        said = self.make_baseline()
        self.assertIn("0 written, 1 as they were", said)
        self.assertEqual((self.baseline / "tip.json").read_text(encoding="utf-8"), text)

    def test_an_update_says_what_changed_and_only_on_request(self):
        self.tip_in()
        self.assertIn("tip: new", self.make_baseline())
        before = (self.baseline / "tip.json").read_bytes()
        self.tip_in(more='[change]\n"disc.stages[1].stiffness" = "times 1.1"\n')
        text = self.check(self.scenarios, "--baseline", self.baseline, status=1)
        self.assertIn("Changed since the baseline was made: tip.toml", " ".join(text.split()))
        self.assertEqual((self.baseline / "tip.json").read_bytes(), before)
        self.assertRegex(" ".join(self.make_baseline().split()),
                         r"tip: .*shuffle_frequency [\d.]+ -> [\d.]+ Hz \(\+[\d.]+ %\)")
        self.check(self.scenarios, "--baseline", self.baseline)

    def test_a_scenario_without_a_baseline_is_missed(self):
        self.tip_in()
        self.make_baseline()
        self.tip_in("fresh")
        text = self.check(self.scenarios, "--baseline", self.baseline, status=1)
        self.assertIn("there is no baseline of this scenario yet", text)
        self.assertIn("1 kept, 1 missed", text)

    def test_tolerances_may_be_given_and_slips_in_them_are_told_with_their_place(self):
        self.tip_in()
        self.make_baseline()
        change = ("--set", "disc.stages[1].stiffness=times 1.00005")
        words = (self.scenarios, "--baseline", self.baseline)
        self.check(*words, *change)
        tolerances = self.baseline / "tolerances.toml"
        tolerances.write_text('[measures.shuffle_frequency]\nabsolute = "1e-6 Hz"\n')
        text = self.check(*words, *change, status=1)
        self.assertIn("shuffle_frequency", text)
        tolerances.write_text('[signals.disc_twist]\nabsolute = "1e-6 deg"\nrelative = 0\n')
        text = self.check(*words, *change, status=1)
        self.assertIn("disc_twist", text)
        for slip, said in (
                ('[measures.shuffle_frequency]\nabsolute = 0.1\n', "tolerances.toml:2"),
                ('[measures.shuffle_frequenzy]\nabsolute = "1 Hz"\n', "shuffle_frequency"),
                ('[measures.shuffle_frequency]\nabsolute = "1 rpm"\n', "tolerances.toml:2"),
                ('[measures.shuffle_frequency]\nrelative = "-1 %"\n', "zero or more"),
                ('[signals.disc_twist]\nintervals = 2\n', "intervals"),
                ('[signal.disc_twist]\nrelative = "2 %"\n', "signals")):
            tolerances.write_text(slip)
            done = damper("check", *words)
            self.assert_status(done, 2)
            self.assertIn(said, done.stderr)

    def test_a_baseline_that_is_none_is_told_and_the_rest_checked(self):
        self.tip_in()
        self.tip_in("other")
        self.make_baseline()
        good = (self.baseline / "tip.json").read_text(encoding="utf-8")
        for bad in ("", "[", "{}", "[" * 100_000, good.replace('"format_version": 1', '"format_version": 2'),
                    good.replace('"time_s": [', '"time_s": [0.5, '), good.replace('"value": ', '"value": "', 1),
                    good[:len(good) // 2]):
            (self.baseline / "tip.json").write_text(bad, encoding="utf-8")
            text = self.check(self.scenarios, "--baseline", self.baseline, status=2)
            self.assertIn("tip.json", text)
            self.assertIn("1 kept, 0 missed, 1 not read", text)

    def test_only_what_changed_is_run_again(self):
        self.tip_in("one")
        self.tip_in("two")
        out = self.folder / "out"
        words = (self.scenarios, "--changed-only", "--out", out)
        self.assertIn("2 scenarios: 2 kept", self.check(*words))
        self.assertIn("0 kept, 0 missed, 2 unchanged", self.check(*words))
        self.tip_in("two", more="# another word\n")
        self.assertIn("1 kept, 0 missed, 1 unchanged", self.check(*words))
        band = BAND.format(measure="shuffle_frequency", low="1 Hz", high="2 Hz")
        self.tip_in("two", more=band)
        for _ in range(2):  # what was missed is run again
            self.assertIn("0 kept, 1 missed, 1 unchanged", self.check(*words, status=1))
        self.assertIn("2 kept", self.check(*words, "--set", "conditions.gearbox_oil=70 degC"))
        (out / "check_state.json").write_text("{", encoding="utf-8")
        self.assertIn("1 kept, 1 missed", self.check(*words, status=1))

    # --- what other programs read -------------------------------------------------------------

    def assert_shape(self, element, shape):
        required, more, children = shape
        self.assertLessEqual(required, set(element.attrib), element.tag)
        self.assertLessEqual(set(element.attrib), required | more, element.tag)
        places = [children.index(child.tag) for child in element]
        self.assertEqual(places, sorted(places), f"order in {element.tag}")

    def test_the_xml_has_the_form_that_ci_systems_read(self):
        band = BAND.format(measure="shuffle_frequency", low="1 Hz", high="2 Hz")
        self.tip_in("bad", more=band.replace("invented", "<invented & ]]> \\\"quoted\\\""))
        self.tip_in("good")
        (self.scenarios / "broken.toml").write_text("title = <&>\n", encoding="utf-8")
        out = self.folder / "out"
        words = (self.scenarios, "--junit", self.junit, "--out", out, "--changed-only", "--quiet")
        self.check(*words, status=2)
        self.check(*words, status=2)  # now one is skipped
        root = ElementTree.parse(self.junit).getroot()
        self.assertEqual(root.tag, "testsuites")
        self.assertEqual([child.tag for child in root], ["testsuite"])
        suite = root[0]
        self.assert_shape(suite, SUITE)
        time.strptime(suite.get("timestamp"), "%Y-%m-%dT%H:%M:%S")
        for one in suite.find("properties"):
            self.assertEqual((one.tag, set(one.attrib)), ("property", {"name", "value"}))
        cases = {case.get("name"): case for case in suite.iter("testcase")}
        self.assertEqual(set(cases), {"bad", "good", "broken"})
        for case in cases.values():
            self.assert_shape(case, CASE)
            self.assertGreaterEqual(float(case.get("time")), 0.0)
            for outcome in case:
                self.assert_shape(outcome, OUTCOME)
        self.assertEqual([int(suite.get(key)) for key in ("tests", "failures", "errors", "skipped")],
                         [3, 1, 1, 1])
        self.assertIsNotNone(cases["good"].find("skipped"))
        text = cases["bad"].find("failure").text
        for word in ("shuffle_frequency", "1 to 2 Hz", "margin", "<invented & ]]> \"quoted\""):
            self.assertIn(word, text)
        self.assertEqual(cases["bad"].find("failure").get("type"), "band")
        self.assertIn("broken.toml:1", cases["broken"].find("error").text)

    def test_results_do_not_depend_on_threads(self):
        names = ("car_idle_hot", "car_idle_no_idle_stage", "car_tip_in_2", "car_back_out_5",
                 "van_idle_hot", "car_engine_stop")
        texts, stored = set(), set()
        for threads in (1, 2, 5):
            out = self.folder / f"out{threads}"
            base = self.folder / f"base{threads}"
            damper("check", *names, "--threads", threads, "--out", out, "--quiet")
            texts.add((out / "check.json").read_bytes())
            damper("check", *names, "--threads", threads, "--baseline", base, "--update-baseline",
                   "--quiet")
            stored.add(tuple((base / f"{name}.json").read_bytes() for name in names))
        self.assertEqual(len(texts), 1)
        self.assertEqual(len(stored), 1)

    # --- faults -------------------------------------------------------------------------------

    def test_an_interrupt_keeps_what_is_done(self):
        self.tip_in("a_short")
        self.scenario("b_long", "590 s").rename(self.scenarios / "b_long.toml")
        out = self.folder / "out"
        process = start("check", self.scenarios, "--threads", 1, "--out", out, "--junit",
                        self.junit, "--baseline", self.baseline, "--update-baseline")
        self.wait_for(out / ".damper.lock", process)
        time.sleep(4.0)
        process.send_signal(signal.SIGINT)
        status, text, err = self.ended(process)
        self.assertEqual(status, 130, err)
        self.assertIn("1 kept, 0 missed, 1 not reached", text)
        self.assertEqual([p.name for p in self.baseline.glob("*.json")], ["a_short.json"])
        self.assertEqual(ElementTree.parse(self.junit).getroot()[0].get("skipped"), "1")

    def test_a_disk_that_fills_up_keeps_the_earlier_baseline(self):
        self.tip_in()
        self.make_baseline()
        before = (self.baseline / "tip.json").read_bytes()

        def small():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (1024, 1024))

        done = damper("check", self.scenarios, "--baseline", self.baseline, "--update-baseline",
                      "--set", "disc.stages[1].stiffness=times 1.1", preexec_fn=small)
        self.assert_status(done, 4)
        self.assertEqual((self.baseline / "tip.json").read_bytes(), before)
        self.assertEqual(sorted(p.name for p in self.baseline.iterdir()), ["tip.json"])

    def test_options_that_need_another_say_so(self):
        self.tip_in()
        for words, said in ((("--update-baseline",), "--baseline"),
                            (("--changed-only",), "--out"),
                            (("--baseline", self.folder / "none"), "--update-baseline"),
                            (("--threads", "0"), "--threads"),
                            (("--threads", "many"), "--threads")):
            done = damper("check", self.scenarios, *words)
            self.assert_status(done, 2)
            self.assertIn(said, done.stderr)
        empty = self.folder / "empty"
        empty.mkdir()
        done = damper("check", empty)
        self.assert_status(done, 2)
        self.assertIn("no scenarios", done.stderr)


class Shipped(CommandTest):
    def test_all_shipped_scenarios_keep_their_bands_and_baselines(self):
        junit = self.folder / "check.xml"
        done = damper("check", SOURCE / "scenarios", "--baseline", SOURCE / "scenarios/baselines",
                      "--junit", junit, timeout=280)
        self.assert_status(done, 0)
        suite = ElementTree.parse(junit).getroot()[0]
        shipped = sorted(p.stem for p in (SOURCE / "scenarios").glob("*.toml"))
        self.assertEqual(sorted(case.get("name") for case in suite.iter("testcase")), shipped)
        self.assertEqual(suite.get("failures"), "0")
