"""What changes most between variants, and why: in words, from their own figures and one textbook law."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from sim.results.comparison import Figures, HookStop, Variant, Worst
from sim.results.shown import Units, bare, shown, unit_shown
from sim.studies.compare_hook import even_stop_N, snatch_N

SAME = 0.01
"""Figures that differ by less than this part are called the same."""
_LISTED = 0.1
"""A cause with less than this part of all is not listed."""
_MAINLY = 0.5
_LAW_HOLDS = 0.25
"""How far (in ln) the law may be from the simulation before the difference is said."""


@dataclass(frozen=True)
class _Kind:
    """A kind of figure: what it is called, its SI unit and where it stands."""

    words: str
    unit: str
    of: Callable[[Figures], Worst | None]


_KINDS = (
    _Kind("peak g load", "", lambda f: f.peak_g),
    _Kind("peak tension", "N", lambda f: f.peak_tension_N),
    _Kind("least clearance", "m", lambda f: f.clearance_m),
    _Kind("stopping distance", "m", lambda f: f.stopping_distance_m),
)


def words(variants: Sequence[Variant], units: Units = Units.SI) -> tuple[str, ...]:
    """Sentences on what changes most between the variants that have a result, and why."""
    done = [variant for variant in variants if not variant.cause]
    lost = len(variants) - len(done)
    out = [f"{lost} of {len(variants)} variants have no result; their rows say why."] if lost else []
    if len(done) < 2:
        return (*out, "There is nothing to compare: fewer than two variants have a result.")
    return (*out, *_most_changed(done, units), *_why(done, units), *_clearance(done, units))


# --- what changes ---------------------------------------------------------------------------------------------------


def _most_changed(done: Sequence[Variant], units: Units) -> list[str]:
    spans = sorted((each for kind in _KINDS if (each := _span(done, kind, units))), key=lambda each: -each[0])
    if not spans:
        return []
    if spans[0][0] < math.log1p(SAME):
        return [f"Nothing changes by more than {SAME:.0%}: {'; '.join(text for _, text in spans)}."]
    rest = f" Then {'; '.join(text for _, text in spans[1:])}." if len(spans) > 1 else ""
    return [f"Most changed: {spans[0][1]}.{rest}"]


def _span(done: Sequence[Variant], kind: _Kind, units: Units) -> tuple[float, str] | None:
    """How far a figure goes (ln of the ratio) and that in words."""
    found = [(each.value, variant.name) for variant in done if (each := kind.of(variant.figures)) is not None]
    if len(found) < 2:
        return None
    low, high = min(found), max(found)
    if low[0] <= 0.0:
        ratio, times = math.inf if high[0] > low[0] else 0.0, ""
    else:
        ratio, times = math.log(high[0] / low[0]), f", {high[0] / low[0]:.2f} times"
    if ratio < math.log1p(SAME):
        return ratio, f"{kind.words} the same within {SAME:.0%} ({shown(high[0], kind.unit, units)})"
    least, most = shown(low[0], kind.unit, units), shown(high[0], kind.unit, units)
    return ratio, f"{kind.words} from {least} ({low[1]}) to {most} ({high[1]}){times}"


def _clearance(done: Sequence[Variant], units: Units) -> list[str]:
    """How much of a change of clearance is line paid out, where one drive pays out."""
    found = [
        (f.clearance_m.value, f.paid_out_m, v.name)
        for v in done
        if (f := v.figures).clearance_m is not None and f.paid_out_m is not None and _direct(v.hook)
    ]
    if len(found) < 2:
        return []
    low, high = min(found), max(found)
    change, paid = high[0] - low[0], low[1] - high[1]
    if change < SAME * max(abs(high[0]), abs(low[0])):
        return []
    text = (
        f"Clearance: {low[2]} leaves {shown(change, 'm', units)} less than {high[2]}; {shown(paid, 'm', units)} of "
        f"that is line paid out until the drive stands, {shown(change - paid, 'm', units)} stretch and swing beyond it."
    )
    return [text]


def _direct(hook: HookStop | None) -> bool:
    """Whether a metre paid out lets the hook down by a metre: one line bears it, over no moving block."""
    return hook is not None and 0.5 < _values(hook)["arrangement"] < 1.5


# --- why ------------------------------------------------------------------------------------------------------------


def _why(done: Sequence[Variant], units: Units) -> list[str]:
    """Why the largest g differs between the variants with the least and the most of it."""
    hooks = {v.name: v.hook for v in done if v.hook is not None and v.hook.added_N > 0.0}
    if len(hooks) < 2:
        return ["Why cannot be told in a law: no performer hangs on lines in the cases of the largest g."]
    low, high = (pick(hooks, key=lambda name: hooks[name].added_N / hooks[name].weight_N) for pick in (min, max))
    a, b = hooks[low], hooks[high]
    out = []
    found = math.log((b.added_N / b.weight_N) / (a.added_N / a.weight_N))
    if found >= math.log1p(SAME):
        out.append(_causes((low, a), (high, b), found, units))
    return [*out, *(_stop_in_words(name, hooks[name], units) for name in dict.fromkeys((high, low)))]


_Values = Mapping[str, float]


def _values(hook: HookStop) -> dict[str, float]:
    """What the law is made of, each the measure of one cause."""
    return {
        "EA": hook.EA_N,
        "length": hook.run_length_m,
        "arrangement": hook.hook_N_per_m * hook.run_length_m / hook.EA_N,
        "harness": 0.0 if hook.harness_N_per_m is None else 1.0 / hook.harness_N_per_m,
        "mass": hook.mass_kg,
        "speed": hook.speed_m_s,
        "slow_down": hook.slow_down_s,
        "slack": float(hook.after_slack and hook.slow_down_s == 0.0),
    }


def _law(values: _Values, gravity_m_s2: float) -> float:
    """Force added to the weight, over the weight."""
    softness = values["length"] / (values["EA"] * values["arrangement"]) + values["harness"]
    mass, weight = values["mass"], values["mass"] * gravity_m_s2
    if values["slack"]:
        return snatch_N(weight, mass, 1.0 / softness, values["speed"]) / weight
    return even_stop_N(mass, 1.0 / softness, values["speed"], values["slow_down"]) / weight


def shares(a: HookStop, b: HookStop) -> dict[str, float]:
    """What each cause alone does to the law's force from a to b: the ln of a factor; together the ln of the whole.

    Each cause's part is the mean over all orders in which causes can be exchanged (L. S. Shapley, "A value for
    n-person games", 1953), so that no order is preferred and nothing is left over.
    """
    gravity = a.weight_N / a.mass_kg
    before, after = _values(a), _values(b)
    differ = [key for key in before if not math.isclose(before[key], after[key], rel_tol=1e-3, abs_tol=1e-12)]

    def law(exchanged: frozenset[str]) -> float:
        mixed = {key: after[key] if key in exchanged else before[key] for key in before}
        return math.log(max(_law(mixed, gravity), 1e-12))

    laws = {chosen: law(chosen) for n in range(len(differ) + 1) for chosen in map(frozenset, combinations(differ, n))}
    out = dict.fromkeys(differ, 0.0)
    count = len(differ)
    for chosen, value in laws.items():
        for key in differ:
            if key not in chosen:
                weight = math.factorial(len(chosen)) * math.factorial(count - len(chosen) - 1) / math.factorial(count)
                out[key] += weight * (laws[chosen | {key}] - value)
    return out


def _causes(low: tuple[str, HookStop], high: tuple[str, HookStop], found: float, units: Units) -> str:
    (low_name, a), (high_name, b) = low, high
    parts = shares(a, b)
    whole = sum(abs(part) for part in parts.values())
    listed = sorted((key for key in parts if abs(parts[key]) >= _LISTED * whole > 0), key=lambda k: -abs(parts[k]))
    head = f"Why {high_name} gives {math.exp(found):.2f} times the force added to the weight that {low_name} gives: "
    if not listed:
        return f"{head}what the law of a mass on a spring counts is the same in both; look at their histories."
    mainly = f"mainly {_NAMES[listed[0]]}. " if abs(parts[listed[0]]) > _MAINLY * whole else ""
    each = "; ".join(f"{_NAMES[key]} {math.exp(parts[key]):.2f} times ({_pair(key, b, a, units)})" for key in listed)
    law = sum(parts.values())
    text = (
        f"{head}{mainly}By the law of a mass on a spring whose far end slows down evenly, each alone: {each}; "
        f"all together {math.exp(law):.2f} times."
    )
    if abs(law - found) > _LAW_HOLDS:
        text += (
            " The rest is in what that law leaves out: slack and snatch during the stop, friction, damping, a brake "
            "that does not slow down evenly, swing."
        )
    return text


_NAMES = {
    "EA": "stiffness of the line",
    "length": "run length",
    "arrangement": "how the lines bear the hook",
    "harness": "harness",
    "mass": "mass",
    "speed": "speed as the stop bites",
    "slow_down": "brake: time until the drive stands",
    "slack": "falling onto a slack line",
}


def _pair(key: str, first: HookStop, second: HookStop, units: Units) -> str:
    """The two values of one cause, as a person reads them."""
    return f"{_value(key, first, units)} against {_value(key, second, units)}"


def _value(key: str, hook: HookStop, units: Units) -> str:
    return {
        "EA": f"EA {shown(hook.EA_N, 'N', units)}",
        "length": shown(hook.run_length_m, "m", units),
        "arrangement": f"{_stiffness(hook.hook_N_per_m, units)} at the hook",
        "harness": "rigid" if hook.harness_N_per_m is None else _stiffness(hook.harness_N_per_m, units),
        "mass": shown(hook.mass_kg, "kg", units),
        "speed": shown(hook.speed_m_s, "m/s", units),
        "slow_down": shown(hook.slow_down_s, "s", units),
        "slack": "yes" if hook.after_slack else "no",
    }[key]


def _stiffness(N_per_m: float, units: Units) -> str:
    force, length = unit_shown("N", units), unit_shown("m", units)
    return f"{N_per_m * length.size_si / force.size_si:.3g} {force.sign}/{length.sign}"


def _stop_in_words(name: str, hook: HookStop, units: Units) -> str:
    """How hard the stop is on the line: against one in no time, and against the bounce's period."""
    stiffness = _stiffness(hook.hook_N_per_m, units)
    head = (
        f"{name}: static stiffness at the hook {stiffness} over {shown(hook.run_length_m, 'm', units)} of line; "
        f"a stop in no time from {shown(hook.speed_m_s, 'm/s', units)} would add {shown(hook.instant_N, 'N', units)} "
        f"to the weight, {shown(hook.added_N, 'N', units)} was added ({hook.case})"
    )
    if hook.slow_down_s == 0.0:
        fall = "the performer comes onto a slack line" if hook.after_slack else "no drive slows down any more"
        return f"{head}; {fall}, so speed and stiffness decide."
    periods = hook.slow_down_s / hook.period_s
    time = f"the drive stands after {shown(hook.slow_down_s, 's')}, {bare(periods, '')} of the bounce's period"
    if hook.after_slack:
        return f"{head}; {time}, and the line was slack in between, so a snatch comes on top of the slow-down."
    if periods < 0.5:
        return f"{head}; {time}: so short that stiffness and speed decide together with the brake."
    return f"{head}; {time}: so long that the slow-down decides and a softer line changes little."
