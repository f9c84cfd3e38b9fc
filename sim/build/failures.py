"""The single failures of a scenario as orders: what fails, when, and the stop that follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sim.rig.failure import Failure
from sim.rig.stop import StopOrder
from sim.scenario.kinds import Share
from sim.scenario.model import Failure as Spec
from sim.scenario.model import Scenario
from sim.scenario.parts.stops import MOVES_GO_ON


def failure_orders(scenario: Scenario, stops: Sequence[StopOrder]) -> tuple[StopOrder, ...]:
    """An order for every failure, with the stop it names, which then comes at its own instant."""
    known = {stop.name: stop for stop in stops}
    out = []
    for spec in scenario.faults:
        time_s = None if isinstance(spec.when, str) else spec.when.s
        follows = known.get(spec.then)
        failure = _failure(spec, followed=follows is not None)
        if follows is None:
            out.append(StopOrder(failure_name(spec), None, time_s, (), failure=failure))
        else:
            out.append(replace(follows, name=failure_name(spec), time_s=time_s, failure=failure, during=None))
    return tuple(out)


def failure_name(spec: Spec) -> str:
    """What its cases are called: 'late brake, winch, then power loss'."""
    return f"{spec.kind}, {spec.of}" + ("" if spec.then == MOVES_GO_ON else f", then {spec.then}")


def _failure(spec: Spec, *, followed: bool) -> Failure:
    return Failure(
        kind=spec.kind,  # pyright: ignore[reportArgumentType]
        of=spec.of,
        at=spec.snag.sheave if spec.snag is not None else "",
        by=spec.by.si if spec.by is not None else 0.0,
        is_share=isinstance(spec.by, Share),
        from_start=spec.kind == "overspeed" and followed,
    )
