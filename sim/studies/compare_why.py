"""What changes most between variants, and why: in words, from their own figures and one textbook law."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from sim.results.comparison import Figures, HookStop, Variant, Worst
from sim.results.shown import Units, bare, shown, unit_shown
from sim.studies.compare_hook import law_N

SAME = 0.01
"""Figures that differ by less than this part are called the same."""
_LISTED = 0.1
"""A cause with less than this part of all is not listed."""
_MAINLY = 0.6
"""One cause, or else two together, with at least this part of all are named as the main ones."""
_WORTH_A_WHY = 0.05
"""A force that differs by less than this part is not explained."""
_LAW_TELLS = 1.6
"""A case whose force the law misses by more than this factor is not told by it."""
_LAW_HOLDS = 0.35
_LAW_NEAR = 0.05
"""The law explains a ratio where its own is within this part of it (in ln), or this near."""


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


def _told(hook: HookStop) -> bool:
    """Whether the law comes near enough to what was simulated to speak of its case."""
    return hook.law_N > 0.0 and 1.0 / _LAW_TELLS < hook.added_N / hook.law_N < _LAW_TELLS


def _direct(hook: HookStop | None) -> bool:
    """Whether a metre paid out lets the hook down by a metre: one line bears it, over no moving block."""
    return hook is not None and 0.5 < _arrangement(hook) < 1.5


# --- why ------------------------------------------------------------------------------------------------------------


def _why(done: Sequence[Variant], units: Units) -> list[str]:
    """Why the largest g that lines give differs between the variants with the least and the most of it."""
    hooks = {v.name: v.hook for v in done if v.hook is not None and v.hook.added_N > 0.0}
    if len(hooks) < 2:
        return ["Why cannot be told: in fewer than two variants does a line give a performer more than the weight."]
    low, high = (pick(hooks, key=lambda name: hooks[name].added_N / hooks[name].weight_N) for pick in (min, max))
    a, b = hooks[low], hooks[high]
    out = []
    found = math.log((b.added_N / b.weight_N) / (a.added_N / a.weight_N))
    if found >= math.log1p(_WORTH_A_WHY):
        out.append(_causes((low, a), (high, b), found, units))
    return [*out, *(_stop_in_words(name, hooks[name], units) for name in dict.fromkeys((high, low)))]


CAUSES: Mapping[str, tuple[str, ...]] = {
    "EA": ("EA_N",),
    "length": ("run_length_m",),
    "arrangement": (),
    "harness": ("harness_N_per_m",),
    "mass": ("mass_kg", "weight_N"),
    "speed": ("speed_m_s",),
    "brake": ("slow_down_s", "deceleration_m_s2"),
    "slack": ("slack", "catch_m_s"),
}
"""Each cause and what of a HookStop it is the measure of; the arrangement is what else makes the hook's stiffness."""


def _arrangement(hook: HookStop) -> float:
    """Stiffness at the hook over EA / length: 1 for one straight line, 4 under a moving block, less on a soft mount."""
    return hook.hook_N_per_m * hook.run_length_m / hook.EA_N


def _mixed(a: HookStop, b: HookStop, exchanged: frozenset[str]) -> HookStop:
    """The stop of a with the exchanged causes taken from b."""
    of = {key: b if key in exchanged else a for key in CAUSES}
    changed = {name: getattr(of[key], name) for key, names in CAUSES.items() for name in names}
    stiffness = _arrangement(of["arrangement"]) * changed["EA_N"] / changed["run_length_m"]
    return replace(a, **changed, hook_N_per_m=stiffness)


def _same(a: HookStop, b: HookStop, key: str) -> bool:
    if key == "arrangement":
        return math.isclose(_arrangement(a), _arrangement(b), rel_tol=1e-3)
    pairs = [(float(getattr(a, name) or 0.0), float(getattr(b, name) or 0.0)) for name in CAUSES[key]]
    return all(math.isclose(x, y, rel_tol=1e-3, abs_tol=1e-9) for x, y in pairs)


