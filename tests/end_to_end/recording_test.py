# SPDX-License-Identifier: MIT
"""damper recording from outside: sounds that Python's wave module wrote, tables, pages that take
nothing from a file as it stands, files that mean harm."""
import json
import math
import random
import struct
import time
import wave

from support import CommandTest, Tags, damper, few_gigabytes, harmful_recordings, sound_file

RATE, FIRING = 16000, 80 / 3  # Hz: four cylinders at 800 rpm


def knocks(seconds=5.0, loud=0.5):
    """A knock a firing over a little noise."""
    random.seed(4)
    out = [random.gauss(0.0, 0.01) for _ in range(int(seconds * RATE))]
    for i in range(int(seconds * FIRING)):
        begin = int((0.01 + i / FIRING) * RATE)
        for n in range(min(200, len(out) - begin)):
            t = n / RATE
            out[begin + n] += loud * math.exp(-900 * t) * math.sin(2 * math.pi * 2600 * t)
    return [min(1.0, max(-1.0, x)) for x in out]


def packed(values, width):
    """Whole numbers as a WAV file has them."""
    if width == 1:
        return bytes(round(128 + 127 * x) for x in values)
    most = 2 ** (8 * width - 1) - 1
    return b"".join(round(most * x).to_bytes(width, "little", signed=True) for x in values)


def floating(values, bits):
    data = struct.pack(f"<{len(values)}{'f' if bits == 32 else 'd'}", *values)
    return sound_file(data, 3, bits, rate=RATE)


