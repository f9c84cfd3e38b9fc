"""A figure as an element of an HTML page: its ids are its own, its colours the page's, and it is told in words too."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from plots import page

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_COLOURS = {"#000000": "--ink", "#5a5a5a": "--soft", "#b4b4b4": "--faint", "#e6e6e6": "--grid", "#ffffff": "--paper"}


def svg_element(figure: Figure, prefix: str, title: str, words: str) -> str:
    """The figure as an SVG element: every id begins with the prefix, title and words are its alternative in text."""
    buffer = io.StringIO()
    with page.styled():
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": "stopload"}, transparent=True)
    ElementTree.register_namespace("", _SVG)
    ElementTree.register_namespace("xlink", _XLINK)
    root = ElementTree.fromstring(buffer.getvalue())
    for child in list(root):
        if child.tag.endswith("metadata") or child.find(f"{{{_SVG}}}style") is not None:
            root.remove(child)
    for name in ("width", "height"):
        root.attrib.pop(name, None)
    _own_ids(root, prefix)
    for element in root.iter():
        if "style" in element.attrib:
            element.set("style", _page_colours(element.attrib["style"]))
    root.set("style", "fill: var(--ink, #000000); stroke-linejoin: round; stroke-linecap: butt")
    root.set("class", "moving")
    root.set("role", "img")
    root.set("aria-labelledby", f"{prefix}-title {prefix}-words")
    for place, (tag, name, said) in enumerate((("title", "title", title), ("desc", "words", words))):
        element = ElementTree.Element(f"{{{_SVG}}}{tag}", {"id": f"{prefix}-{name}"})
        element.text = said
        root.insert(place, element)
    return ElementTree.tostring(root, encoding="unicode")


def _own_ids(root: ElementTree.Element, prefix: str) -> None:
    """Begin every id with the prefix, and what points to one."""
    for element in root.iter():
        name = element.get("id")
        if name is not None and not name.startswith(f"{prefix}-"):
            element.set("id", f"{prefix}-{name}")
        for key, value in element.attrib.items():
            if key.endswith("href") and value.startswith("#"):
                element.set(key, f"#{prefix}-{value[1:]}")
            elif value.startswith("url(#"):
                element.set(key, f"url(#{prefix}-{value[5:]}")


def _page_colours(looks: str) -> str:
    for colour, name in _COLOURS.items():
        looks = looks.replace(colour, f"var({name}, {colour})")
    return looks
