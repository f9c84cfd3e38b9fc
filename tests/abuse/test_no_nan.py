""" "Not a number" and infinity are in no file that a run or a report writes: JSON, tables, figures, page and paper.

The rigs are those in which one might come about: a run that ends early, a case that has no rest to begin from, line
that goes slack, nothing to judge by.
"""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from sim.command.main import main
from tests.abuse.extremes import RIGS
from tests.abuse.test_no_rest import RIG
from tests.studies.hoist import SPREAD, hoist_text

TEXTS = {
    "a sweep at both ends of a mass": hoist_text(0.5, mass=SPREAD["mass"]),
    "a failure without rest": RIG.replace("MASS", "80 kg"),
    "line that runs out": RIGS["hang of 1 mm, taking in 2 mm"].text(),
    "no friction, no damping": RIGS["no friction, no damping"].text(),
}
WORD = re.compile(r"(?<![\w.])[-+]?(nan|inf|infinity|1\.#inf|1\.#ind)(?![\w])", re.IGNORECASE)
# Fonts and pictures as letters, and the page's own code, which asks whether something is a number.
NO_TEXT = re.compile(r"base64,[A-Za-z0-9+/=\s]+|<script(?![^>]*json)[^>]*>.*?</script>", re.DOTALL)


def refused(word: str) -> float:
    raise AssertionError(f"{word} in JSON")


def words_in(path: Path) -> list[str]:
    """Every such word of a file that a person or a program may read."""
    if path.suffix == ".pdf":
        text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
    elif path.suffix in (".svg", ".html", ".json", ".csv", ".yaml", ".jsonl"):
        text = NO_TEXT.sub("", path.read_text(encoding="utf-8"))
    else:
        raise AssertionError(f"{path.name}: a kind of file nobody looks into")
    return [f"{path.name}: …{text[max(m.start() - 40, 0) : m.end() + 20]}…" for m in WORD.finditer(text)]


@pytest.mark.parametrize("name", TEXTS)
def test_no_file_holds_what_is_no_number(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "rig.yaml").write_text(TEXTS[name], encoding="utf-8")
    out = tmp_path / "out"
    assert main(["run", str(tmp_path / "rig.yaml"), "--out", str(out)]) in (0, 1, 3)
    assert main(["report", str(out)]) == 0
    told = "".join(capsys.readouterr())
    assert not WORD.search(told), told
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    kinds = {path.suffix for path in files}
    assert kinds >= {".json", ".csv", ".svg", ".html", ".pdf", ".yaml"}
    assert [word for path in files for word in words_in(path)] == []
    result = json.loads((out / "result.json").read_text(encoding="utf-8"), parse_constant=refused)
    assert "not_numbers" not in result
    for table in out.rglob("*.csv"):
        with table.open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
        assert len({len(row) for row in rows}) == 1, table.name


def test_the_search_finds_what_it_looks_for(tmp_path: Path) -> None:
    for text in ('d="M 1 nan L 2"', "<td>inf</td>", "-Infinity,", "1,NaN,2", 'data-x="nan"'):
        (tmp_path / "figure.svg").write_text(text, encoding="utf-8")
        assert words_in(tmp_path / "figure.svg"), text
    (tmp_path / "figure.svg").write_text("information, infinite, banana, finance, base64,a/nan+inf/", encoding="utf-8")
    assert not words_in(tmp_path / "figure.svg")
