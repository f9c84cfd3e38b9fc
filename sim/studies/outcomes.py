"""How a run ended, in words a rigger can use: finished, stopped because line ran out, or failed."""

from __future__ import annotations

from sim.dynamics import orders as od
from sim.dynamics.run import Raw
from sim.results.model import Outcome

FAILURES = {
    od.STEP_TOO_SMALL: (
        "something in the rig began to move so fast that no time step was short enough to follow it",
        "look for a very light or very stiff part, or loosen run.tolerance",
    ),
    od.NO_PROGRESS: (
        "a line kept going slack and taut, or a sheave kept stopping and turning, without any time passing",
        "look for a part with next to no mass or no stiffness",
    ),
    od.TOO_MANY_STEPS: (
        "the run was given up, because something in the rig vibrates so fast that following it takes too many steps",
        "fewer elements_per_span, less damping_ratio, or a shorter run",
    ),
}
"""Why a run failed, after "At ... s into the run", and what to change."""


def outcome(raw: Raw) -> tuple[Outcome, str, str]:
    """How the run ended, why, and what to change."""
    if raw.status in (od.END_OF_TIME, od.AT_REST):
        return Outcome.FINISHED, "at rest" if raw.status == od.AT_REST else "end of the time run, not yet at rest", ""
    if raw.status == od.LINE_RAN_OUT:
        line, span = _shortest(raw)
        return (
            Outcome.STOPPED,
            f"no line is left in {line}, {span}, at {raw.end_s:.3f} s: two of its ends meet",
            "shorten the move, lengthen the line, or move the sheave",
        )
    why, remedy = FAILURES[raw.status]
    return Outcome.FAILED, f"At {raw.end_s:.3f} s into the run {why}.", remedy


def _shortest(raw: Raw) -> tuple[str, str]:
    lay = raw.ready.start.layout
    lengths = {}
    for line in raw.ready.rig.lines:
        for k, i in enumerate(lay.line_spans[line.name]):
            e = int(lay.model.spans[i]["first"])
            lengths[(line.name, line.span_name(k))] = float(raw.state[lay.model.elements[e]["state"]])
    return min(lengths, key=lambda x: lengths[x])
