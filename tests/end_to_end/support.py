# SPDX-License-Identifier: MIT
"""What the tests of the command share: a scratch folder, the command, short scenarios."""
import html.parser
import json
import math
import os
import pathlib
import resource
import shutil
import signal
import struct
import subprocess
import tempfile
import time
import unittest

SOURCE = pathlib.Path(os.environ.get("DAMPER_SOURCE") or
                      pathlib.Path(__file__).resolve().parents[2])
DAMPER = os.environ.get("DAMPER") or str(SOURCE / "build/release/tools/damper")

IDLE = '''title = "Short idle"
origin = "invented for this test"
vehicle = "{vehicle}"

[manoeuvre]
kind = "idle"
speed = "800 rpm"
pedal = "up"
settle = "0.3 s"
length = "{length}"
consumers = "0 N m"

[conditions]
gearbox_oil = "80 degC"
grade = 0

[recording]
step = "0.2 ms"
{more}'''

BAND = '''
[expect.{measure}]
within = ["{low}", "{high}"]
source = "invented for this test"
'''


def environment(**more):
    env = {key: value for key, value in os.environ.items() if key != "DAMPER_MODELS"}
    env.update(more)
    return env


def damper(*words, env=None, cwd=None, timeout=200, **more):
    """Runs the command to its end; status and texts are in what is returned."""
    return subprocess.run([DAMPER, *map(str, words)], cwd=cwd, env=env or environment(),
                          capture_output=True, text=True, timeout=timeout,
                          stdin=subprocess.DEVNULL, **more)


def start(*words, **more):
    return subprocess.Popen([DAMPER, *map(str, words)], env=environment(), text=True,
                            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                            stderr=subprocess.PIPE, **more)


