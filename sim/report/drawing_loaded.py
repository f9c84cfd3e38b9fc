"""Loads all that drawing needs; for a process that does nothing else."""

import matplotlib.backends.backend_svg
import matplotlib.collections
import matplotlib.figure
import matplotlib.style
import matplotlib.ticker

import sim.report.drawing

__all__ = ["matplotlib", "sim"]
