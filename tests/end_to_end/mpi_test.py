# SPDX-License-Identifier: MIT
"""A study shared out by mpirun: the same numbers as one process gives, whoever dies on the way."""
import os
import pathlib
import random
import shutil
import signal
import subprocess
import time
import unittest

from study_test import StudyTest
from support import DAMPER, damper, environment

BUILT = os.environ.get("DAMPER_MPI") == "1" and shutil.which("mpirun")


def mpirun(*words, count=2):
    # Ranks on a machine with fewer free cores, and as root in a container, are refused otherwise.
    return subprocess.Popen(
        ["mpirun", "--oversubscribe", "-n", str(count), DAMPER, *map(str, words)],
        env=environment(OMPI_ALLOW_RUN_AS_ROOT="1", OMPI_ALLOW_RUN_AS_ROOT_CONFIRM="1",
                        OMPI_MCA_btl_vader_single_copy_mechanism="none"),
        text=True, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def children(parent):
    found = []
    for entry in pathlib.Path("/proc").iterdir():
        try:
            fields = (entry / "stat").read_text().rsplit(")", 1)[1].split()
        except (OSError, IndexError):
            continue
        if int(fields[1]) == parent:
            found.append(int(entry.name))
    return found


@unittest.skipUnless(BUILT, "built without MPI (cmake -DDAMPER_MPI=ON)")
class Mpi(StudyTest):
    def words(self, out, *more, count=400):
        return ("scatter", "car_idle_hot",
                "--spread", "disc.stages[0].hysteresis=normal(nominal, 30 %)",
                "--spread", "conditions.gearbox_oil=uniform(60 degC, 95 degC)",
                "--set", "manoeuvre.settle=0.15 s", "--set", "manoeuvre.length=0.3 s",
                "--set", "recording.step=0.5 ms", "--count", count, "-o", self.folder / out, *more)

    def end(self, process):
        out, err = process.communicate(timeout=120)
        return process.returncode, out, err

    def assert_as_one(self, *outs):
        self.assert_status(damper(*self.words("one")), 0)
        for out in outs:
            self.assert_same(self.folder / "one/car_idle_hot_scatter.h5",
                             self.folder / out / "car_idle_hot_scatter.h5")

    def test_any_number_of_ranks_gives_what_one_process_gives(self):
        for count in (2, 3):
            status, out, err = self.end(mpirun(*self.words(f"n{count}"), count=count))
            self.assertEqual(status, 0, err)
            self.assertEqual(out.count("Written:"), 3, out)
            shards = list((self.folder / f"n{count}").glob(f"*-of-{count}.shard"))
            self.assertEqual(len(shards), count)
        # The smallest shard holds variants: nobody stood idle.
        self.assertGreater(min(shard.stat().st_size for shard in shards), 10_000)
        self.assert_as_one("n2", "n3")

    def test_a_rank_killed_loses_its_unfinished_variants_only(self):
        dice = random.Random(11)
        kills, sizes = 0, []
        for _ in range(3):
            process = mpirun(*self.words("killed", count=2000))
            time.sleep(dice.uniform(0.6, 1.1))
            ranks = children(process.pid)
            if process.poll() is None and ranks:
                os.kill(dice.choice(ranks), signal.SIGKILL)
                kills += 1
            status, _, _ = self.end(process)
            self.assertNotEqual(status, 0)
            sizes.append(sum(shard.stat().st_size
                             for shard in (self.folder / "killed").glob("*.shard")))
        self.assertGreater(kills, 1)
        self.assertEqual(sizes, sorted(sizes))
        # Taken up by another number of ranks, and then compared with one process.
        status, _, err = self.end(mpirun(*self.words("killed", count=2000), count=3))
        self.assertEqual(status, 0, err)
        self.assert_status(damper(*self.words("whole", count=2000)), 0)
        self.assert_same(self.folder / "whole/car_idle_hot_scatter.h5",
                         self.folder / "killed/car_idle_hot_scatter.h5")

    def test_what_is_wrong_is_said_once(self):
        for words, text in (
                (self.words("x", "--shard", "1/2"), "two ways to share the work"),
                (self.words("x")[:-2], "--out is needed"),
                (("run", "car_idle_hot"), "this verb is one process"),
                (("scatter", "no_such_scenario", "--spread", "disc.damping=normal(nominal, 3 %)",
                  "-o", self.folder / "x"), "no_such_scenario")):
            status, out, err = self.end(mpirun(*words))
            self.assertEqual(status, 2, err)
            self.assertEqual(out, "")
            self.assertEqual(err.count(text), 1, err)


if __name__ == "__main__":
    unittest.main()
