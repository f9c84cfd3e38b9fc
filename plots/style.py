"""How curves look: told apart by line style, marker and label first, by colour last.

Each colour stands out 3 to 1 from white and from a dark page (Web Content Accessibility Guidelines 2.2, success
criterion 1.4.11); black and grey become the page's own there. They come from a random search for colours far apart
under these limits: any two differ by at least 15 in CIEDE2000 with full and with dichromatic colour vision. No two
curves of a panel share line style and marker, so a black-and-white copy loses nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

INK = "#000000"
SOFT = "#5a5a5a"
FAINT = "#b4b4b4"
GRID = "#e6e6e6"
PAPER = "#ffffff"

TITLE_PT = 11.0
TEXT_PT = 8.0
SMALL_PT = 7.0

FONT = "DejaVu Sans"

COLOURS = (INK, "#a69400", "#1598f0", "#61865b", "#205ee2", "#a24e00", "#f7549b", SOFT)
_DASHES: tuple[tuple[float, ...], ...] = ((), (5.0, 1.6), (8.0, 1.6, 1.4, 1.6), (2.4, 1.2))
_MARKERS = ("", "s", "^", "D", "v")

CURVES_PER_PANEL = 8
"""A panel with more curves than this is split: beyond it nobody follows a line with the eye."""

PATCH: dict[str, object] = {"boxstyle": "square,pad=0.1", "facecolor": PAPER, "edgecolor": "none", "alpha": 0.85}
"""Paper behind text that stands on curves."""

RC: dict[str, object] = {
    "font.family": [FONT, "sans-serif"],
    "font.size": TEXT_PT,
    "text.parse_math": False,
    "text.usetex": False,
    "axes.linewidth": 0.6,
    "axes.edgecolor": SOFT,
    "axes.labelsize": TEXT_PT,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.formatter.use_mathtext": False,
    "axes.formatter.useoffset": False,
    "axes.unicode_minus": True,
    "xtick.labelsize": TEXT_PT,
    "ytick.labelsize": TEXT_PT,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.major.width": 0.6,
    "ytick.major.width": 0.6,
    "lines.linewidth": 1.2,
    "lines.dash_capstyle": "butt",
    "svg.fonttype": "none",
    "svg.hashsalt": "stopload",
    "pdf.fonttype": 42,  # whole fonts, so that text can be searched and copied
    "savefig.dpi": 160,
}


@dataclass(frozen=True)
class CurveStyle:
    """Colour, dash pattern (points on and off, empty for a full line) and marker ('' for none) of one curve."""

    colour: str
    dash: tuple[float, ...]
    marker: str

    @property
    def linestyle(self) -> str | tuple[float, tuple[float, ...]]:
        """The dash pattern as the drawing library takes it."""
        return (0.0, self.dash) if self.dash else "-"


def curve_style(index: int, colour_of: int | None = None) -> CurveStyle:
    """Style of the index-th curve; the first 20 all differ in dash or marker.

    Args:
        index: place of the curve in its panel, from 0.
        colour_of: take the colour of this place instead, for a second curve of the same thing.
    """
    colour = COLOURS[(index if colour_of is None else colour_of) % len(COLOURS)]
    marker = _MARKERS[index // len(_DASHES) % len(_MARKERS)]
    return CurveStyle(colour, _DASHES[index % len(_DASHES)], marker)
