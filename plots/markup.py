"""A figure as SVG markup to stand inside a page: ids of its own, short, and where its axes lie, to be drawn over.

Only attributes are touched, on the parsed tree, so that no name in a figure is ever taken for markup.
"""

from __future__ import annotations

import io
import re
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from plots import page

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_COLOURS = {"#000000": "--ink", "#5a5a5a": "--soft", "#b4b4b4": "--faint", "#e6e6e6": "--grid", "#ffffff": "--paper"}
_LOOKS = "stroke-linejoin: round; stroke-linecap: butt"
_ABOUT = {"Date": None, "Creator": None, "Format": None, "Type": None}

_LONG_NUMBER = re.compile(r"-?\d+\.\d{2,}")
_SAME_STEP = re.compile(r"(?<=[\d.]) L (?=-?[\d.])")
_PLACES = ("x", "y", "x1", "y1", "x2", "y2", "width", "height", "cx", "cy", "r")
_LONG_PLACE = re.compile(r"-?\d+\.\d{3,}")
_NO_TURN = re.compile(r"rotate\(-?0 [^)]*\)")
_FONT = re.compile(r"font-family: ([^;]*)(?:; |$)")


@dataclass(frozen=True)
class AxesPlace:
    """Where one pair of axes lies in its figure, as fractions from the left and the top, and its horizontal span."""

    left: float
    top: float
    width: float
    height: float
    from_x: float
    to_x: float


@dataclass(frozen=True)
class Markup:
    """One figure: an `<svg>` element with ids of its own and no size of its own, its size on paper, and its axes."""

    svg: str
    width_in: float
    height_in: float
    axes: tuple[AxesPlace, ...]


@dataclass(frozen=True)
class Told:
    """What a figure is called and what it shows, in words, for who cannot see it. kind: its class in a page."""

    title: str
    words: str
    kind: str


def markup(figure: Figure, prefix: str, told: Told | None = None, page_colours: bool = False) -> Markup:
    """The figure as markup.

    Places of curves keep one decimal of a point: half of that is a twentieth of the width of a curve.

    Args:
        figure: what was drawn; a thing in it that was given an id keeps it.
        prefix: begins every id, so that several figures can stand in one page.
        told: stands within as its alternative in text.
        page_colours: black, greys and white are the page's own where it sets them (`--ink`, `--soft`, `--faint`,
            `--grid`, `--paper`), so that it goes with light and dark; the sheet is transparent.
    """
    out = io.StringIO()
    with page.styled(), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from")  # the reader's own fonts have it
        figure.savefig(out, format="svg", metadata=dict(_ABOUT), transparent=page_colours)
    root = ElementTree.fromstring(out.getvalue())
    for child in list(root):
        if child.tag.endswith("metadata") or child.find(f"{{{_SVG}}}style") is not None:
            root.remove(child)
    for name in ("width", "height"):
        root.attrib.pop(name, None)
    _own_ids(root, prefix)
    fonts = _shorten(root)
    if page_colours:
        _give_page_colours(root)
    root.set("style", "; ".join([*(["fill: var(--ink, #000000)"] if page_colours else []), _LOOKS, *fonts]))
    if told is not None:
        _tell(root, prefix, told)
    ElementTree.register_namespace("", _SVG)
    ElementTree.register_namespace("xlink", _XLINK)
    width_in, height_in = figure.get_size_inches()
    svg = ElementTree.tostring(root, encoding="unicode")
    return Markup(svg, float(width_in), float(height_in), tuple(_axes(figure)))


def _own_ids(root: ElementTree.Element, prefix: str) -> None:
    """Begin every id with the prefix, and what points to one; an id nothing points to goes, unless it was given."""
    used = set[str]()
    for element in root.iter():
        for key, value in element.attrib.items():
            if key.endswith("href") and value.startswith("#"):
                used.add(value[1:])
                element.set(key, f"#{prefix}-{value[1:]}")
            elif value.startswith("url(#"):
                used.add(value[5:-1])
                element.set(key, f"url(#{prefix}-{value[5:]}")
    for element in root.iter():
        name = element.get("id", "")
        if name in used:
            element.set("id", f"{prefix}-{name}")
        elif name and not name.startswith(f"{prefix}-"):
            del element.attrib["id"]


def _shorten(root: ElementTree.Element) -> list[str]:
    """Short numbers, no turn by nothing, no blanks for layout; gives the font of all texts, said once for all."""
    fonts = {found[1] for element in root.iter() if (found := _FONT.search(element.get("style", "")))}
    common = fonts.pop() if len(fonts) == 1 else None
    for element in root.iter():
        if (path := element.get("d")) is not None:
            element.set("d", _short_path(path))
        for key in _PLACES:
            if _LONG_PLACE.fullmatch(element.get(key, "")):
                element.set(key, f"{float(element.attrib[key]):.2f}")
        if _NO_TURN.fullmatch(element.get("transform", "")):
            del element.attrib["transform"]
        if common is not None and "style" in element.attrib:
            element.set("style", _FONT.sub("", element.attrib["style"]).removesuffix("; "))
        if len(element) and not (element.text or "").strip():
            element.text = None
        if not (element.tail or "").strip():
            element.tail = None
    return [f"font-family: {common}"] if common is not None else []


def _short_path(path: str) -> str:
    """The path with short numbers, and without saying again at each point that a straight line leads there."""
    words = " ".join(_LONG_NUMBER.sub(_shorter, path).split())
    if set("CcQqAaSsTtHhVv") & set(words):
        return words  # after a curve, two numbers alone would be a curve too
    first, step, rest = words.partition(" L ")
    return f"{first}{step}{_SAME_STEP.sub(' ', rest)}"


def _shorter(number: re.Match[str]) -> str:
    return f"{float(number[0]):.1f}".removesuffix(".0")


def _give_page_colours(root: ElementTree.Element) -> None:
    for element in root.iter():
        if "style" in element.attrib:
            looks = element.attrib["style"]
            for colour, name in _COLOURS.items():
                looks = looks.replace(colour, f"var({name}, {colour})")
            element.set("style", looks)


def _tell(root: ElementTree.Element, prefix: str, told: Told) -> None:
    root.set("role", "img")
    root.set("class", told.kind)
    root.set("aria-labelledby", f"{prefix}-title {prefix}-words")
    for place, (tag, name, said) in enumerate((("title", "title", told.title), ("desc", "words", told.words))):
        element = ElementTree.Element(f"{{{_SVG}}}{tag}", {"id": f"{prefix}-{name}"})
        element.text = said
        root.insert(place, element)


def _axes(figure: Figure) -> list[AxesPlace]:
    places = []
    for axes in figure.axes:
        left, bottom, width, height = axes.get_position().bounds
        low, high = axes.get_xlim()
        places.append(AxesPlace(left, 1.0 - bottom - height, width, height, float(low), float(high)))
    return places
