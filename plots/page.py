"""The sheet a figure is drawn on: size, heading, foot, and how it becomes a file.

The one place that loads the drawing library, and only when a figure is made. It is used without its global state: no
figure registers itself anywhere, and the reader's own settings change nothing.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from plots import style, text
from sim.results import cautions

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Looks: TypeAlias = dict[str, Any]
"""Settings of the drawing library for one thing drawn."""

_Line: TypeAlias = tuple[str, float, Looks]
"""A line of text, its size in points and its looks."""

MARGIN_IN = 0.3
_BOXES_ONLY = "Last Resort"
"""A font that has a box for every letter and the shape of none."""
_BOXES_SAID = "Boxes stand for letters that no font on the machine had that drew this; the SVG has them."


@dataclass(frozen=True)
class Words:
    """What a sheet says about itself: warnings stand out, remarks do not; source and the caution are its foot."""

    title: str
    subtitle: str = ""
    warnings: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    source: str = ""


class TooSmall(ValueError):
    """A figure has no room on the sheet asked for; the message says how much it needs."""


@dataclass(frozen=True)
class Size:
    """The sheet that is asked for, inches; height None: as high as what is drawn needs."""

    width_in: float
    height_in: float | None = None

    def room_for(self, needed_in: float, what: str) -> float:
        """The width. Raises TooSmall where it is less than what is needed."""
        if self.width_in < needed_in - 1e-9:
            raise TooSmall(
                f"{what} needs a sheet at least {_mm(needed_in)} mm wide; {_mm(self.width_in)} mm were asked for"
            )
        return self.width_in

    def middle_in(self, words: Words, wanted_in: float, least_in: float, what: str) -> float:
        """Height of what stands between heading and foot: what is wanted, or what the sheet leaves.

        Raises TooSmall where that is less than the least.
        """
        if self.height_in is None:
            return wanted_in
        around_in = around(words, self.width_in)
        if self.height_in - around_in < least_in - 1e-9:
            needed, asked = _mm(around_in + least_in), _mm(self.height_in)
            raise TooSmall(f"{what} needs a sheet at least {needed} mm high; {asked} mm were asked for")
        return self.height_in - around_in


@dataclass(frozen=True)
class Sheet:
    """A figure of known size, with the strips its heading and foot leave free, all in inches from the lower left."""

    figure: Figure
    width_in: float
    height_in: float
    top_in: float
    bottom_in: float

    def axes(self, left: float, bottom: float, width: float, height: float, share: Axes | None = None) -> Axes:
        """Axes at a place in inches, sharing time with others where given."""
        place = (left / self.width_in, bottom / self.height_in, width / self.width_in, height / self.height_in)
        return self.figure.add_axes(place, sharex=share)

    def write(self, left: float, bottom: float, words: str, **looks: Any) -> None:
        """Text at a place in inches."""
        settings: Looks = {"ha": "left", "va": "baseline", "linespacing": text.LINE_HEIGHT_EM, **looks}
        self.figure.text(left / self.width_in, bottom / self.height_in, words, **settings)

    def stroke(self, points_in: Sequence[tuple[float, float]], **looks: Any) -> None:
        """A line through places in inches, outside any axes."""
        from matplotlib.lines import Line2D

        x = [p[0] / self.width_in for p in points_in]
        y = [p[1] / self.height_in for p in points_in]
        settings: Looks = {"transform": self.figure.transFigure, **looks}
        self.figure.add_artist(Line2D(x, y, **settings))


@contextmanager
def styled() -> Iterator[None]:
    """The house style for everything drawn within, whatever the reader's own settings are; they are put back after."""
    from matplotlib import style as library_style

    with library_style.context(["default", style.RC]):
        yield


def source_line(stamp: Mapping[str, object]) -> str:
    """Where a figure comes from: the program's version and the input's hash, as the result's stamp has them.

    Under 'result' a stamp may say more exactly which result file was read, so that a figure can stand alone.
    """
    parts = [f"stopload {stamp['version']}"] if "version" in stamp else ["stopload"]
    files = stamp.get("files")
    if isinstance(files, Mapping):
        parts += [f"{name} {_short_hash(str(value))}" for name, value in files.items()]
    parts += [str(stamp["result"])] if "result" in stamp else []
    return "  ·  ".join(parts)


def around(words: Words, width_in: float) -> float:
    """Height that heading, foot and margins take on a sheet of that width, inches."""
    return sheet(words, width_in, 0.0).height_in


def sheet(words: Words, width_in: float, middle_in: float) -> Sheet:
    """A sheet with heading and foot around a free middle of the height asked for."""
    from matplotlib.figure import Figure

    room_in = width_in - 2 * MARGIN_IN
    heading = _heading(words, room_in)
    foot: list[_Line] = [(line, style.SMALL_PT, {"color": style.SOFT}) for line in _foot_lines(words, room_in)]
    foot_in = sum(text.height_in(line, size) for line, size, _ in foot)
    height_in = 2 * MARGIN_IN + sum(text.height_in(line, size) for line, size, _ in heading) + middle_in + foot_in
    made = Sheet(
        Figure(figsize=(width_in, height_in), facecolor=style.PAPER),
        width_in, height_in,
        top_in=height_in - MARGIN_IN - sum(text.height_in(line, size) for line, size, _ in heading),
        bottom_in=MARGIN_IN + foot_in,
    )  # fmt: skip
    _write_down(made, heading, height_in - MARGIN_IN)
    _write_down(made, foot, MARGIN_IN + foot_in)
    return made


