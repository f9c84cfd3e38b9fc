"""Figures from results: histories, the rig to scale, stop sweeps, variants compared.

Everything here reads Results, Traces and Drawings and computes nothing of its own: each number drawn is a field of the
result. The drawing library loads when the first figure is made, so that importing this package costs nothing.
"""

from plots.cases import cases_figure
from plots.compare import compare_figure
from plots.compare_history import compare_history_figure
from plots.differences import differences_figure
from plots.files import write_comparison_plots, write_difference_plots, write_plots, write_rig_drawing
from plots.film import write_film
from plots.history import history_figure
from plots.moving import MovingDrawing, moving_drawing
from plots.moving_page import moving_page, write_moving_page
from plots.notebook import comparison_page, result_page
from plots.overview import overview_figure
from plots.rig_drawing import rig_figure
from plots.sweep import sweep_figure

__all__ = [
    "MovingDrawing",
    "cases_figure",
    "compare_figure",
    "compare_history_figure",
    "comparison_page",
    "differences_figure",
    "history_figure",
    "moving_drawing",
    "moving_page",
    "overview_figure",
    "result_page",
    "rig_figure",
    "sweep_figure",
    "write_comparison_plots",
    "write_difference_plots",
    "write_film",
    "write_moving_page",
    "write_plots",
    "write_rig_drawing",
]
