"""One element against its loads: the least quotient of strength over force, over places, cases and load classes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from sim.results.model import CaseResult, ElementResult, Factors, Load, Outcome, PlaceResult, Reduction
from sim.results.verdict import LOADS as CLASSES
from sim.results.verdict import least_margin, load_margins

HOLDING = ("brake", "grip")
"""Kinds of elements that hold by slipping, as the simulation has it."""


@dataclass(frozen=True)
class Place:
    """Where an element can fail.

    keys: names in `CaseResult.peaks` and `.static_N` of the forces acting here; the largest counts.
    share: part of that force one leg bears. reductions: what is taken from the strength here, and only here.
    kind: of a line's places 'termination', 'bend' or 'span'.
    """

    name: str
    keys: tuple[str, ...]
    share: float = 1.0
    reductions: tuple[Reduction, ...] = ()
    kind: str = ""

    @property
    def efficiency(self) -> float:
        """Product of the reductions that coincide here."""
        return math.prod(reduction.factor for reduction in self.reductions)


@dataclass(frozen=True)
class Element:
    """What can fail, where, and what is asked of it.

    fallback: key of the whole element's force, used where a case has none of a place's keys.
    breaking_strength_N: before reductions; None when nothing is stated. required: None where nothing is asked.
    gap: why it cannot be judged although a strength is stated (a line end without a termination).
    out: why it has no strength that counts, whatever is stated (a fibre hotter than it can be).
    unproven: no published source and no paper stands behind breaking_strength_N.
    """

    name: str
    kind: str
    places: tuple[Place, ...]
    fallback: str
    breaking_strength_N: float | None
    strength_origin: str
    required: Factors
    gap: str = ""
    remark: str = ""
    out: str = ""
    unproven: bool = False


@dataclass(frozen=True)
class _Load:
    """The force of one class that leaves the least strength per force: how much, where, when."""

    force_N: float
    place: Place
    where: str
    case: str
    time_s: float

    @property
    def ranked(self) -> float:
        """Force over efficiency: the larger, the nearer to failure, whatever the breaking strength."""
        return self.force_N / self.place.efficiency


def judge_element(element: Element, cases: Mapping[str, CaseResult]) -> ElementResult:
    """The element's forces (N) over all cases, its strength where it matters, its factors, and whether they suffice.

    Static is at rest before anything moves, working the largest over working cases, emergency over emergency cases.
    Cases that failed are left out. strength_N and reductions are those of the place with the smallest margin.
    """
    finished = {name: case for name, case in cases.items() if case.outcome is not Outcome.FAILED}
    loads = {kind: _worst(element, finished, kind) for kind in CLASSES}
    factors = Factors(**{kind: _factor(element, load) for kind, load in loads.items()})
    governing = _governing(element, loads, factors)
    load = loads[governing] if governing else None
    place = load.place if load else element.places[0]
    strength = None if element.breaking_strength_N is None else element.breaking_strength_N * place.efficiency
    within, remark = _within(element, loads, factors)
    emergency = loads["emergency"]
    margins = load_margins(factors, element.required)
    return ElementResult(
        name=element.name,
        kind=element.kind,
        static_N=_force(loads["static"]),
        working_N=_force(loads["working"]),
        emergency_N=emergency.force_N if emergency else None,
        worst_case=load.case if load else "",
        worst_time_s=load.time_s if load else 0.0,
        worst_place=load.where if load else "",
        breaking_strength_N=element.breaking_strength_N,
        reductions=place.reductions,
        strength_N=strength,
        design_factor=factors,
        required=element.required,
        within=within,
        remark="; ".join(part for part in (remark, element.remark, _elsewhere(element, place, within)) if part),
        strength_origin=element.strength_origin,
        loads={kind: _told(element, load, margins.get(kind)) for kind, load in loads.items() if load},
        margin=min(margins.values(), default=None),
        needs_evidence=element.unproven or any(reduction.needs_evidence for reduction in place.reductions),
        places=tuple(_at_place(element, each, cases) for each in element.places) if len(element.places) > 1 else (),
    )


def _at_place(element: Element, place: Place, cases: Mapping[str, CaseResult]) -> PlaceResult:
    """The same judgement with this place alone."""
    alone = judge_element(replace(element, places=(place,)), cases)
    return PlaceResult(
        name=place.name,
        kind=place.kind,
        static_N=alone.static_N,
        working_N=alone.working_N,
        emergency_N=alone.emergency_N,
        reductions=place.reductions,
        loads=alone.loads,
        design_factor=alone.design_factor,
        margin=alone.margin,
        needs_evidence=alone.needs_evidence,
    )


def _told(element: Element, load: _Load, margin: float | None) -> Load:
    strength = element.breaking_strength_N
    left = None if strength is None else strength * load.place.efficiency
    return Load(load.case, load.time_s, load.where, left, margin)


def smallest_factor(result: ElementResult) -> float | None:
    """Smallest design factor over all classes, asked or not."""
    factors = [factor for kind in CLASSES if (factor := getattr(result.design_factor, kind)) is not None]
    return min(factors, default=None)


def weakest(elements: Mapping[str, ElementResult]) -> str | None:
    """Name of the element with the smallest margin; where no margin exists, with the smallest design factor.

    Without a margin what slips is left out: a brake is there to slip, and its quotient is no design factor.
    """
    margins = {name: value for name, result in elements.items() if (value := least_margin(result)) is not None}
    ranked = margins or {
        name: value
        for name, result in elements.items()
        if result.kind not in HOLDING and (value := smallest_factor(result)) is not None
    }
    return min(ranked, key=lambda name: ranked[name], default=None)


def _worst(element: Element, cases: Mapping[str, CaseResult], kind: str) -> _Load | None:
    loads = [
        load
        for case in cases.values()
        for place in element.places
        for load in _loads(element, place, case, kind)
        if kind == "static" or case.kind == kind
    ]
    return max(loads, key=lambda load: load.ranked, default=None)


def _loads(element: Element, place: Place, case: CaseResult, kind: str) -> list[_Load]:
    """The forces at one place in one case, from its own keys or the whole element's."""
    known = case.static_N if kind == "static" else case.peaks
    keys = [key for key in place.keys if key in known] or [key for key in (element.fallback,) if key in known]
    found = []
    for key in keys:
        _, _, span = key.partition(":")
        if kind == "static":
            found.append(_Load(place.share * case.static_N[key], place, span or place.name, case.name, 0.0))
        else:
            peak, where = case.peaks[key], span or case.peaks[key].place or place.name
            found.append(_Load(place.share * peak.force_N, place, where, case.name, peak.time_s))
    return found


