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
