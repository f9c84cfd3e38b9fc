"""A recorded trace of line paid out, read from CSV and checked: every fault of a file at once."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from profiles.motion import Floats

METRES_PER_FOOT = 0.3048  # international foot, exact by definition
POSITION_COLUMNS = {"paid_out_m": 1.0, "paid_out_ft": METRES_PER_FOOT}

# Limits of the checks: our own choices, not a standard's.
FEWEST_ROWS = 5
LARGEST = 1e6
LARGEST_BYTES = 20_000_000  # ten minutes at 1 kHz take 12 MB
GAP_IN_STEPS = 5.0  # a step this many times the usual one is a gap; one lost row is none
JUMP_M_S2 = 200.0  # no drive that carries a person accelerates its line like this ...
JUMP_M = 0.02  # ... and below this it may be the noise of the measurement
REST_SHARE = 0.05  # of the top speed, up to which the line counts as at rest at the ends
REST_OVER_S = 0.05  # time over which the speed at the ends is taken, three rows at least
FAULTS_SHOWN = 20  # of one kind


class TraceFaults(ValueError):
    """What is wrong with a recorded trace.

    faults: one readable text each, with the row in the file (the header is row 1).
    """

    def __init__(self, name: str, faults: list[str]) -> None:
        super().__init__("\n".join([f"{name} cannot be followed:", *(f"  {fault}" for fault in faults)]))
        self.name = name
        self.faults = tuple(faults)

    def __reduce__(self) -> tuple[type[TraceFaults], tuple[str, list[str]]]:
        return type(self), (self.name, list(self.faults))


@dataclass(frozen=True)
class Recording:
    """A checked trace: time_s (n,) increasing, paid_out_m (n,) beginning at 0; name is for messages."""

    time_s: Floats
    paid_out_m: Floats
    name: str

    @property
    def step_s(self) -> float:
        """The usual time between two rows."""
        return float(np.median(np.diff(self.time_s)))


def read_recording(path: Path | str) -> Recording:
    """Read and check a CSV file; raises TraceFaults, or OSError when there is no such file."""
    path = Path(path)
    if path.stat().st_size > LARGEST_BYTES:
        raise TraceFaults(path.name, [f"the file has more than {LARGEST_BYTES // 1_000_000} MB"])
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise TraceFaults(path.name, ["the file is not plain text (UTF-8)"]) from error
    return recording_from_text(text, path.name)


def recording_from_text(text: str, name: str = "trace") -> Recording:
    """Check a trace given as CSV text with the headers time_s and paid_out_m or paid_out_ft.

    Further columns are left alone, blank lines too. The first value is taken as position zero.
    Raises TraceFaults with everything found: missing headers, cells that are no numbers, times that
    do not increase, gaps, jumps, too few rows, ends that are not at rest.

    >>> recording_from_text("time_s,paid_out_m\\n0,0\\n0,x\\n")
    Traceback (most recent call last):
    ...
    profiles.recording.TraceFaults: trace cannot be followed:
      row 3: paid_out_m is 'x', not a number
      2 rows are too few: 5 are the fewest
    """
    try:
        cells = enumerate(csv.reader(text.splitlines()), 1)
        rows = [(i, row) for i, row in cells if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise TraceFaults(name, [f"the file is not a table: {error}"]) from error
    if not rows:
        raise TraceFaults(name, ["the file is empty"])
    header = [cell.strip() for cell in rows[0][1]]
    faults = _header_faults(header)
    if faults:
        raise TraceFaults(name, faults)
    column = next(c for c in POSITION_COLUMNS if c in header)
    table, faults = _numbers(rows[1:], header, ("time_s", column))
    if len(rows) - 1 < FEWEST_ROWS:
        faults.append(f"{len(rows) - 1} rows are too few: {FEWEST_ROWS} are the fewest")
    row, time_s, paid_out_m = table[:, 0].astype(int), table[:, 1], table[:, 2] * POSITION_COLUMNS[column]
    order = _shown(_out_of_order(row, time_s))
    faults += order
    if not order and len(row) >= FEWEST_ROWS:
        faults += _shown(_gaps(row, time_s)) + _shown(_jumps(row, time_s, paid_out_m))
        faults += _moving_ends(time_s, paid_out_m)
    if faults:
        raise TraceFaults(name, faults)
    return Recording(time_s, paid_out_m - paid_out_m[0], name)


def _header_faults(header: list[str]) -> list[str]:
    found = f"row 1 reads {', '.join(header)!r}"
    faults = []
    if header.count("time_s") != 1:
        faults.append(f"one column must be headed time_s; {found}")
    if sum(header.count(column) for column in POSITION_COLUMNS) != 1:
        faults.append(f"one column must be headed {' or '.join(POSITION_COLUMNS)}; {found}")
    return faults


def _numbers(
    rows: list[tuple[int, list[str]]], header: list[str], columns: tuple[str, str]
) -> tuple[Floats, list[str]]:
    """Row number and the two values of every row that can be read, and faults for those that cannot."""
    table, faults = [], []
    for i, row in rows:
        if len(row) != len(header):
            faults.append(f"row {i}: {len(row)} cells where the header has {len(header)}")
            continue
        values = []
        for column in columns:
            cell = row[header.index(column)].strip()
            values.append(_number(cell))
            if math.isnan(values[-1]):
                faults.append(f"row {i}: {column} is {cell!r}, not a number" if cell else f"row {i}: no {column}")
        if not any(math.isnan(value) for value in values):
            table.append((i, *values))
    return np.array(table, dtype=np.float64).reshape(-1, 3), _shown(iter(faults))


def _number(cell: str) -> float:
    """The number in a cell, NaN when there is none that could be a time or a length of line."""
    try:
        value = math.nan if "_" in cell else float(cell)  # Python alone reads 1_0 as ten
    except ValueError:
        return math.nan
    return value if abs(value) <= LARGEST else math.nan


def _out_of_order(row: np.ndarray, time_s: Floats) -> Iterator[str]:
    for i in np.flatnonzero(np.diff(time_s) <= 0):
        same = time_s[i + 1] == time_s[i]
        yield (
            f"row {row[i + 1]}: the same time as row {row[i]}, {time_s[i]:.6g} s"
            if same
            else f"row {row[i + 1]}: time goes back from {time_s[i]:.6g} s to {time_s[i + 1]:.6g} s"
        )


def _gaps(row: np.ndarray, time_s: Floats) -> Iterator[str]:
    step = np.diff(time_s)
    usual = float(np.median(step))
    for i in np.flatnonzero(step > GAP_IN_STEPS * usual):
        yield f"row {row[i + 1]}: a gap of {step[i]:.4g} s after row {row[i]}, where rows are {usual:.4g} s apart"


def _jumps(row: np.ndarray, time_s: Floats, paid_out_m: Floats) -> Iterator[str]:
    """Places the line could not have got to: the change of speed over a row is out of reach, and it is no noise."""
    step, moved = np.diff(time_s), np.diff(paid_out_m)
    bend_m_s2 = 2 * np.diff(moved / step) / (step[1:] + step[:-1])
    size_m = np.abs(bend_m_s2) * step[1:] * step[:-1]
    suspect = np.flatnonzero((np.abs(bend_m_s2) > JUMP_M_S2) & (size_m > JUMP_M))
    for group in np.split(suspect, np.flatnonzero(np.diff(suspect) > 1) + 1):
        if not len(group):
            continue
        steps = np.arange(group[0], group[-1] + 2)  # the steps that meet at the suspect rows
        i = steps[np.argmax(np.abs(moved[steps]))]
        yield f"row {row[i + 1]}: the line jumps by {moved[i]:.4g} m in {step[i]:.4g} s"


def _moving_ends(time_s: Floats, paid_out_m: Floats) -> list[str]:
    """Speeds at the ends, of a parabola through the rows near each: starting off from rest is none."""
    near_start = np.arange(max(3, np.searchsorted(time_s, time_s[0] + REST_OVER_S)))
    near_end = np.arange(min(len(time_s) - 3, np.searchsorted(time_s, time_s[-1] - REST_OVER_S)), len(time_s))
    top = float(np.abs((paid_out_m[2:] - paid_out_m[:-2]) / (time_s[2:] - time_s[:-2])).max())
    ends = {
        how: float(np.polyfit(time_s[rows] - time_s[at], paid_out_m[rows] - paid_out_m[at], 2)[1])
        for how, rows, at in (("begins", near_start, 0), ("ends", near_end, -1))
    }
    return [
        f"the trace {how} at {speed:.3g} m/s: it must begin and end at rest"
        for how, speed in ends.items()
        if abs(speed) > REST_SHARE * top
    ]


def _shown(faults: Iterator[str]) -> list[str]:
    listed = list(faults)
    more = len(listed) - FAULTS_SHOWN
    return listed if more <= 0 else [*listed[:FAULTS_SHOWN], f"and {more} more of this kind"]
