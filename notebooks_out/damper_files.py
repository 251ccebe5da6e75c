# SPDX-License-Identifier: MIT
"""Reads the HDF5 files that damper writes. Everything in them is plain h5py; what is here only
saves the notebooks from repeating it.

Result files lie in the folder named by DAMPER_RESULTS, else in notebooks_out/results.
"""
import os
import pathlib

import h5py
import numpy as np

RESULTS = pathlib.Path(os.environ.get("DAMPER_RESULTS",
                                      pathlib.Path(__file__).resolve().parent / "results"))

RPM = 30.0 / np.pi  # rpm in a rad/s
DEGREES = 180.0 / np.pi  # degrees in a radian


def texts(dataset):
    """A column of words."""
    return [x.decode() if isinstance(x, bytes) else str(x) for x in dataset[:]]


class Result:
    """One file. `result["course/speed"]` is a column as a numpy array; `units` and `meaning` say
    what is in it; `title` and `about` what was run."""

    def __init__(self, name):
        self.path = RESULTS / name
        self.file = h5py.File(self.path)
        self.title = self.attribute("title")
        self.about = f"{self.attribute('vehicle')} · {self.attribute('disc')}"

    def attribute(self, name):
        value = self.file.attrs.get(name, "")
        return value.decode() if isinstance(value, bytes) else str(value)

    def __getitem__(self, name):
        data = self.file[name]
        return np.array(texts(data)) if data.dtype.kind in "OS" else data[()]

    def __contains__(self, name):
        return name in self.file

    def units(self, name):
        value = self.file[name].attrs.get("units", "1")
        return value.decode() if isinstance(value, bytes) else str(value)

    def meaning(self, name):
        value = self.file[name].attrs.get("long_name", "")
        return value.decode() if isinstance(value, bytes) else str(value)

    def groups(self, name):
        """Names of the groups below a group, in the order of the file."""
        return [key for key, item in self.file[name].items() if isinstance(item, h5py.Group)]

    def measure(self, name):
        """A measure's value, in its own unit."""
        return float(self.file[f"measures/{name}"][()])

    def during(self, name, start, end):
        """Time and values of a signal between two times [s]."""
        time = self.file["signals/time"][:]
        inside = (time >= start) & (time <= end)
        return time[inside], self.file[f"signals/{name}"][:][inside]
