# SPDX-License-Identifier: MIT
"""damper fit from outside: a disc from bench loops, what it differs in from nominal, the disc file
that run takes, spellings of tables, broken tables."""
import json
import math

import h5py

from support import SOURCE, CommandTest, damper

BENCH = SOURCE / "models/bench"


def rows():
    """A single-stage disc turned to and fro: 10 N m/deg, friction of 8 N m full width, to ±10 deg."""
    twist, out = [], []
    for begin, end in ((0, 10), (10, -10), (-10, 10), (10, -10), (-10, 0)):
        count = int(abs(end - begin) * 40)
        twist += [begin + (end - begin) * i / count for i in range(count)]
    z = 0.0  # where the slider rests; it gives 4 N m at 0.01 deg
    for i, x in enumerate(twist):
        z = min(max(z, x - 0.01), x + 0.01)
        wobble = 0.2 * math.sin(1.7 * i) + 0.15 * math.sin(0.37 * i * i)
        out.append((x, 10 * x + 400 * (x - z) + wobble))
    return out


def table(data, head="twist [deg],torque [N m]", line="{:.4f},{:.4f}\n"):
    return head + "\n" + "".join(line.format(*row) for row in data)


class Fit(CommandTest):
    def fit(self, text, *words, name="loop.csv"):
        data = text if isinstance(text, bytes) else text.encode("utf-8")
        (self.folder / name).write_bytes(data)
        return damper("fit", name, *words, cwd=self.folder)

    def test_the_broken_demo_disc_is_named_and_its_disc_runs(self):
        done = damper("fit", "bench_car_full", "bench_car_idle", "--nominal", "car_soft_long_idle",
                      "--name", "found", "--out", "kept", "--format", "json", cwd=self.folder)
        self.assert_status(done, 1)
        text = json.dumps(json.loads(done.stdout))
        self.assertIn("spring in stage 2", text)
        self.assertIn("worn", text)
        with h5py.File(self.folder / "kept/found_fit.h5") as file:
            self.assertEqual(file.attrs["format"], "damper fit")
        page = (self.folder / "kept/found_fit.html").read_text(encoding="utf-8")
        self.assertIn("stage 2", page)
        run = damper("run", "car_idle_hot", "--set", f"disc={self.folder}/kept/found.toml",
                     "--out", "out", "--no-report", cwd=self.folder)
        self.assertIn(run.returncode, (0, 1), run.stderr)
        run = damper("run", "car_idle_hot", "--set", "disc=kept/found.toml", "--out", "out",
                     "--no-report", cwd=self.folder)
        self.assertIn(run.returncode, (0, 1), run.stderr)
        loop = damper("loop", "kept/found.toml", "--format", "json", cwd=self.folder)
        self.assert_status(loop, 0)

    def test_one_stage_is_found_however_the_table_is_written(self):
        data = rows()
        radians = [(math.radians(a), b) for a, b in data]
        spellings = {
            "comma": table(data),
            "semicolon, decimal comma": table(data, "Twist [deg];Torque [N m]",
                                              "{:.4f};{:.4f}\n").replace(".", ","),
            "tab": table(data, "twist (deg)\ttorque (N m)", "{:.4f}\t{:.4f}\n"),
            "radians": table(radians, "twist [rad],torque [N m]", "{:.7f},{:.4f}\n"),
            "row of units": table(data, "twist,torque\ndeg,N m"),
            "windows": table(data).replace("\n", "\r\n"),
        }
        for name, text in spellings.items():
            done = self.fit(text, "--format", "json")
            self.assert_status(done, 0)
            self.assertEqual(json.loads(done.stdout)["stages"], 1, name)
            text = self.fit(text).stdout
            self.assertIn("1 stage", text)
            self.assertRegex(text, r"1 drive stiffness +(9\.9|10\.0)")
            self.assertRegex(text, r"1 hysteresis +(7\.[89]|8\.[012])")

    def test_a_table_without_units_says_how_to_give_them(self):
        text = table(rows(), "twist,torque")
        done = self.fit(text)
        self.assert_status(done, 2)
        self.assertIn("--angle-unit", done.stderr)
        done = self.fit(text, "--angle-unit", "deg", "--torque-unit", "N m")
        self.assert_status(done, 0)

    def test_radians_under_the_name_of_degrees_are_asked_about(self):
        small = [(math.radians(a), b) for a, b in rows()]
        done = self.fit(table(small, "twist [deg],torque [N m]", "{:.7f},{:.4f}\n"))
        self.assertIn("is its unit right?", " ".join(done.stdout.split()))
        done = self.fit(table(rows()))
        self.assertNotIn("is its unit right?", " ".join(done.stdout.split()))

    def test_thirty_kinds_of_broken_tables_are_refused_with_place_and_mend(self):
        good = table(rows())
        lines = good.splitlines(keepends=True)
        data = rows()
        one_way = [row for row in data if True][:400]
        cases = {
            "empty": "",
            "blank lines": "\n\n\n",
            "head alone": lines[0],
            "one row": "".join(lines[:2]),
            "no head": "".join(lines[1:]),
            "no torque": table(data, "twist [deg],load [N]"),
            "no twist": table(data, "time [s],torque [N m]"),
            "twist twice": table(data, "twist [deg],twist [deg]"),
            "wrong unit of twist": table(data, "twist [mm],torque [N m]"),
            "wrong unit of torque": table(data, "twist [deg],torque [kg]"),
            "unknown unit": table(data, "twist [grd?],torque [N m]"),
            "unit left open": table(data, "twist [deg,torque [N m]"),
            "nan": good.replace(lines[40].split(",")[1], "nan\n", 1),
            "inf": good.replace(lines[40].split(",")[1], "inf\n", 1),
            "a word": good.replace(lines[40].split(",")[1], "about 5\n", 1),
            "a number that is too large": good.replace(lines[40].split(",")[1], "1e999\n", 1),
            "an empty cell": good.replace(lines[40], lines[40].split(",")[0] + ",\n", 1),
            "a missing cell": good.replace(lines[40], lines[40].split(",")[0] + "\n", 1),
            "a cell too many": good.replace(lines[40], lines[40].strip() + ",7\n", 1),
            "two decimal signs": good.replace(lines[40].split(",")[1], "1.2.3\n", 1),
            "thousands grouped": good.replace(lines[40].split(",")[1], "1 234.5\n", 1),
            "open quotation mark": good.replace(lines[40], '"' + lines[40], 1),
            "zero bytes": good.replace(lines[40], "\x00\x00\n", 1),
            "UTF-16": good.encode("utf-16"),
            "no UTF-8": good.encode("utf-8").replace(b"twist", b"tw\xffst", 1),
            "binary": bytes(range(256)) * 64,
            "units twice, unlike": table(data, "twist [deg],torque [N m]\nrad,N m"),
            "degrees under the name of radians": table(data, "twist [rad],torque [N m]"),
            "no loop: one way only": table(one_way),
            "no loop: does not turn": table([(1.0, b) for _, b in data]),
            "no torque at all": table([(a, 0.0) for a, _ in data]),
            "a page of the web": "<html><body>not a table</body></html>\n" * 20,
            "comma between and within": table(data, line="{:.4f},{:.4f}\n").replace(".", ","),
        }
        self.assertGreaterEqual(len(cases), 30)
        for name, text in cases.items():
            with self.subTest(name):
                done = self.fit(text, "--out", "kept")
                self.assert_status(done, 2)
                self.assertEqual(done.stdout, "")
                self.assertIn("loop.csv", done.stderr)
                self.assertIn("expected", done.stderr)
                self.assertFalse((self.folder / "kept/loop.toml").exists())
                self.assertLess(len(done.stderr), 6000)
        self.assert_status(damper("fit", "none.csv", cwd=self.folder), 2)
        self.assert_status(damper("fit", ".", cwd=self.folder), 2)