class Recording(CommandTest):
    def figures(self, *words, status=0):
        done = damper("recording", *words, "--format", "json", cwd=self.folder)
        self.assert_status(done, status)
        return [{one["key"]: one["value"] for one in each["figures"]}
                for each in json.loads(done.stdout)["recordings"]]

    def test_an_exported_run_gives_its_own_figures_back(self):
        run = damper("run", "car_idle_weak_cylinder", "--no-report", "--format", "json", "-o", "out",
                     cwd=self.folder)
        measures = {one["name"]: one["value"] for one in json.loads(run.stdout)["measures"]}
        result, table = "out/car_idle_weak_cylinder.h5", self.folder / "speeds.csv"
        done = damper("export", result, "-o", table, cwd=self.folder)
        self.assert_status(done, 0)
        lines = table.read_text().splitlines()
        self.assertEqual(lines[0], "time [s],flywheel speed [rpm],gearbox input speed [rpm]")
        self.assertEqual(float(lines[1].split(",")[0]), 0.5)  # settled
        self.assertEqual(damper("export", result, cwd=self.folder).stdout, table.read_text())
        figures = self.figures(table, "--cylinders", "4")[0]
        # Orders of the run over whole cycles, of the recording over stretches of two.
        self.assertAlmostEqual(figures["isolation_firing"] / measures["transfer"], 1, delta=0.01)
        half = figures["flywheel_half_order_speed"] / (0.5 * figures["mean_speed"])
        self.assertAlmostEqual(half / measures["half_order_angle"], 1, delta=0.01)
        # As the recording of a complaint: under one shaft or under both it is the same.
        case = ('title = "Rattles"\nvehicle = "car_petrol"\nsymptom = "rattle at idle"\n'
                '[recordings]\n')
        flywheel, both = 'flywheel = "speeds.csv"\n', 'input_shaft = "./speeds.csv"\n'
        seen = []
        for name, lines in (("once", flywheel), ("twice", flywheel + both)):
            (self.folder / f"{name}.toml").write_text(case + lines)
            done = damper("diagnose", f"{name}.toml", "--vehicles", "8", "--no-discs", "--format",
                          "json", cwd=self.folder)
            self.assert_status(done, 0)
            seen.append({one["name"]: one.get("seen")
                         for one in json.loads(done.stdout)["figures"]})
        self.assertEqual(seen[0], seen[1])
        self.assertAlmostEqual(seen[0]["transfer"] / measures["transfer"], 1, delta=0.01)
        # Two speeds are not in a table of one, nor a sound in one of speeds.
        (self.folder / "speeds.csv").write_text("time [s],speed [rpm]\n0,1\n1,2\n2,1\n3,2\n")
        done = damper("diagnose", "twice.toml", cwd=self.folder)
        self.assert_status(done, 2)
        self.assertIn("Name the table once", done.stderr)
        (self.folder / "twice.toml").write_text(case + flywheel + 'acceleration = "speeds.csv"\n')
        done = damper("diagnose", "twice.toml", cwd=self.folder)
        self.assert_status(done, 2)
        self.assertIn('no column "acceleration"', done.stderr)
        (self.folder / "twice.toml").write_text(case + flywheel + 'sound = "speeds.csv"\n')
        done = damper("diagnose", "twice.toml", cwd=self.folder)
        self.assert_status(done, 2)
        self.assertIn("twice.toml:6", done.stderr)
        self.assertIn("as for flywheel", done.stderr)

    def test_what_export_cannot_do_is_refused_in_words(self):
        run = damper("run", "car_tip_in_2", "--no-report", "--quiet", "-o", "out", cwd=self.folder)
        self.assertIn(run.returncode, (0, 1), run.stderr)
        result = "out/car_tip_in_2.h5"
        listed = damper("export", result, "--list", cwd=self.folder)
        self.assert_status(listed, 0)
        self.assertRegex(listed.stdout, r"(?m)^input_shaft_speed +rpm +Gearbox input shaft speed$")
        names = [line.split()[0] for line in listed.stdout.splitlines()]
        every = [word for name in names for word in ("--signal", name)]
        done = damper("export", result, "--whole", *every, "-o", "all.csv", cwd=self.folder)
        self.assert_status(done, 0)
        figures = self.figures("all.csv", "--manoeuvre", "torque-change")[0]
        self.assertIn("shuffle_frequency", figures)
        (self.folder / "letter.csv").write_text("Dear customer")
        (self.folder / "no.h5").write_text("Dear customer")
        kept = (self.folder / result).read_bytes()
        for words, said in (
                ((result, "--signal", "inptu_shaft_speed"), "did you mean input_shaft_speed?"),
                ((result, "--signal", "x"), "There are: crank_angle, flywheel_speed"),
                ((result, "-o", result), "names the result file itself"),
                ((result, "-o", "letter.csv"), "is no table of damper export"),
                ((result, "--list", "-o", "x.csv"), "--list goes without"),
                (("absent.h5",), "there is no file absent.h5"),
                (("no.h5",), "no.h5")):
            done = damper("export", *words, cwd=self.folder)
            self.assert_status(done, 2)
            self.assertIn(said, done.stderr)
        self.assertEqual((self.folder / result).read_bytes(), kept)
        self.assertEqual((self.folder / "letter.csv").read_text(), "Dear customer")
        self.assert_status(damper("export", result, "-o", "all.csv", cwd=self.folder), 0)
        # A table of the first half second before the pedal and all after.
        self.assertEqual((self.folder / "all.csv").read_text().splitlines()[0].count(","), 2)

    def test_sounds_of_another_program_tell_the_same_in_every_form(self):
        sound = knocks()
        for width in (1, 2, 3, 4):
            with wave.open(str(self.folder / f"{8 * width}.wav"), "wb") as file:
                file.setnchannels(1)
                file.setsampwidth(width)
                file.setframerate(RATE)
                file.writeframes(packed(sound, width))
        with wave.open(str(self.folder / "stereo.wav"), "wb") as file:
            file.setnchannels(2)
            file.setsampwidth(2)
            file.setframerate(RATE)
            both = [x for pair in zip([0.0] * len(sound), sound) for x in pair]
            file.writeframes(packed(both, 2))
        for bits in (32, 64):
            (self.folder / f"float{bits}.wav").write_bytes(floating(sound, bits))
        files = [f"{n}.wav" for n in (8, 16, 24, 32)] + ["float32.wav", "float64.wav"]
        all_of_them = self.figures(*files, "--cylinders", "4", "--speed", "800 rpm")
        all_of_them += self.figures("stereo.wav", "--channel", "2", "--cylinders", "4", "--speed",
                                    "800 rpm")
        for found in all_of_them:
            self.assertAlmostEqual(found["impact_rate"], FIRING, delta=1.2)
            self.assertAlmostEqual(found["modulation_frequency"], FIRING, delta=0.1)
            # 8 bit: 127 steps for a range of 128, 0.8 % less.
            self.assertAlmostEqual(found["band_level"] / all_of_them[1]["band_level"], 1.0,
                                   delta=0.01)
            self.assertGreater(found["modulation_firing"], 0.8)

    def test_the_weak_cylinder_of_the_demo_is_told(self):
        found, = self.figures("car_idle_weak_cylinder", "--cylinders", "4")
        self.assertAlmostEqual(found["mean_speed"], 800 * math.pi / 30, delta=0.2)
        self.assertLess(found["weakest_cylinder"], -0.2)
        self.assertGreater(found["half_order_ratio"], 0.2)

    def test_pulses_need_a_mark_or_a_count(self):
        lines = ["pulse time [s]"]
        speed = 2 * math.pi * 800 / 60
        for k in range(60 * 80):
            if k % 60 < 58:
                lines.append(f"{k * math.pi / 30 / speed:.9f}")
        (self.folder / "pulses.csv").write_text("\n".join(lines) + "\n")
        done = damper("recording", "pulses.csv", "--cylinders", "4", cwd=self.folder)
        self.assert_status(done, 0)
        self.assertIn("60 places, 2 of them without a tooth", " ".join(done.stdout.split()))
        even = [lines[0]] + [f"{k * 0.001:.6f}" for k in range(2000)]
        (self.folder / "even.csv").write_text("\n".join(even) + "\n")
        done = damper("recording", "even.csv", cwd=self.folder)
        self.assert_status(done, 1)
        self.assertIn("say how many teeth", " ".join(done.stdout.split()))

    def test_nothing_of_a_file_reaches_a_page_as_it_stands(self):
        name = "<script>alert(1)</script><img src=x onerror=alert(2)>".replace("/", "&sol;") + ".csv"
        rows = "".join(f"{i / 1000:.4f};{800 + 14 * math.cos(2 * 83.8 * i / 1000):.3f}\n"
                       for i in range(6000))
        (self.folder / name).write_text("time [s];flywheel speed [rpm];\"<svg onload=1>\"\n" +
                                        rows.replace("\n", ";1\n"))
        (self.folder / "quiet.wav").write_bytes(floating([0.0] * 20000, 32))
        done = damper("recording", name, "quiet.wav", "--out", "kept", "--name", "page",
                      cwd=self.folder)
        self.assert_status(done, 0)
        page = (self.folder / "kept/page_recording.html").read_text(encoding="utf-8")
        tags = Tags(page)
        self.assertFalse({"script", "img"} & set(tags.seen), tags.seen)
        self.assertNotIn("<svg onload", page)
        self.assertIn("&lt;script&gt;", page)
        self.assertIn("default-src 'none'", page)
        self.assertGreaterEqual(tags.seen.count("svg"), 1)
        self.assertIn("Unusable, no signal", page)
        self.assertIn("14", (self.folder / "kept/page_recording.txt").read_text(encoding="utf-8"))

    def test_files_that_mean_harm_are_refused_soon_and_in_words(self):
        cases = harmful_recordings()
        for name, data, _ in cases:
            (self.folder / name).write_bytes(data)
        with open(self.folder / "sparse.wav", "wb") as file:
            file.write(b"RIFF")
            file.truncate(10 * 2**30)
        others = [("sparse.wav", "268435456"), ("none.csv", "no such file"), (".", "without folder")]
        for name, expected in [*((name, text) for name, _, text in cases), *others]:
            began = time.monotonic()
            done = damper("recording", name, "--out", "kept", cwd=self.folder,
                          preexec_fn=few_gigabytes)
            self.assert_status(done, 2)
            self.assertLess(time.monotonic() - began, 5.0, name)
            self.assertIn(name, done.stderr)
            self.assertIn(expected, done.stderr)
            self.assertNotIn("\x1b", done.stderr)
            self.assertLess(len(done.stderr), 4000, name)
            self.assertEqual(done.stdout, "")
        self.assertFalse((self.folder / "kept").exists())

    def test_options_are_held_against_what_they_can_be(self):
        for words in (("--teeth", "3"), ("--missing", "1"), ("--cylinders", "2.5"),
                      ("--band-from", "5 kHz"), ("--channel", "0"), ("--manoeuvre", "idle"),
                      ("--speed", "3 s"), ("--run-down", "none.csv"), ("--name", "../x"),
                      ("--of", "gearbox")):
            done = damper("recording", "car_idle_weak_cylinder", *words, cwd=self.folder)
            self.assert_status(done, 2)
            self.assertEqual(done.stdout, "")
