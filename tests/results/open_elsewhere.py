# SPDX-License-Identifier: MIT
"""Opens a result file without our code: open_elsewhere.py READER FILE SAMPLES.

READER is h5py, h5netcdf or netcdf4 (the last two through xarray). Ends with 77 if the reader is
not installed, 1 with a message if the file is not as promised.
"""

import math
import sys


def check(holds, what):
    if not holds:
        sys.exit(f"open_elsewhere: {what}")


def with_h5py(path, samples):
    import h5py

    with h5py.File(path) as file:
        check(file.attrs["format"] == "damper result", "format is not text")
        check(file.attrs["Conventions"] == "CF-1.8", "Conventions")
        check("漢字" in file.attrs["title"], "text is not UTF-8")
        signals = file["signals"]
        check(list(signals) == ["time", "flywheel_speed", "disc_twist", "bare"],
              "signals are not in the order of the run")
        speed = signals["flywheel_speed"]
        check(speed.attrs["units"] == "rad/s", "units")
        check(speed.attrs["long_name"] == "Flywheel speed", "long_name")
        check(speed.dims[0][0] == signals["time"], "time is not the scale of a signal")
        check(speed.dims[0].keys() == ["time"], "the scale has no name")
        check(speed.compression == "gzip" and speed.shuffle and speed.fletcher32, "filters")
        check(speed.shape == (samples,), "length")
        for i, (time, value) in enumerate(zip(signals["time"], speed)):
            check(abs(time - 1e-3 * i) < 1e-12, "time")
            check(abs(value - 85.9 - math.sin(0.2 * i)) < 1e-9, "values")
        impacts = file["events/impacts"]
        names = file["events/elements/name"].asstr()[...]
        check(names[impacts["element"][1]] == "disc stage 1", "element of an impact")
        swing = file["measures/speed_swing"]
        check(swing[()] == 4.0 and swing.attrs["verdict"] == "watch", "measure")
        check(swing.attrs["limit_good"] == 5.0, "limit")
        check(abs(file["energy/residual"][()] - 1.0 / 120.0) < 1e-12, "residual")


def group_names(path):
    import h5py

    names = ["/"]
    with h5py.File(path) as file:
        file.visititems(
            lambda name, item: names.append(name) if isinstance(item, h5py.Group) else None)
    return names


def with_xarray(path, engine, samples):
    import xarray

    for group in group_names(path):
        with xarray.open_dataset(path, group=group, engine=engine) as data:
            data.load()
            for name, variable in data.variables.items():
                check(all(not str(dim).startswith("phony") for dim in variable.dims),
                      f"{group}/{name} hangs on no axis")
    with xarray.open_dataset(path, group="signals", engine=engine) as data:
        check(data.flywheel_speed.dims == ("time",), "dimension of a signal")
        check(data.flywheel_speed.attrs["units"] == "rad/s", "units")
        if samples > 0:
            near = float(data.flywheel_speed.sel(time=0.1, method="nearest"))
            check(abs(near - 85.9 - math.sin(20.0)) < 1e-9, "value at a time")
    if samples > 0:
        with xarray.open_dataset(path, group="verdict/judgements", engine=engine) as data:
            check(list(data.grade.values) == ["bad", "watch"], "words in a table")
        with xarray.open_dataset(path, group="spectra/flywheel_acceleration",
                                 engine=engine) as data:
            check(float(data.amplitude.sel(order=1.0)) == 0.2, "amplitude of an order")
        # Without a word about the engine it opens as well.
        with xarray.open_dataset(path, group="events/impacts") as data:
            check(data.sizes["index"] == 100, "impacts")


def main():
    reader, path, samples = sys.argv[1], sys.argv[2], int(sys.argv[3])
    try:
        if reader == "h5py":
            with_h5py(path, samples)
        else:
            __import__({"h5netcdf": "h5netcdf", "netcdf4": "netCDF4"}[reader])
            with_xarray(path, reader, samples)
    except ModuleNotFoundError as missing:
        print(missing)
        sys.exit(77)


main()
