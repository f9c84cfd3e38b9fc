"""What stands in a figure, for the tests."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D


def curves(axes: Axes) -> list[Line2D]:
    """The curves of a panel: lines with a name of their own and more than two points."""
    return [
        line for line in axes.lines
        if not str(line.get_label()).startswith("_") and len(np.asarray(line.get_xdata())) > 2
    ]  # fmt: skip


def panel(figure: Figure, quantity: str) -> Axes:
    """The first panel whose axis begins with these words."""
    return next(a for a in figure.axes if a.get_ylabel().startswith(quantity))


def marks(axes: Axes) -> list[float]:
    """The marked values of a panel."""
    return [float(np.asarray(m.get_ydata())[0]) for m in axes.lines if m.get_label() == "_mark"]


def words_of(figure: Figure) -> str:
    """All that is written outside the panels."""
    return "\n".join(t.get_text() for t in figure.texts)
