# SPDX-License-Identifier: MIT
"""What the tests of the command share: a scratch folder, the command, short scenarios."""
import json
import os
import pathlib
import shutil
import signal
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