def bare(width_in: float, height_in: float) -> Sheet:
    """A sheet without heading and foot, for a drawing that stands in a page which has them."""
    from matplotlib.figure import Figure

    return Sheet(Figure(figsize=(width_in, height_in), facecolor=style.PAPER), width_in, height_in, height_in, 0.0)


def save(figure: Figure, path: Path, title: str) -> None:
    """Write a figure as the kind its name ends in: svg (text stays text), pdf (fonts within) or png.

    The same figure gives the same bytes.

    Raises:
        ValueError: for any other kind.
        OSError: when the file cannot be written.
    """
    kind = path.suffix.removeprefix(".").lower()
    with styled(), warnings.catch_warnings():
        # The reader's own fonts show what the measuring font lacks; for PNG `readable` says what no font here has.
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        if kind == "svg":
            about = {"Date": None, "Title": title, "Creator": "stopload", "Description": cautions.SHORT}
            figure.savefig(path, format="svg", metadata=about)
        elif kind == "pdf":
            about = {"CreationDate": None, "Title": title, "Creator": "stopload", "Subject": cautions.SHORT}
            with readable(figure):
                figure.savefig(path, format="pdf", metadata=about)
        elif kind == "png":
            with readable(figure):
                figure.savefig(path, format="png", metadata={"Title": title, "Software": "stopload"})
        else:
            raise ValueError(f"figures are written as svg, pdf or png, not {kind!r}")


def _mm(inches: float) -> str:
    return f"{25.4 * inches:.0f}"


def _short_hash(value: str) -> str:
    """'sha256 0123456789ab…': enough to recognise a file by, short enough to read out."""
    algorithm, _, digest = value.rpartition(" ")
    return f"{algorithm} {digest[:12]}…".strip() if len(digest) > 12 else value


def _heading(words: Words, room_in: float) -> list[_Line]:
    kinds: list[_Line] = [(words.title, style.TITLE_PT, {"weight": "bold"})]
    kinds += [(words.subtitle, style.TEXT_PT + 1, {})] if words.subtitle else []
    kinds += [(line, style.TEXT_PT, {"weight": "bold"}) for line in words.warnings]
    kinds += [(line, style.SMALL_PT, {}) for line in words.remarks]
    return [(line, size, looks) for whole, size, looks in kinds for line in text.wrap_in(whole, room_in, size)]


def _foot_lines(words: Words, room_in: float) -> list[str]:
    paragraphs = [words.source, cautions.SHORT] if words.source else [cautions.SHORT]
    return [line for p in paragraphs for line in text.wrap_in(p, room_in, style.SMALL_PT)]


def _write_down(made: Sheet, lines: Sequence[_Line], top_in: float) -> None:
    for line, size, looks in lines:
        top_in -= text.height_in(line, size)
        made.write(MARGIN_IN, top_in + 0.25 * size / text.POINTS_PER_INCH, line, fontsize=size, **looks)


@contextmanager
def readable(figure: Figure) -> Iterator[None]:
    """For a file that shows letters by their shapes, give every text a chain of installed fonts that has them all."""
    from matplotlib.text import Text

    texts = [t for t in figure.findobj(Text) if isinstance(t, Text)]
    families, missing = _fonts_for({c for t in texts for c in t.get_text() if ord(c) > 0x20})
    if missing:
        warnings.warn(
            f"no installed font has {' '.join(sorted(missing))}: boxes stand for them; the SVG has the text",
            stacklevel=2,
        )
    before = [t.get_fontfamily() for t in texts]
    for t in texts:
        t.set_fontfamily(families)
    # Said on the picture too: who is sent the file sees no warning.
    note = figure.text(0.5, 0.004, _BOXES_SAID if missing else "", ha="center", va="bottom", fontsize=style.SMALL_PT)
    yield
    note.remove()
    for t, family in zip(texts, before, strict=True):
        t.set_fontfamily(family)


def letters_without_font(text: str) -> set[str]:
    """The letters of a text that no font on this machine has, so that a picture or a PDF cannot show them."""
    return _fonts_for({c for c in text if ord(c) > 0x20 and c.isprintable()})[1]


def _fonts_for(letters: set[str]) -> tuple[list[str], set[str]]:
    """Font families that together have the letters, the house font first, and the letters none has."""
    from matplotlib import font_manager

    house = font_manager.get_font(font_manager.findfont(style.FONT))
    families, missing = [style.FONT], {c for c in letters if not house.get_char_index(ord(c))}
    installed = [e for e in font_manager.fontManager.ttflist if not e.name.startswith(_BOXES_ONLY)]
    for entry in sorted(installed, key=lambda e: (e.name, e.fname)) if missing else ():
        font = font_manager.get_font(entry.fname)
        found = {c for c in missing if font.get_char_index(ord(c))}
        if found:
            families.append(entry.name)
            missing -= found
    return families, missing
