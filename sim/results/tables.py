"""Traces and sweeps as CSV.

One header row, SI with the unit in the column's name, an empty cell where there is no number.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from sim.results.model import Floats, SweepTable, Trace
from sim.results.plain_files import read_plain_text

TIME = "time_s"
STOP_TIME = "stop_time_s"
CAUSE = "cause"
_TRACE_FORMAT = "%.9g"
"""Nine digits: below the tolerance of any run, and half the size of all seventeen."""
_TIME_FORMAT = "%.13g"
_EXACT = "%.17g"


def write_trace(path: Path, trace: Trace) -> None:
    """Write a case's history: time_s to 13 significant digits, every other column to 9. Raises OSError."""
    _write(path, {TIME: trace.time_s, **trace.columns}, [_TIME_FORMAT] + [_TRACE_FORMAT] * len(trace.columns))


def read_trace(path: Path) -> Trace:
    """Read what write_trace wrote. Raises OSError, or ValueError where the file is no such table."""
    names, values, _ = _read(path, TIME)
    return Trace(time_s=values[0], columns=dict(zip(names[1:], values[1:], strict=True)))


def write_sweep(path: Path, sweep: SweepTable) -> None:
    """Write a sweep, one row per stop instant, with all digits; the last column says why a run did not finish."""
    causes = sweep.causes or ("",) * len(sweep.stop_time_s)
    columns = {STOP_TIME: sweep.stop_time_s, **sweep.columns}
    _write(path, columns, [_EXACT] * len(columns), causes)


def read_sweep(path: Path, name: str) -> SweepTable:
    """Read what write_sweep wrote. Raises OSError, or ValueError where the file is no such table."""
    names, values, causes = _read(path, STOP_TIME)
    columns = dict(zip(names[1:], values[1:], strict=True))
    return SweepTable(name=name, stop_time_s=values[0], columns=columns, causes=causes if any(causes) else ())


_Causes = tuple[str, ...]


def _write(path: Path, columns: Mapping[str, Floats], formats: list[str], causes: _Causes | None = None) -> None:
    table = np.column_stack([np.asarray(column, dtype=np.float64) for column in columns.values()])
    row = ",".join(formats)
    lines = [row % tuple(values) for values in table.tolist()]
    if not np.isfinite(table).all():
        lines = [",".join("" if cell in ("nan", "inf", "-inf") else cell for cell in line.split(",")) for line in lines]
    heads = list(columns)
    if causes is not None:
        heads.append(CAUSE)
        lines = [f"{line},{_cell(cause)}" for line, cause in zip(lines, causes, strict=True)]
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(",".join(_cell(head) for head in heads) + "\n")
        file.write("".join(f"{line}\n" for line in lines))


def _cell(text: str) -> str:
    """Text as one CSV cell: on one line, quoted where it must be."""
    text = " ".join(text.splitlines())
    return '"' + text.replace('"', '""') + '"' if any(mark in text for mark in ',"') else text


def _read(path: Path, first: str) -> tuple[list[str], list[Floats], tuple[str, ...]]:
    """The heads, the columns and the causes (empty text for none) of a table whose first column is `first`."""
    text = read_plain_text(path)
    head, _, body = text.partition("\n")
    heads = next(csv.reader([head]))
    if not heads or heads[0] != first:
        raise ValueError(f"{path.name}: the first column is not {first}")
    causes: tuple[str, ...] = ()
    if heads[-1] != CAUSE:
        fast = _read_fast(path, body, len(heads))
        if fast is not None:
            return heads, fast, causes
    rows = list(csv.reader(io.StringIO(body)))
    if any(len(row) != len(heads) for row in rows):
        raise ValueError(f"{path.name}: a row does not have {len(heads)} cells")
    if heads[-1] == CAUSE:
        causes = tuple(row[-1] for row in rows)
        heads, rows = heads[:-1], [row[:-1] for row in rows]
    cells = [[float(cell) if cell else np.nan for cell in row] for row in rows]
    values = np.array(cells, dtype=np.float64).reshape(len(rows), len(heads))
    return heads, [values[:, i].copy() for i in range(len(heads))], causes


def _read_fast(path: Path, body: str, width: int) -> list[Floats] | None:
    """The columns of a table of nothing but numbers; None where it holds an empty cell or no row.

    From the file rather than from the text at hand, and turned at one go: a third faster.
    """
    if not body or ",," in body or ",\n" in body or "\n," in body:
        return None
    values = np.loadtxt(path, delimiter=",", ndmin=2, skiprows=1, encoding="utf-8")
    if values.shape[1] != width:
        raise ValueError(f"a row has {values.shape[1]} cells, the head {width}")
    return list(np.ascontiguousarray(values.T))