def shares(a: HookStop, b: HookStop) -> dict[str, float]:
    """What each cause alone does to the law's force from a to b: the ln of a factor; together the ln of the whole.

    Each cause's part is the mean over all orders in which causes can be exchanged (L. S. Shapley, "A value for
    n-person games", 1953), so that no order is preferred and nothing is left over.
    """
    differ = [key for key in CAUSES if not _same(a, b, key)]

    def law(exchanged: frozenset[str]) -> float:
        mixed = _mixed(a, b, exchanged)
        return math.log(max(law_N(mixed), 1e-9) / mixed.weight_N)

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
    each = "; ".join(f"{_NAMES[key]} {math.exp(parts[key]):.2f} times ({_pair(key, b, a, units)})" for key in listed)
    law = sum(parts.values())
    counted = f"each alone: {each}; all together {math.exp(law):.2f} times"
    slack = any(hook.slack for hook in (a, b))
    rule = f"the law of a mass on a spring {'that it catches slack' if slack else 'whose far end slows down evenly'}"
    if _told(a) and _told(b) and abs(law - found) <= max(_LAW_HOLDS * found, _LAW_NEAR):
        return f"{head}{_mainly(listed, parts)}By {rule}, {counted}."
    return (
        f"{head}{rule} does not explain it alone. By that law, {counted}. The rest is in what that law leaves out: "
        "friction, damping, a brake that slips or does not slow down evenly, a line that is slack for a moment, swing."
    )


def _mainly(listed: Sequence[str], parts: Mapping[str, float]) -> str:
    """The main cause, or the main two, of those that raise the force; '' where none stands out."""
    whole = sum(abs(part) for part in parts.values())
    raising = [key for key in listed if parts[key] > 0.0]
    for count in (1, 2):
        if sum(parts[key] for key in raising[:count]) >= _MAINLY * whole:
            return f"mainly {' and '.join(_NAMES[key] for key in raising[:count])}. "
    return ""


_NAMES = {
    "EA": "stiffness of the line",
    "length": "run length",
    "arrangement": "how the lines bear the hook",
    "harness": "harness",
    "mass": "mass",
    "speed": "speed as the stop bites",
    "brake": "brake: time until the drive stands",
    "slack": "slack and its catch",
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
        "brake": shown(hook.slow_down_s, "s", units),
        "slack": f"caught at {shown(hook.catch_m_s, 'm/s', units)}" if hook.slack else "no slack",
    }[key]


def _stiffness(N_per_m: float, units: Units) -> str:
    force, length = unit_shown("N", units), unit_shown("m", units)
    value = N_per_m * length.size_si / force.size_si
    return f"{value:,.{0 if value >= 100.0 else 1}f} {force.sign}/{length.sign}"


def _stop_in_words(name: str, hook: HookStop, units: Units) -> str:
    """How hard the stop is on the line: against one in no time, and against the bounce's period."""
    stiffness = _stiffness(hook.hook_N_per_m, units)
    head = (
        f"{name}: static stiffness at the hook {stiffness} over {shown(hook.run_length_m, 'm', units)} of line; "
        f"a stop in no time from {shown(hook.speed_m_s, 'm/s', units)} would add {shown(hook.instant_N, 'N', units)} "
        f"to the weight, {shown(hook.added_N, 'N', units)} was added ({hook.case})"
    )
    if not _told(hook):
        return f"{head}; a mass on a spring would have got {shown(hook.law_N, 'N', units)}: that law misses this case."
    if hook.slack:
        catch = f"the line was slack and is caught at {shown(hook.catch_m_s, 'm/s', units)}"
        still = f", {shown(hook.slow_down_s, 's')} before the drive stands" if hook.slow_down_s else ""
        return f"{head}; {catch}{still}, so that speed, weight and stiffness decide."
    if hook.slow_down_s == 0.0:
        return f"{head}; no drive slows down any more, so speed and stiffness decide."
    periods = hook.slow_down_s / hook.period_s
    time = f"the drive stands after {shown(hook.slow_down_s, 's')}, {bare(periods, '')} of the bounce's period"
    if periods < 0.5:
        return f"{head}; {time}: so short that stiffness and speed decide together with the brake."
    return f"{head}; {time}: so long that the slow-down decides and a softer line changes little."
