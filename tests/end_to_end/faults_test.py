# SPDX-License-Identifier: MIT
"""Disks, signals and rivals: an earlier result is never harmed, the status says who must act."""
import os
import pathlib
import pty
import random
import resource
import signal
import subprocess
import time

import h5py

from support import DAMPER, SOURCE, CommandTest, damper, environment, start

LONG = "590 s"  # of a scenario that is still running when the test acts


def small_files():
    """No file may grow beyond 4 KiB, as on a disk that is nearly full."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))


class Faults(CommandTest):
    def setUp(self):
        super().setUp()
        self.out = self.folder / "out"

    def earlier_result(self, path):
        done = damper("run", path, "--out", self.out, "--quiet")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return (self.out / "short.h5").read_bytes()

    def assert_untouched(self, before):
        self.assertEqual((self.out / "short.h5").read_bytes(), before)
        names = sorted(p.name for p in self.out.iterdir())
        self.assertEqual([n for n in names if ".part." in n or n.endswith(".lock")], [])

    # --- places that refuse -------------------------------------------------------------------

    def test_a_folder_that_cannot_be_made_gives_status_4(self):
        done = damper("run", self.scenario(), "--out", "/proc/damper_out")
        self.assert_status(done, 4)
        self.assertIn("/proc/damper_out", done.stderr)

    def test_a_file_in_place_of_the_folder_gives_status_4(self):
        self.out.write_text("a file")
        done = damper("run", self.scenario(), "--out", self.out)
        self.assert_status(done, 4)
        self.assertEqual(self.out.read_text(), "a file")

    def test_a_folder_without_permission_gives_status_4(self):
        """As an ordinary user; root may write everywhere."""
        path = self.scenario()
        self.out.mkdir(mode=0o555)
        if os.geteuid() != 0:
            done = damper("run", path, "--out", self.out)
        else:
            copy = self.folder / "damper"
            copy.write_bytes(pathlib.Path(DAMPER).read_bytes())
            models = self.folder / "models"
            subprocess.run(["cp", "-r", str(SOURCE / "models"), str(models)], check=True)
            for item in (self.folder, copy):
                item.chmod(0o755)
            done = subprocess.run([copy, "run", path, "--out", self.out, "--models", models],
                                  env=environment(), capture_output=True, text=True, user=65534,
                                  cwd="/", timeout=100)
        self.assert_status(done, 4)
        self.assertEqual(list(self.out.iterdir()), [])

    def test_standard_output_that_is_full_gives_status_4_and_the_result_is_kept(self):
        with open("/dev/full", "w") as full:
            done = subprocess.run([DAMPER, "run", str(self.scenario()), "--out", str(self.out)],
                                  stdout=full, stderr=subprocess.PIPE, text=True,
                                  env=environment(), timeout=100)
        self.assertEqual(done.returncode, 4)
        self.assertIn("standard output", done.stderr)
        self.assertTrue((self.out / "short.h5").is_file())

    def test_a_page_that_cannot_be_written_gives_status_4(self):
        self.earlier_result(self.scenario())
        done = damper("report", self.out / "short.h5", "--out", "/dev/full")
        self.assert_status(done, 4)
        done = damper("report", self.out / "short.h5", "--out", self.folder / "none/page.html")
        self.assert_status(done, 4)

    def test_a_disk_that_fills_up_keeps_the_earlier_result(self):
        path = self.scenario()
        before = self.earlier_result(path)
        self.assertGreater(len(before), 4096)
        done = damper("run", path, "--out", self.out, preexec_fn=small_files)
        self.assert_status(done, 4)
        self.assert_untouched(before)

    def test_a_full_file_system_keeps_the_earlier_result(self):
        """The same on a real file system of its own, where one can be mounted."""
        self.out.mkdir()
        path = self.scenario()
        size = len(self.sized(path))
        mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size * 3 // 2}", "tmpfs",
                                  str(self.out)], capture_output=True)
        if mounted.returncode != 0:
            self.skipTest("no file system can be mounted here")
        self.addCleanup(subprocess.run, ["umount", str(self.out)], check=True)
        done = damper("run", path, "--out", self.out, "--no-report", "--quiet")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        before = (self.out / "short.h5").read_bytes()
        done = damper("run", path, "--out", self.out, "--no-report")
        self.assert_status(done, 4)
        self.assertIn("full", done.stderr)
        self.assert_untouched(before)

    def sized(self, path):
        damper("run", path, "--out", self.folder / "size", "--no-report", "--quiet")
        return (self.folder / "size/short.h5").read_bytes()

    # --- rivals -------------------------------------------------------------------------------

    def test_a_second_run_on_the_same_folder_gives_status_5_at_once(self):
        first = start("run", self.scenario("long", LONG), "--out", self.out)
        try:
            self.wait_for(self.out / ".damper.lock", first)
            began = time.monotonic()
            done = damper("run", self.scenario(), "--out", self.out)
            self.assertLess(time.monotonic() - began, 2.0)
            self.assert_status(done, 5)
            self.assertIn(str(self.out), done.stderr)
            self.assertFalse((self.out / "short.h5").exists())
            other = damper("run", self.scenario(), "--out", self.folder / "other", "--quiet")
            self.assertIn(other.returncode, (0, 1))
        finally:
            first.kill()
            first.communicate()
        done = damper("run", self.scenario(), "--out", self.out, "--quiet")
        self.assertIn(done.returncode, (0, 1), "a killed run must not hold the folder")

    # --- signals ------------------------------------------------------------------------------

    def stopped_by(self, number):
        path = self.scenario("short", LONG)
        process = start("run", path, "--out", self.out)
        self.wait_for(self.out / ".damper.lock", process)
        time.sleep(0.3)
        began = time.monotonic()
        process.send_signal(number)
        status, _, err = self.ended(process)
        return status, err, time.monotonic() - began

    def test_an_interrupt_keeps_what_there_is_and_gives_130(self):
        before = self.earlier_result(self.scenario())
        status, err, took = self.stopped_by(signal.SIGINT)
        self.assertEqual(status, 130, err)
        self.assertLess(took, 5.0)
        self.assert_untouched(before)
        kept = self.out / "short.incomplete.h5"
        self.assertIn(str(kept), err)
        with h5py.File(kept) as file:
            end = file["signals/time"][-1]
        self.assertGreater(end, 0.0)
        self.assertLess(end, 590.0)
        # A complete run takes the incomplete one away.
        done = damper("run", self.scenario(), "--out", self.out, "--quiet")
        self.assertIn(done.returncode, (0, 1))
        self.assertEqual(sorted(p.name for p in self.out.iterdir()), ["short.h5", "short.html"])

    def test_a_request_to_terminate_keeps_what_there_is_and_gives_143(self):
        status, err, _ = self.stopped_by(signal.SIGTERM)
        self.assertEqual(status, 143, err)
        self.assertTrue((self.out / "short.incomplete.h5").is_file())

    def test_a_second_signal_ends_the_run_at_once(self):
        process = start("run", self.scenario("short", LONG), "--out", self.out)
        self.wait_for(self.out / ".damper.lock", process)
        time.sleep(0.5)
        for number in (signal.SIGSTOP, signal.SIGINT, signal.SIGTERM, signal.SIGCONT):
            process.send_signal(number)  # stopped, it finds the two at the same moment
        status, _, _ = self.ended(process)
        self.assertIn(status, (130, 143))
        self.assertEqual(list(self.out.glob("*.h5")), [])

    def test_progress_is_shown_on_a_terminal_only(self):
        path = self.scenario()
        for words, expected in (((), True), (("--quiet",), False)):
            parent, child = pty.openpty()
            process = subprocess.Popen([DAMPER, "run", str(path), "--out", str(self.out), *words],
                                       stdout=subprocess.PIPE, stderr=child, env=environment())
            os.close(child)
            shown = b""
            try:
                while piece := os.read(parent, 4096):
                    shown += piece
            except OSError:  # the other end is closed
                pass
            process.communicate(timeout=100)
            os.close(parent)
            self.assertEqual(b"%" in shown, expected, shown)

    def test_an_interrupt_ends_a_list_of_scenarios(self):
        first = self.scenario("first", LONG)
        second = self.scenario("second")
        process = start("run", first, second, "--out", self.out)
        self.wait_for(self.out / ".damper.lock", process)
        time.sleep(0.5)
        process.send_signal(signal.SIGINT)
        status, _, err = self.ended(process)
        self.assertEqual(status, 130, err)
        self.assertEqual(list(self.out.glob("second*")), [])

    def test_a_kill_at_any_moment_keeps_the_earlier_result(self):
        path = self.scenario(length="0.5 s")
        self.earlier_result(path)
        began = time.monotonic()
        damper("run", path, "--out", self.out, "--quiet")
        whole = time.monotonic() - began
        before = (self.out / "short.h5").read_bytes()
        moments = random.Random(5)  # the same moments each time
        killed = 0
        for _ in range(50):
            process = start("run", path, "--out", self.out, "--quiet")
            time.sleep(moments.uniform(0.0, 1.1 * whole))
            process.send_signal(signal.SIGKILL)
            process.communicate()
            killed += process.returncode == -signal.SIGKILL
            with h5py.File(self.out / "short.h5") as file:
                self.assertEqual(file["signals/time"].shape, file["signals/disc_twist"].shape)
            self.assertEqual(len((self.out / "short.h5").read_bytes()), len(before))
        self.assertGreater(killed, 10, "hardly a run was hit while it was on its way")
        damper("run", path, "--out", self.out, "--quiet")
        self.assertEqual(sorted(p.name for p in self.out.iterdir()), ["short.h5", "short.html"])
