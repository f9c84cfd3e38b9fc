"""A report is made from the result, its file as plain data and the scenario that was run. It computes nothing."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.report.given import SCENARIO_FILE, described
from sim.report.look import NOTHING, Look
from sim.report.spans import Spans, Traced
from sim.results.folder import RESULT, SCENARIO, changed_files, read_result
from sim.results.model import Result
from sim.results.plain_files import read_plain_bytes, within
from sim.results.whole import FolderError
from sim.scenario import Scenario, ScenarioErrors, read_file

UNITS_BY_ENDING = (
    ("_J_per_m", "J/m"),
    ("_kg_per_m", "kg/m"),
    ("_N_per_m", "N/m"),
    ("_m_s2", "m/s^2"),
    ("_g_s", "g/s"),
    ("_m_s", "m/s"),
    ("_N", "N"),
    ("_kg", "kg"),
    ("_m", "m"),
    ("_s", "s"),
    ("_g", "g"),
    ("_J", "J"),
    ("_Hz", "Hz"),
    ("_Nm", "N m"),
    ("_degC", "degC"),
    ("_percent", "%"),
)
"""A field's name carries its unit; the longest ending first."""


@dataclass(frozen=True)
class Source:
    """One result folder, read.

    data: result.json as it stands. scenario: what was run, or why it cannot be read by this version. changed: files
    that are not what was written. digest: the SHA-256 of result.json, by which the report names its result.
    """

    folder: Path
    result: Result
    data: Mapping[str, Any]
    look: Look
    scenario: Scenario | None
    scenario_trouble: str
    changed: tuple[str, ...]
    digest: str

    def number(self, *field: str | int, unit: str | None = None, bare: bool = False) -> Traced:
        """The number of a field, with its unit or bare (for a column whose head has it); a dash where it is None."""
        value = self._found(field)
        unit = _unit_of(field) if unit is None else unit
        said = self.data.get("not_numbers", {}).get("/" + "/".join(str(step) for step in field))
        if said:
            return Traced(said, field, None)
        if value is None:
            return Traced(NOTHING, field, unit)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise TypeError(f"{field} is no number but {value!r}")
        show = self.look.number if bare else self.look.with_unit
        return Traced(show(value, unit), field, unit, float(value))

    def fitting(self, *field: str | int) -> Traced:
        """The number of a field in a unit that fits its size: a small length in mm, a count as a whole number."""
        plain, value = self.number(*field), self._found(field)
        if plain.sort is None:
            return plain
        return Traced(self.look.fitting(value, plain.unit or ""), field, plain.unit, plain.sort, how="fitting")

    def small(self, *field: str | int) -> Traced:
        """A number that may be very small, with a power of ten; a dash where it is None."""
        value = self._found(field)
        if value is None:
            return Traced(NOTHING, field, "")
        return Traced(self.look.marked(f"{float(value):.1e}"), field, "", float(value), how="small")

    def percent(self, *field: str | int) -> Traced:
        """A share as a percentage, to two figures; a dash where it is None."""
        value = self._found(field)
        if value is None:
            return Traced(NOTHING, field, "")
        text = self.look.marked(f"{100.0 * float(value):.2g}")
        return Traced(f"{text}\u00a0%", field, "", float(value), how="percent")

    def words(self, *field: str | int) -> Traced:
        """The words of a field."""
        return Traced(str(self._found(field)), field)

    def key(self, *field: str | int) -> Traced:
        """The name a path ends in, such as a case's or an element's."""
        self._found(field)
        return Traced(str(field[-1]), field, how="key")

    def count(self, *field: str | int) -> Traced:
        """How many a field holds."""
        number = len(self._found(field))
        return Traced(str(number), field, "", float(number), how="count")

    def given(self, *field: str | int) -> Traced:
        """A name of the scenario: what these keys end in."""
        return Traced(str(field[-1]), field, how="key", of=SCENARIO_FILE)

    def described(self, *field: str | int, keys: tuple[str, ...] = (), leave: tuple[str, ...] = ()) -> Spans:
        """A part of the scenario in words (see `sim.report.given.described`); nothing where it could not be read."""
        return described(self.scenario, field, keys, leave) if self.scenario is not None else ()

    def _found(self, field: tuple[str | int, ...]) -> Any:
        here: Any = self.data
        for step in field[:-1]:
            here = here[step]
        last = field[-1]
        return here.get(last) if isinstance(here, Mapping) else here[last]


def read_source(folder: Path, look: Look) -> Source:
    """Read a result folder for reporting. Raises FolderError where it is none or not whole, OSError from the disk."""
    result = read_result(folder)
    content = read_plain_bytes(folder / RESULT)
    try:
        there = within(folder, SCENARIO).is_file()
    except ValueError as out:
        raise FolderError(f"{folder} is no whole result folder: {out}") from out
    if not there:
        raise FolderError(f"{folder} is no whole result folder: {SCENARIO} is missing")
    scenario, trouble = None, ""
    try:
        scenario = read_file(folder / SCENARIO)
    except ScenarioErrors as errors:
        trouble = str(errors.faults[0])
    return Source(
        folder=folder, result=result, data=json.loads(content), look=look, scenario=scenario, scenario_trouble=trouble,
        changed=changed_files(folder), digest=hashlib.sha256(content).hexdigest(),
    )  # fmt: skip


def _unit_of(field: tuple[str | int, ...]) -> str:
    name = str(next(step for step in reversed(field) if isinstance(step, str)))
    return next((unit for ending, unit in UNITS_BY_ENDING if name.endswith(ending)), "")
