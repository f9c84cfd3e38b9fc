"""The key beside the rig drawing: symbols used, numbered names, and elements that have no place of their own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plots import page, style, symbols, text

KEY_IN = 2.5
_LINE_IN = 0.17
_BEFORE_WORDS_IN = 0.32


def draw_key(
    sheet: page.Sheet,
    place_in: tuple[float, float],
    used: tuple[Sequence[str], bool, bool],
    numbered: Mapping[int, tuple[str, str]],
    elsewhere: Mapping[str, str],
) -> None:
    """Write the key from a place downwards.

    Args:
        sheet: what to write on.
        place_in: left and top, inches.
        used: the kinds of point drawn, whether there are planned paths, whether forces are shown.
        numbered: names (and forces, or '') by the number standing for them in the drawing.
        elsewhere: forces by the names of elements that are not in the drawing.
    """
    left_in, top_in = place_in
    kinds, paths, forces = used
    rows = len(kinds) + paths
    axes = sheet.axes(left_in, top_in - _LINE_IN * rows, _BEFORE_WORDS_IN, _LINE_IN * rows)
    axes.set_axis_off()
    axes.set_xlim(-1, 1)
    axes.set_ylim(-rows, 0)
    for i, kind in enumerate(kinds):
        if kind == "body":
            axes.plot([0], [-i - 0.5], linestyle="none", marker="s", color=style.GRID, markeredgecolor=style.SOFT)
        symbols.draw_symbol(axes, kind, (0.0, -i - 0.5), f"_{kind}")
    words = [symbols.WORDS.get(kind, kind) for kind in kinds]
    if paths:
        axes.plot([-0.9, 0.9], [0.5 - rows] * 2, color=style.SOFT, linewidth=0.9, linestyle=(0, (4, 2.5)))
        words.append("path of the planned move")
    for i, word in enumerate(words):
        middle_in = top_in - _LINE_IN * (i + 0.5)
        sheet.write(left_in + _BEFORE_WORDS_IN + 0.05, middle_in, word, va="center", fontsize=style.SMALL_PT)
    lower_in = top_in - _LINE_IN * (rows + 1)
    lower_in = _listed(sheet, left_in, lower_in, "Numbered in the drawing", _numbered_lines(numbered))
    if forces:
        _listed(
            sheet, left_in, lower_in, "Forces on parts not drawn", [f"{n}  {force}" for n, force in elsewhere.items()]
        )


def _numbered_lines(numbered: Mapping[int, tuple[str, str]]) -> list[str]:
    return [f"({n}) {name}  {force}".rstrip() for n, (name, force) in numbered.items()]


def _listed(sheet: page.Sheet, left_in: float, top_in: float, heading: str, entries: Sequence[str]) -> float:
    """A heading and its entries, each wrapped to the key's width; gives where the next list begins."""
    if not entries:
        return top_in
    top_in -= _LINE_IN
    sheet.write(left_in, top_in, heading, fontsize=style.SMALL_PT, weight="bold")
    for entry in entries:
        for i, line in enumerate(text.wrap_in(entry, KEY_IN - 0.15, style.SMALL_PT)):
            top_in -= _LINE_IN
            sheet.write(left_in + (0.12 if i else 0.0), top_in, line, fontsize=style.SMALL_PT)
    return top_in - _LINE_IN