class CommandTest(unittest.TestCase):
    """A test with a scratch folder that is gone afterwards."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="damper_test_"))
        self.addCleanup(shutil.rmtree, self.folder, ignore_errors=True)

    def scenario(self, name="short", length="0.9 s", vehicle="car_petrol", more=""):
        path = self.folder / f"{name}.toml"
        path.write_text(IDLE.format(vehicle=vehicle, length=length, more=more), encoding="utf-8")
        return path

    def assert_status(self, done, status):
        self.assertEqual(done.returncode, status,
                         f"status {done.returncode}\nstdout: {done.stdout}\nstderr: {done.stderr}")

    def ended(self, process, timeout=60):
        """Waits for a started command; status, stdout, stderr."""
        out, err = process.communicate(timeout=timeout)
        return process.returncode, out, err

    def wait_for(self, path, process, timeout=30):
        """Until a file is there that shows that the run is on its way."""
        end = time.monotonic() + timeout
        while not path.exists():
            self.assertIsNone(process.poll(), "the command ended too early")
            self.assertLess(time.monotonic(), end, f"{path} did not appear")
            time.sleep(0.005)


def few_gigabytes():
    resource.setrlimit(resource.RLIMIT_AS, (1500 * 2**20, 1500 * 2**20))


class Tags(html.parser.HTMLParser):
    """What a browser would see as tags, and attributes that would run something."""

    def __init__(self, page):
        super().__init__()
        self.seen, self.acting = [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)
        self.acting += [key for key, _ in attrs if key.startswith("on")]


def sound_file(data, kind=1, bits=16, channels=1, rate=16000, frame=None, each_second=None,
               claims=None):
    """A WAV file about these bytes, whose head may lie."""
    frame = channels * bits // 8 if frame is None else frame
    each_second = rate * frame if each_second is None else each_second
    head = struct.pack("<IHHIIHH", 16, kind, channels, rate, each_second, frame, bits)
    return (b"RIFF" + struct.pack("<I", 36 + len(data)) + b"WAVEfmt " + head + b"data" +
            struct.pack("<I", len(data) if claims is None else claims) + data)


def harmful_recordings():
    """Name, bytes and what the refusal must say: recordings that no program should take."""
    head = b"time [s],flywheel speed [rpm]\n"
    rows = b"0,800\n0.001,801\n0.002,802\n0.003,803\n"
    good = head + rows

    def with_row(row):
        return head + b"0,800\n" + row + b"\n0.002,802\n0.003,803\n"

    tone = struct.pack("<4000h", *[int(3000 * math.sin(i / 5)) for i in range(4000)])
    sound = sound_file(tone)
    tables = {
        "empty": (b"", "an empty file"), "blank": (b"\n\n \n", "blank lines"),
        "head": (head, "no row of numbers"), "one_row": (head + b"0,1\n", "one row"),
        "no_head": (rows, "time [s]; flywheel speed [rpm]"),
        "not_a_number": (with_row(b"0.001,nan"), ":3:7: "),
        "infinite": (with_row(b"0.001,inf"), "finite"),
        "too_large": (with_row(b"0.001,1e999"), "1e999"),
        "too_fast": (with_row(b"0.001,1e300"), "at most 2094 rad/s"),
        "too_late": (with_row(b"0.001,801").replace(b"0.002", b"1e18").replace(b"0.003", b"2e18"),
                     "at most 3.2e+08 s"),
        "back": (with_row(b"-1,801"), "less than in the row before"),
        "twice": (with_row(b"0,801"), "twice"), "words": (with_row(b"0.001,<b>"), "<b>"),
        "formula": (with_row(b"0.001,=1+2"), "=1+2"), "short_row": (with_row(b"0.001"), ":3:1:"),
        "long_row": (with_row(b"0.001,1,2"), "3 cells"),
        "escape": (with_row(b"0.001,\x1b[31m8\x07"), ":3:7:"),
        "escape_in_name": (good.replace(b"flywheel", b"\x1b[31mfly"), "no"),
        "zero_byte": (with_row(b"0.001,8\x000"), "zero byte"),
        "binary": (bytes(range(256)) * 40, "zero byte"),
        "packed": (b"\x1f\x8b\x08" + bytes(range(128, 256)) * 9, "UTF-8"),
        "utf16": (good.decode().encode("utf-16"), "UTF-16"),
        "latin": (good.replace(b"fly", b"\xd6"), "0xD6"),
        "old_line_ends": (good.replace(b"\n", b"\r"), "carriage return"),
        "two_separators": (with_row(b"0.001;801"), "semicolons"),
        "quote": (with_row(b'"0.001,801'), "quotation mark"),
        "volts": (good.replace(b"flywheel speed [rpm]", b"voltage [V]"), "flywheel speed"),
        "no_unit": (good.replace(b" [rpm]", b""), "no unit"),
        "mass": (good.replace(b"[rpm]", b"[kg]"), "a mass"),
        "furlong": (good.replace(b"[rpm]", b"[furlong]"), "furlong"),
        "same_twice": (good.replace(b"time [s]", b"time [s],speed [rpm]").replace(b",8", b",1,8"),
                       "two columns"),
        "wheel_back": (b"pulse time [s]\n0\n0.2\n0.1\n0.3\n", ":4:1:"),
        "few_pulses": (b"pulse time [s]\n0\n0.2\n", "2 rows"),
        "page": (b"<html><script>alert(1)</script></html>", 'found no column "time"'),
        "commas": (b"," * 2**20, 'found no column "time"'),
        "nines": (with_row(b"0.001," + b"9" * 100000), "a number"),
        "long_head": (b"time [s],speed [rpm]" + b"x" * 2000000, "found a time, but")}
    sounds = {
        "claims": (sound_file(tone, claims=2**32 - 1), "claims 4294967295 bytes"),
        "cut": (sound[:3000], "cut off"), "empty": (b"", "an empty file"),
        "head": (sound[:20], "left in the file"), "no_sound": (sound_file(b""), "no sound"),
        "mp3": (b"ID3\x04" + bytes(3000), "RIFF"), "table": (good, "RIFF"),
        "other": (b"RF64" + sound[4:], "another kind"),
        "rate_0": (sound_file(tone, rate=0), "0 values a second"),
        "rate": (sound_file(tone, rate=2**32 - 1, each_second=1), "1000 to 1000000"),
        "no_channel": (sound_file(tone, channels=0), "0 channels"),
        "channels": (sound_file(tone, channels=65535, frame=1, each_second=1), "1 to 64"),
        "bits": (sound_file(tone, bits=12), "12 bits"),
        "compressed": (sound_file(tone, kind=2), "uncompressed"),
        "frame": (sound_file(tone, frame=7), "7 bytes"),
        "bytes": (sound_file(tone, each_second=5), "5 bytes a second"),
        "half_a_value": (sound_file(tone + b"\0"), "no whole number"),
        "not_a_number": (sound_file(struct.pack("<9000f", *[math.nan] * 9000), 3, 32),
                         "no number at 0 s"),
        "infinite": (sound_file(struct.pack("<9000d", *[math.inf] * 9000), 3, 64), "no number"),
        "loud": (sound_file(struct.pack("<9000f", *[1e30] * 9000), 3, 32), "full scale"),
        "chunks": (b"RIFF\xff\xff\xff\xffWAVE" + b"junk\0\0\0\0" * 50000, "fmt"),
        "extensible": (sound_file(tone, kind=0xFFFE), "at least 40")}
    return ([(name + ".csv", *what) for name, what in tables.items()] +
            [(name + ".wav", *what) for name, what in sounds.items()])
