"""Figures from results: histories, the rig to scale, stop sweeps, variants compared.

Everything here reads Results, Traces and Drawings and computes nothing of its own: each number drawn is a field of the
result. The drawing library loads when the first figure is made, so that importing this package costs nothing.
"""

from plots.cases import cases_figure
from plots.compare import compare_figure
from plots.compare_history import compare_history_figure
from plots.files import write_comparison_plots, write_plots, write_rig_drawing
from plots.history import history_figure
from plots.overview import overview_figure
from plots.rig_drawing import rig_figure
from plots.sweep import sweep_figure

__all__ = [
    "cases_figure",
    "compare_figure",
    "compare_history_figure",
    "history_figure",
    "overview_figure",
    "rig_figure",
    "sweep_figure",
    "write_comparison_plots",
    "write_plots",
    "write_rig_drawing",
]
