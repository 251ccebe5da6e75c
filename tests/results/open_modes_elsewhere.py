# SPDX-License-Identifier: MIT
"""Opens a file of natural modes without our code: open_modes_elsewhere.py READER FILE.

READER is h5py, h5netcdf or netcdf4 (the last two through xarray). Ends with 77 if the reader is
not installed, 1 with a message if the file is not as promised.
"""
import math
import sys


def check(holds, what):
    if not holds:
        sys.exit(f"open_modes_elsewhere: {what}")


def with_h5py(path):
    import h5py

    with h5py.File(path) as file:
        check(file.attrs["format"] == "damper modes", "format")
        check(file.attrs["friction"] == "slips", "friction")
        check("漢字" in file.attrs["title"], "text is not UTF-8")
        check(list(file["gears/gear"].asstr()) == ["neutral", "a/b"], "gears")
        groups = list(file["gears/group"].asstr())
        check(groups == ["neutral", "gear_2"], "groups")
        for name in groups:
            group = file["modes"][name]
            frequency = group["frequency"]
            check(frequency.attrs["units"] == "Hz", "units")
            check(frequency.attrs["long_name"] == "undamped natural frequency", "long_name")
            check(list(frequency) == [4.0, 30.0, 5000.0], "frequencies")
            check(frequency.dims[0][0] == group["mode"], "axis of the modes")
            check(list(group["mode"]) == [1, 2, 3], "modes count from 1")
            check(list(group["inertia"].asstr()) == ["engine", "wheel left", "wheel right"],
                  "names of inertias")
            shape = group["shape"]
            check(shape.shape == (3, 3) and list(shape[0]) == [1.0, -0.3, 0.2], "shape")
            check(shape.dims[0][0] == group["mode"] and shape.dims[1][0] == group["inertia"],
                  "axes of a shape")
            strain = group["strain_share"]
            check(strain.shape == (3, 2) and strain.dims[1][0] == group["element"], "strain")
            row = group["row"]
            check(row.dims[0][0] == group["element"] and row.dims[1][0] == group["inertia"],
                  "axes of the rows")
            check(list(row[0]) == [1.0, -0.5, -0.5], "row")
            speed = group["critical_speed"]
            check(abs(speed[0, 2] - 2 * math.pi * 4.0 / 2.0) < 1e-12, "critical speed")
            check(speed.dims[1][0] == group["order"], "axis of the orders")


def with_xarray(path, engine):
    import xarray

    for group in ("/", "/gears", "/orders", "/modes/neutral", "/modes/gear_2"):
        with xarray.open_dataset(path, group=group, engine=engine) as data:
            data.load()
            if group.startswith("/modes/"):
                check(data["shape"].dims == ("mode", "inertia"), f"{engine}: dims of a shape")
                check(float(data["shape"].sel(inertia="wheel left")[0]) == -0.3,
                      f"{engine}: an inertia by its name")
                check(data["frequency"].attrs["units"] == "Hz", f"{engine}: units")


def main():
    reader, path = sys.argv[1:]
    try:
        __import__({"netcdf4": "netCDF4"}.get(reader, reader))
        if reader == "h5py":
            with_h5py(path)
        else:
            with_xarray(path, reader)
    except ModuleNotFoundError as missing:
        print(missing, file=sys.stderr)
        sys.exit(77)


main()
