# SPDX-License-Identifier: MIT
"""Recordings that descriptions name: where they may lie, what is wrong with broken ones."""
import math

from support import SOURCE, CommandTest, damper

SCENARIO = '''title = "Recorded"
origin = "invented for this test"
vehicle = "car_petrol"

[manoeuvre]
kind = "recorded speed"
recording = "{name}"
settle = "0.3 s"
'''


def rows(seconds=1.2, rate=2000, mean=800.0, swing=20.0):
    firing = 2 * math.pi * 2 * mean / 60
    for i in range(int(seconds * rate) + 1):
        yield i / rate, mean + swing * math.sin(firing * i / rate)


def table(lines, head="time [s],speed [rpm]"):
    return head + "\n" + "".join(f"{t:.6f},{n:.4f}\n" for t, n in lines)


class Recorded(CommandTest):
    def run_with(self, text, name="trace.csv", more=()):
        (self.folder / "trace.csv").write_text(text, encoding="utf-8")
        (self.folder / "mine.toml").write_text(SCENARIO.format(name=name), encoding="utf-8")
        return damper("run", "mine.toml", "-o", "out", "--no-report", *more, cwd=self.folder)

    def refused(self, text, *words, **more):
        done = self.run_with(text, **more)
        self.assert_status(done, 2)
        for word in words:
            self.assertIn(word, done.stderr)

    def test_a_recording_beside_the_scenario_drives_it(self):
        done = self.run_with(table(rows()))
        self.assertIn(done.returncode, (0, 1), done.stderr)
        self.assertIn("recorded speed", done.stdout)
        self.assertNotIn("gear \n", done.stdout)

    def test_german_tables_in_other_units_do_too(self):
        lines = "".join(f"{1000 * t:.3f};{n / 60:.6f}\n".replace(".", ",") for t, n in rows())
        done = self.run_with("Time [ms];Flywheel speed [1/s]\n" + lines)
        self.assert_status(done, 2)  # 1/s is a rate: turns and radians must be told apart
        lines = "".join(f"{1000 * t:.3f};{n / 30 * math.pi:.6f}\n".replace(".", ",") for t, n in rows())
        done = self.run_with("Time [ms];Flywheel speed [rad/s]\n" + lines)
        self.assertIn(done.returncode, (0, 1), done.stderr)

    def test_broken_recordings_are_refused_with_reason(self):
        good = list(rows())
        self.refused("", "trace.csv")
        self.refused("time [s],speed [rpm]\n", "trace.csv", "rows")
        self.refused(table(good, "time,speed"), "unit")
        self.refused(table(good, "time [s],torque [N m]"), "speed")
        self.refused(table(good, "time [s],speed [N m]"), "speed")
        self.refused(table(good).replace("810.", "nan", 1), "nan")
        self.refused(table(good[:500] + good[400:]), "trace.csv")
        self.refused(table(good[:900] + good[1000:]), "nothing between")
        self.refused(table(good[:200]), "manoeuvre.recording", "long")
        self.refused(table([(t, 0.0) for t, _ in good]), "stands still")
        self.refused(table(rows(rate=60)), "values a second")
        self.refused(table(good), "manoeuvre.length", "at most", more=("--set", "manoeuvre.length=9 s"))
        self.refused(table(good), "cut_off", more=("--set", "manoeuvre.cut_off=1500 Hz"))
        self.refused(table(good), "manoeuvre.gear", more=("--set", "manoeuvre.gear=9"))
        self.refused("\x00\x01\x02" * 50, "trace.csv")

    def test_a_recording_stays_in_its_folder_unless_the_command_line_names_it(self):
        self.refused(table(rows()), "beside the description", name="../trace.csv")
        self.refused(table(rows()), "beside the description", name="/etc/passwd")
        self.refused(table(rows()), "a file in", name="other.csv")
        outside = self.folder.parent / (self.folder.name + "_outside.csv")
        self.addCleanup(outside.unlink)
        outside.write_text(table(rows()), encoding="utf-8")
        (self.folder / "link.csv").symlink_to(outside)
        self.refused(table(rows()), "inside the folder", name="link.csv")
        done = self.run_with(table(rows()), name="none.csv",
                             more=("--set", f"manoeuvre.recording={outside}"))
        self.assertIn(done.returncode, (0, 1), done.stderr)

    def test_a_pressure_trace_is_checked(self):
        trace = (SOURCE / "models/recordings/van_idle_pressure.csv").read_text(encoding="utf-8")
        head, *lines = [x for x in trace.splitlines() if not x.startswith("#")]

        def van(text):
            (self.folder / "p.csv").write_text(text, encoding="utf-8")
            return damper("run", "van_idle_hot", "-o", "out", "--no-report", "--set",
                          "engine.torque=pressure trace", "--set", "engine.pressure_trace=p.csv",
                          cwd=self.folder)

        self.assertIn(van(trace).returncode, (0, 1))
        for text, word in (("\n".join([head] + lines[:700]), "one whole cycle"),
                           ("\n".join([head] + lines[:300] + lines[400:]), "10 deg apart"),
                           (trace.replace("bar", "N"), "pressure")):
            done = van(text)
            self.assert_status(done, 2)
            self.assertIn(word, done.stderr)
        shifted = [f"{float(a) + 360:.1f};{p}" for a, p in (x.split(";") for x in lines)]
        done = van("\n".join([head] + shifted))
        self.assert_status(done, 2)
        self.assertIn("top dead centre of firing", done.stderr)
        below = [f"{a};{float(p) - 1.2:.3f}" for a, p in (x.split(";") for x in lines)]
        done = van("\n".join([head] + below))
        self.assert_status(done, 2)
        self.assertIn("absolute", done.stderr)
