"""The accuracy page and the page of what is left out: written from a run's rows, read back, held against another run's.

A page is its own store: a run over some files replaces their sections only, and a full run is compared with what
it says. Differences are printed in hundredths of what is allowed, so that another machine's last digits do not
change the page.
"""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.outside.accuracy.rows import Kind, Row

FOLDER = Path(__file__).parents[1]
COLUMNS = ("case", "source", "kind", "ours", "theirs", "difference", "allowed")
INTRO = """# What stopload was held against

Written by `pytest tests/outside --accuracy-page`, from the checks of the tests in this folder. An ordinary run of them
fails when this page does not say what they found. *Ours* is the program's value, *theirs* what it is held against,
*difference* how far apart they are, in the unit or in per cent of theirs, to a hundredth of what is allowed.

A closed form is a formula evaluated in the test; equations written apart are a textbook's, written in the tests
without the program's and solved by a general library or in small steps; a published table is numbers as somebody
published them; a measured record was measured; another package is a library built for other things, with the rig
modelled from its own documentation; common practice has no source. A source from memory says so.
"""


LEFT_OUT = """# What the model leaves out, and how much it may matter

Written by `pytest tests/outside --accuracy-page` from the runs of `test_leaves_out.py`, beside
[what the program was held against](ACCURACY.md). *Ours* is the program's value, *theirs* the value with what it leaves
out, *allowed* the most the test lets them differ: nothing here is agreement, it is the size of what is missing in that
one run. Another rig may be worse.
"""


@dataclass(frozen=True)
class Page:
    """Where it stands, its first words, which files' rows it holds, and whether it sums them up."""

    path: Path
    intro: str
    left_out: bool = False

    def holds(self, file: str) -> bool:
        """Whether the rows of a test file stand here."""
        return (file == "test_leaves_out.py") is self.left_out


PAGE = Page(FOLDER / "ACCURACY.md", INTRO)
PAGES = (PAGE, Page(FOLDER / "LEAVES_OUT.md", LEFT_OUT, left_out=True))


class PageError(Exception):
    """The page cannot be written or read."""


@dataclass(frozen=True)
class Line:
    """A row as the page shows it; all text, and the numbers it stands for."""

    texts: tuple[str, ...]

    @property
    def case(self) -> str:
        """What is compared: unique in its section."""
        return self.texts[0]

    def number(self, column: str) -> list[float]:
        """The numbers in a column."""
        return [float(x) for x in re.findall(r"-?\d[\d.]*(?:e[+-]?\d+)?", self.texts[COLUMNS.index(column)])]


def shown(value: float) -> str:
    """A number to six digits."""
    return f"{value:.6g}"


def _theirs(row: Row) -> str:
    if row.low == row.high:
        return shown(row.low)
    if math.isinf(row.high):
        return f"at least {shown(row.low)}"
    if math.isinf(row.low):
        return f"at most {shown(row.high)}"
    return f"{shown(row.low)} to {shown(row.high)}"


def _difference(row: Row) -> str:
    if row.low != row.high and row.difference == 0.0:
        return "inside"
    in_unit = not (row.relative and row.scale)
    value = row.difference if in_unit else row.difference / row.scale * 100.0
    step = (row.allowed if in_unit else row.allowed * 100.0) / 100.0
    if not step:
        return f"{value:.2g}"
    places = max(0, -math.floor(math.log10(step)))
    text = f"{value:.{places}f}" if value >= step else f"<{step:.{places}f}"
    return f"{text} {row.unit}".rstrip() if in_unit else f"{text} %"


def _allowed(row: Row) -> str:
    if row.low != row.high and not row.allowed:
        return "inside"
    return f"{row.allowed * 100.0:.4g} %" if row.relative else f"{row.allowed:.4g} {row.unit}".rstrip()


def line_of(row: Row) -> Line:
    """A row as the page shows it."""
    unit = f" {row.unit}" if row.unit else ""
    ours, theirs = shown(row.ours) + unit, _theirs(row) + unit
    return Line((row.case, row.source, row.kind, ours, theirs, _difference(row), _allowed(row)))


def by_file(rows: Iterable[Row]) -> dict[str, list[Row]]:
    """Rows by file, each in the order of its tests. Raises PageError where two of a file have the same case."""
    found: dict[str, list[Row]] = {}
    for row in sorted(rows, key=lambda r: (r.file, r.order)):
        found.setdefault(row.file, []).append(row)
    for file, inside in found.items():
        cases = [row.case for row in inside]
        if twice := sorted({case for case in cases if cases.count(case) > 1}):
            raise PageError(f"{file}: the same case twice: {'; '.join(twice)}")
    return found


