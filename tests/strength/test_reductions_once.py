"""Every reduction multiplies exactly once, and everywhere the same: in the verdict, the chain, the table, the evidence.

What is expected is worked out here from the data files themselves, place by place, for random ends, pins, sheaves,
grooves, heat, water and wear on wire and braid.
"""

from __future__ import annotations

import csv
import math
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.results.elements_table import write_elements
from sim.results.model import ElementResult
from sim.scenario.model import Scenario
from sim.strength.chain import chain
from sim.strength.evidence import evidence_needed
from sim.strength.judge import Judgement, judge
from sim.strength.laws import DATA
from sim.strength.prepare import prepare
from tests.results.made_up import made_up_result
from tests.strength.lamplighter import SPANS, forces, scenario
from tests.strength.test_judge import LINE, runs


def data(name: str) -> Any:
    return yaml.safe_load((DATA / f"{name}.yaml").read_text(encoding="utf-8"))


BENDS, GROOVES, ENDS, FIBRES = data("bends"), data("grooves"), data("terminations"), data("fibres")
WORDS = {
    "wire": ("swaged sleeve with thimble", "swaged sleeve", "clips", "clips with thimble", "spelter socket"),
    "textile": ("long splice with thimble", "long splice", "short splice", "bowline", "figure eight"),
}
TYPES = {"wire": ("7x19 galvanised", "galvanised steel"), "textile": ("aramid copolymer 12-strand", "aramid copolymer")}


@dataclass(frozen=True)
class Drawn:
    """One random line: its material, end, pin, sheaves, drum and surroundings."""

    kind: str
    word: str
    pin_mm: int | None
    treads_mm: tuple[int, int]
    fits: tuple[str, str, str]
    drum_mm: int | None
    degC: float | None
    hook_degC: float | None
    hot_at: str
    wet: bool
    wear_percent: int
    last_share: float

    def scenario(self) -> Scenario:
        changes: list[tuple[str, Any]] = [
            (f"{LINE}/type", TYPES[self.kind][0]),
            (f"{LINE}/terminations/lamplighter", self.word),
            (f"{LINE}/wear_allowance", f"{self.wear_percent} %"),
            ("drives/winch/groove", self.fits[2]),
        ]
        for sheave, tread, fit in zip(("lead sheave", "head sheave"), self.treads_mm, self.fits, strict=False):
            changes += [(f"sheaves/{sheave}/tread_diameter", f"{tread} mm"), (f"sheaves/{sheave}/groove", fit)]
        if self.drum_mm is not None:
            changes.append(("drives/winch/drum_diameter", f"{self.drum_mm} mm"))
        if self.pin_mm is not None:
            changes.append(("hardware/hook shackle/pin_diameter", f"{self.pin_mm} mm"))
        around = {"wet": "yes" if self.wet else "no"}
        if self.degC is not None:
            around["temperature"] = f"{self.degC} degC"
        if self.hook_degC is not None:
            changes.append((f"{LINE}/temperature_at", {self.hot_at: f"{self.hook_degC} degC"}))
        return scenario(*changes, ("environment", around))

    def expected(self) -> dict[str, float]:
        """What is left of the strength at each place, by the tables alone."""
        left = {
            "winch": self._bent(self.drum_mm) * self._fit(2) if self.drum_mm else self._fit(2),
            "lead sheave": self._bent(self.treads_mm[0]) * self._fit(0),
            "head sheave": self._bent(self.treads_mm[1]) * self._fit(1),
            "lamplighter": self._end(),
        }
        if self.hook_degC is not None and self.hot_at in SPANS:
            left[self.hot_at] = 1.0
        return {at: factor * self._around(at) for at, factor in left.items()}

    def _bent(self, D_mm: float) -> float:
        table = BENDS[self.kind]["efficiency"]
        return float(np.interp(D_mm / 6.0, list(table), list(table.values())))

    def _fit(self, place: int) -> float:
        fit = self.fits[place]
        return 1.0 if fit == "fitted" else GROOVES[self.kind][fit]["value"]

    def _end(self) -> float:
        group = "wire" if self.kind == "wire" else "high-modulus"
        eye = f"{self.word} with thimble" in ENDS
        if eye and self.pin_mm is not None:
            return ENDS[f"{self.word} with thimble"][group]["value"] * self._bent(self.pin_mm)
        return ENDS[self.word][group]["value"]

    def _around(self, at: str) -> float:
        fibre = FIBRES[TYPES[self.kind][1]]
        left = 1.0 - self.wear_percent / 100.0
        degC = self.degC
        if self.hook_degC is not None and at == self.hot_at:
            degC = self.hook_degC
        elif self.hook_degC is not None and at in self.hot_at:  # an end or a sheave beside a span that is hot
            degC = self.hook_degC if degC is None else max(degC, self.hook_degC)
        if degC is not None:
            points = fibre["strength_left"]["points"]
            if fibre["strength_left"].get("steps"):
                left *= next(f for t, f in points.items() if degC <= t)
            else:
                left *= float(np.interp(degC, list(points), list(points.values())))
        return left * (fibre["wet_strength"]["value"] if self.wet else 1.0)


