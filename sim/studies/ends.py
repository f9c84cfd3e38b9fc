"""Which end of a stated spread a run takes: the heaviest or the lightest performers, the brakes at their strongest and
quickest or at their weakest and latest.

A stronger, quicker brake hurts by force; a weaker, later one lets the performer sink further. Which end is the worse
for a given rig is not presumed: a stop is run with both, and with the heaviest and the lightest performers, and the
worst is reported with the ends it was found at. Inputs that are spread and are neither are named by `spreads_not_run`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sim.results.model import End
from sim.rig.failure import Failure
from sim.scenario.model import Scenario, Winch
from sim.scenario.parts.drives import Brake
from sim.scenario.parts.part import Part
from sim.scenario.quantity import Quantity
from sim.studies.failures import scenario_failing, ways

HEAVIEST, LIGHTEST = "heaviest", "lightest"
STRONG, WEAK = "strongest and quickest", "weakest and latest"

_UNITS = {"mass": "kg", "force": "N", "torque": "N*m", "delay": "s", "rise": "s"}


@dataclass(frozen=True)
class Ends:
    """The ends one run takes; an empty text stands for values as stated.

    mass: 'heaviest' or 'lightest', of all performers together. brakes: 'strongest and quickest' or 'weakest and
    latest', of all brakes together. failure: what fails, where something does, in one of the ways it can.
    """

    mass: str = ""
    brakes: str = ""
    failure: Failure | None = None

    def __str__(self) -> str:
        failing = self.failure.which if self.failure is not None else ""
        words = [self.mass, self.brakes and f"brakes {self.brakes}", failing]
        return ", ".join(w for w in words if w) or "as stated"


AS_STATED = Ends()


def planned_ends(scenario: Scenario) -> tuple[Ends, ...]:
    """The ends the planned move is run at besides the stated values: heaviest and lightest, always both, or none."""
    return (Ends(HEAVIEST), Ends(LIGHTEST)) if _masses_spread(scenario) else ()


def stop_ends(
    scenario: Scenario, drives: tuple[str, ...], category: int | None, failure: Failure | None = None
) -> tuple[Ends, ...]:
    """The ends a stop of these drives is run at: every pairing of mass and brakes that is spread; none where none is.

    A stop of category 2 uses no brake. With a failure, each of them in every way it can fail.
    """
    braked = category in (0, 1) and any(
        _on_layers(scenario, name) or any(not q.exact for _, q in _brake_values(scenario, name)) for name in drives
    )
    masses = (HEAVIEST, LIGHTEST) if _masses_spread(scenario) else ("",)
    brakes = (STRONG, WEAK) if braked else ("",)
    every = (Ends(m, b, way) for m in masses for b in brakes for way in ways(scenario, failure))
    return tuple(e for e in every if e.mass or e.brakes)


def as_stated(scenario: Scenario, failure: Failure | None) -> tuple[Ends, ...]:
    """The values as stated, with the failure in every way it can be wrong; without one just the stated values."""
    return tuple(Ends(failure=way) for way in ways(scenario, failure))


def scenario_at(scenario: Scenario, ends: Ends) -> Scenario:
    """The scenario with the values at these ends; a performer who hangs is cut in to hang at the same place."""
    changes: dict[str, Any] = {}
    if ends.mass:
        changes["performers"] = {
            name: p.model_copy(update={"mass": _end(p.mass, high=ends.mass == HEAVIEST)})
            for name, p in scenario.performers.items()
        }
    if ends.brakes:
        changes["drives"] = {name: _drive_at(d, ends.brakes == STRONG) for name, d in scenario.drives.items()}
    return scenario_failing(scenario.model_copy(update=changes) if changes else scenario, ends.failure)


def taken(scenario: Scenario, ends: Ends) -> tuple[End, ...]:
    """What the ends come to: every value that differs from the stated one, in SI."""
    at = scenario_at(scenario, replace(ends, failure=None))
    found = []
    for name, p in scenario.performers.items():
        if ends.mass and not p.mass.exact:
            found.append(End("mass", name, ends.mass, at.performers[name].mass.kg, "kg"))
    for name in scenario.drives if ends.brakes else ():
        for (what, stated), (_, used) in zip(_brake_values(scenario, name), _brake_values(at, name), strict=True):
            if not stated.exact:
                found.append(End(f"brake {what}", name, ends.brakes, used.si, _UNITS[what.split()[0]]))
        if _on_layers(scenario, name) and ends.brakes == STRONG:
            found.append(End("layer of line", name, ends.brakes, 1.0, ""))
    return tuple(found)


def spreads_not_run(scenario: Scenario) -> Iterator[str]:
    """The keys whose `within` or `range` no run takes: one sentence for all of them, or none."""
    unused = [place for place, quantity in _quantities(scenario, "") if not quantity.exact and not _is_run(place)]
    if unused:
        yield f"A spread is stated and no run takes its ends, only the stated value: {'; '.join(unused)}."


def _is_run(place: str) -> bool:
    section, *keys = place.split(" / ")
    if section == "lines":  # these are gone through by line_ranges
        return keys[1:2] == ["type"] and keys[2:3] in (["stretch"], ["stiffness_EA"], ["damping_ratio"])
    return (section == "performers" and keys[-1] == "mass") or (" / brakes / " in place and section == "drives")


def _masses_spread(scenario: Scenario) -> bool:
    return any(not p.mass.exact for p in scenario.performers.values())


def _brake_values(scenario: Scenario, drive: str) -> list[tuple[str, Quantity]]:
    """Force or torque, delay and rise of every brake of a drive, named; several brakes are numbered."""
    spec = scenario.drives[drive]
    brakes = spec.brakes if isinstance(spec, Winch) else ()
    return [
        (f"{key} of brake {number}" if len(brakes) > 1 else key, value)
        for number, brake in enumerate(brakes, 1)
        for key in ("force", "torque", "delay", "rise")
        if (value := getattr(brake, key)) is not None
    ]


def _on_layers(scenario: Scenario, drive: str) -> bool:
    """Whether what its brakes hold depends on the layer of line on its drum."""
    spec = scenario.drives[drive]
    return isinstance(spec, Winch) and spec.layers > 1 and any(b.torque is not None for b in spec.brakes)


def _drive_at(drive: Any, strong: bool) -> Any:
    if not isinstance(drive, Winch) or not drive.brakes:
        return drive
    brakes = tuple(_brake_at(b, strong) for b in drive.brakes)
    return drive.model_copy(update={"brakes": brakes, "layers": 1 if strong else drive.layers})


def _brake_at(brake: Brake, strong: bool) -> Brake:
    ends = {"force": strong, "torque": strong, "delay": not strong, "rise": not strong}
    values = {key: getattr(brake, key) for key in ends}
    return brake.model_copy(update={k: _end(v, high=ends[k]) for k, v in values.items() if v is not None})


def _end(value: Any, *, high: bool) -> Any:
    return value if value.exact else type(value).of(value.high_si if high else value.low_si, value.origin)


def _quantities(value: Any, place: str) -> Iterator[tuple[str, Quantity]]:
    """Every quantity under a value with the keys that lead to it."""
    if isinstance(value, Quantity):
        yield place, value
    elif isinstance(value, Part):
        for key in type(value).model_fields:
            yield from _quantities(getattr(value, key), f"{place} / {key}" if place else key)
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _quantities(inner, f"{place} / {key}")
    elif isinstance(value, tuple | list):
        for number, inner in enumerate(value, 1):
            yield from _quantities(inner, f"{place} / {number}")