def read(text: str) -> dict[str, list[Line]]:
    """The sections of a page: file -> its lines."""
    sections: dict[str, list[Line]] = {}
    for block in re.split(r"^## ", text, flags=re.MULTILINE)[1:]:
        named = re.search(r"^\[`(test_\w+\.py)`\]", block, re.MULTILINE)
        if named:
            rows = re.findall(r"^\| (.+) \|$", block, re.MULTILINE)[1:]
            sections[named[1]] = [Line(tuple(row.split(" | "))) for row in rows]
    return sections


def _share_of(line: Line) -> float:
    """Difference over allowed as shown."""
    allowed, difference = line.number("allowed"), line.number("difference")
    if not allowed or not difference or line.texts[5].startswith("<") or not allowed[0]:
        return 0.0
    return difference[0] / allowed[0]


def _summary(sections: Mapping[str, Sequence[Line]]) -> str:
    lines = [line for section in sections.values() for line in section]
    out = ["| held against | checks | nearest to what is allowed |", "|---|---|---|"]
    for kind in Kind:
        of_kind = [line for line in lines if line.texts[2] == kind.value]
        if of_kind:
            out.append(f"| {kind.value} | {len(of_kind)} | {_worst(of_kind)} |")
    out += ["", "| subject | checks | nearest to what is allowed |", "|---|---|---|"]
    for file, section in sections.items():
        out.append(f"| {_title(file)[0]} (`{file}`) | {len(section)} | {_worst(section)} |")
    return "\n".join(out) + "\n"


def _worst(lines: Sequence[Line]) -> str:
    worst = max(lines, key=_share_of)
    if not _share_of(worst):
        return "all within a hundredth of it, or inside their band"
    return f"{worst.texts[5]} of {worst.texts[6]} allowed: {worst.case}"


def _title(file: str) -> tuple[str, str]:
    """First sentence and rest of a test module's docstring."""
    doc = ast.get_docstring(ast.parse((FOLDER / file).read_text(encoding="utf-8"))) or file
    first, _, rest = doc.partition("\n\n")
    return " ".join(first.split()), rest.strip()


def _cells(texts: Sequence[str]) -> str:
    return f"| {' | '.join(texts)} |"


def write(sections: Mapping[str, Sequence[Line]], page: Page = PAGE) -> str:
    """A page's text."""
    ordered = dict(sorted(sections.items()))
    out = [page.intro] if page.left_out else [page.intro, _summary(ordered)]
    for file, lines in ordered.items():
        title, rest = _title(file)
        out.append(f"## {title}\n\n[`{file}`]({file})\n" + (f"\n{rest}\n" if rest else ""))
        out += [_cells(COLUMNS), "|" + "---|" * len(COLUMNS), *(_cells(line.texts) for line in lines)]
        out.append("")
    return "\n".join(out).rstrip() + "\n"


def stale_pages(rows: Sequence[Row]) -> list[str]:
    """What the pages say otherwise than a full run found, or than the tests' own words; empty when nothing."""
    out = []
    for page in PAGES:
        text = page.path.read_text(encoding="utf-8")
        found = stale(read(text), [row for row in rows if page.holds(row.file)])
        if not found and write(read(text), page) != text:
            found = [f"{page.path.name}: the words around the tables have changed"]
        out += found
    return out


def stale(page: Mapping[str, Sequence[Line]], rows: Iterable[Row]) -> list[str]:
    """What the tables say otherwise than a full run found."""
    found = {(file, row.case): row for file, inside in by_file(rows).items() for row in inside}
    said = {(file, line.case): line for file, lines in page.items() for line in lines}
    out = [f"{file}: {case}: not on the page" for file, case in found.keys() - said.keys()]
    out += [f"{file}: {case}: on the page, but not checked" for file, case in said.keys() - found.keys()]
    for key in found.keys() & said.keys():
        row, line = found[key], said[key]
        now = line_of(row)
        differ = [COLUMNS[i] for i in (1, 2, 6) if line.texts[i] != now.texts[i]]
        if not _same_value(line.texts[3], row.ours, row):
            differ.append("ours")
        if line.texts[4] != now.texts[4] and not (row.low == row.high and _same_value(line.texts[4], row.low, row)):
            differ.append("theirs")
        for column in differ:
            i = COLUMNS.index(column)
            out.append(f"{key[0]}: {row.case}: {column} is {now.texts[i]}, the page says {line.texts[i]}")
    return sorted(out)


def _same_value(text: str, value: float, row: Row) -> bool:
    """Whether a value still is what the page says: to rounding, or to a tenth of what is allowed."""
    number = re.match(r"-?\d[\d.]*(?:e[+-]?\d+)?", text)
    if not number or text[number.end() :].strip() != row.unit:
        return False
    if row.low != row.high and not row.allowed:
        width = row.high - row.low
        tenth = 0.1 * width if math.isfinite(width) else 0.01 * abs(value)
    else:
        tenth = 0.1 * row.allowed_in_unit
    return abs(float(number[0]) - value) <= max(tenth, 1e-5 * abs(value))
