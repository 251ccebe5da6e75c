# SPDX-License-Identifier: MIT
"""How the figures look, and where they are kept: DAMPER_FIGURES, else notebooks_out/figures.

Colours are told apart by people with any kind of colour vision, and lines by their dashes too.
"""
import os
import pathlib

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt  # noqa: E402
from matplotlib.ticker import ScalarFormatter  # noqa: E402

FIGURES = pathlib.Path(os.environ.get("DAMPER_FIGURES",
                                      pathlib.Path(__file__).resolve().parent / "figures"))

BLUE, RUST, GREEN, PURPLE, GREY = "#27588f", "#b3451a", "#3b7d4f", "#6a4c93", "#7a7a72"
COLOURS = [BLUE, RUST, GREEN, PURPLE, GREY]
DASHES = ["-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1))]

plt.rcParams.update({
    "figure.figsize": (7.2, 3.4),
    "figure.dpi": 100,
    "figure.constrained_layout.use": True,
    "font.size": 9.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.titlesize": 10.0,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "grid.color": "#e3e2dc",
    "grid.linewidth": 0.8,
    "lines.linewidth": 1.5,
    "legend.frameon": False,
    "axes.prop_cycle": plt.cycler(color=COLOURS, linestyle=DASHES),
})


def plain(axis):
    """Numbers on a logarithmic axis as people write them."""
    axis.set_major_formatter(ScalarFormatter())


def keep(figure, name):
    """Writes NAME.png, with nothing in it that differs from one run to the next."""
    FIGURES.mkdir(parents=True, exist_ok=True)
    path = FIGURES / f"{name}.png"
    figure.savefig(path, metadata={"Software": None})
    plt.close(figure)
    return path.name