def _force(load: _Load | None) -> float:
    return load.force_N if load else 0.0


def _factor(element: Element, load: _Load | None) -> float | None:
    if load is None or load.force_N <= 0.0 or element.breaking_strength_N is None:
        return None
    return element.breaking_strength_N * load.place.efficiency / load.force_N


def _governing(element: Element, loads: Mapping[str, _Load | None], factors: Factors) -> str | None:
    """The class that decides: smallest margin; without a requirement the largest force over efficiency."""
    asked = load_margins(factors, element.required)
    if asked:
        return min(asked, key=lambda kind: asked[kind])
    ranked = {kind: load.ranked for kind, load in loads.items() if load}
    return max(ranked, key=lambda kind: ranked[kind], default=None)


def _within(element: Element, loads: Mapping[str, _Load | None], factors: Factors) -> tuple[bool | None, str]:
    """Whether all classes asked are met (None: not judged) and why not judged."""
    if not any(loads.values()):
        return None, "no force was computed for it"
    if not any(load and load.force_N > 0.0 for load in loads.values()):
        return True, "bears no force"
    if element.out:
        return False, element.out
    if element.breaking_strength_N is None:
        return None, "no strength is stated"
    asked = [kind for kind in CLASSES if getattr(element.required, kind) is not None]
    if not asked:
        return None, "no design factor is asked of it"
    judged = {kind: factor for kind in asked if (factor := getattr(factors, kind)) is not None}
    if any(factor < getattr(element.required, kind) for kind, factor in judged.items()):
        return False, element.gap  # a gap could only lower the strength further
    if element.gap:
        return None, element.gap
    missing = [kind for kind in asked if loads[kind] is None]
    return True, "".join(f"no {kind} case was run" for kind in missing)


def _elsewhere(element: Element, governing: Place, within: bool | None) -> str:
    """Reductions that act at places other than the governing one, so that none goes unsaid where one is judged."""
    if within is None:
        return ""
    here = {(reduction.what, reduction.factor) for reduction in governing.reductions}
    others = [
        f"{reduction.what} × {reduction.factor:.2f} at {reduction.at}"
        for place in element.places
        if place is not governing
        for reduction in place.reductions
        if reduction.factor < 1.0 and (reduction.what, reduction.factor) not in here
    ]
    return f"elsewhere: {', '.join(others)}" if others else ""