FIT = st.sampled_from(["fitted", "wide", "flat"])
DEGREES = st.none() | st.floats(-10.0, 100.0).map(lambda t: round(t, 1))


@st.composite
def drawn(draw: st.DrawFn) -> Drawn:
    kind = draw(st.sampled_from(["wire", "textile"]))
    mm = st.integers(6, 300)
    return Drawn(
        kind, draw(st.sampled_from(WORDS[kind])), draw(st.none() | st.integers(6, 60)), (draw(mm), draw(mm)),
        (draw(FIT), draw(FIT), draw(FIT)), draw(st.none() | mm), draw(DEGREES), draw(DEGREES),
        draw(st.sampled_from(["lamplighter", *SPANS])), draw(st.booleans()),
        draw(st.integers(0, 60)), draw(st.floats(0.3, 1.0)),
    )  # fmt: skip


CHECKS = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
FEW = settings(max_examples=60, deadline=None, suppress_health_check=CHECKS)


def judged(rig: Drawn) -> Judgement:
    return judge(rig.scenario(), runs(emergency=forces(4210, 5900, 4210 * rig.last_share)))


@FEW
@given(drawn())
def test_each_place_loses_what_the_tables_say_and_nothing_twice(rig: Drawn) -> None:
    (line,) = (each for each in prepare(rig.scenario()).elements if each.name == "drop line")
    expected = rig.expected()
    assert {place.name for place in line.places} == set(expected)
    for place in line.places:
        assert math.isclose(place.efficiency, expected[place.name], rel_tol=1e-12)
        kinds = Counter(_kind(each.what) for each in place.reductions)
        assert max(kinds.values()) == 1, kinds
        assert {each.at for each in place.reductions} == {place.name}


def _kind(what: str) -> str:
    """What sort of reduction it is; a bend over a pin and one over a sheave never meet."""
    sort = re.match(r"temperature|wet|wear|bend|bare eye|wide groove|flat groove", what)
    return {"bare eye": "bend", "wide groove": "groove", "flat groove": "groove"}.get(
        sort[0] if sort else "", sort[0] if sort else "end"
    )


@FEW
@given(rig=drawn())
def test_verdict_chain_table_and_evidence_say_the_same(tmp_path: Path, rig: Drawn) -> None:
    found = judged(rig)
    line = found.elements["drop line"]
    at_hook = 4210 * rig.last_share
    forces_N = {"winch": 4210, "lead sheave": 4210, "head sheave": 4210, "lamplighter": at_hook}
    forces_N |= dict.fromkeys(SPANS[:2], 4210) | {SPANS[2]: at_hook}
    least = min(29000.0 * left / forces_N[at] for at, left in rig.expected().items())
    assert line.design_factor.emergency is not None
    assert math.isclose(line.design_factor.emergency, least, rel_tol=1e-12)
    assert line.strength_N is not None
    assert math.isclose(line.strength_N, 29000.0 * math.prod(r.factor for r in line.reductions), rel_tol=1e-12)
    for kind, force_N in (("static", line.static_N), ("working", line.working_N), ("emergency", line.emergency_N)):
        load = line.loads[kind]
        assert load.strength_N is not None
        assert force_N is not None
        assert math.isclose(load.strength_N / force_N, getattr(line.design_factor, kind), rel_tol=1e-12)
    _same_chain(line)
    _same_table(line, tmp_path)
    weak = {each.what for each in line.reductions if each.needs_evidence}
    assert weak <= set(evidence_needed(rig.scenario(), "drop line"))
    assert line.needs_evidence == bool(weak)  # the strength itself has a certificate


def _same_chain(line: ElementResult) -> None:
    """The printed chain: every factor of the governing place once, each mark where it belongs, the same end."""
    said = chain(line)
    assert said.count(" × ") == len(line.reductions)
    for each in line.reductions:
        assert said.count(f"{each.what} (needs evidence)") == (1 if each.needs_evidence else 0)
    assert line.strength_N is not None
    assert f"= {line.strength_N / 1000:.2f} kN" in said


def _same_table(line: ElementResult, folder: Path) -> None:
    result = made_up_result()
    write_elements(folder / "elements.csv", type(result)(**{**vars(result), "elements": {line.name: line}}))
    rows = list(csv.DictReader((folder / "elements.csv").open(encoding="utf-8", newline="")))
    (row,) = [each for each in rows if each["decides"] and each["kind"] == "line"]
    assert float(row["strength_N"]) == line.strength_N
    assert row["reductions"].count(" at ") >= len(line.reductions)
    assert row["needs_evidence"] == ("yes" if line.needs_evidence else "")
