"""What the performers' bodies feel, in lines for the screen: each figure where it is greatest; what is published."""

from __future__ import annotations

from collections.abc import Iterator

from sim.results.body import PUBLISHED, AboveLevel, BodyFigures
from sim.results.model import Result
from sim.results.shown import Units, bare, shown


def body_lines(result: Result, units: Units) -> Iterator[str]:
    """One sentence for each performer, then what is published beside, with its scope."""
    names = dict.fromkeys(name for case in result.cases.values() for name in case.performers)
    told = [sentence for name in names if (sentence := _of(result, name))]
    yield from told
    if told:
        for each in PUBLISHED:
            value = shown(each.value, each.unit, units) if each.unit else f"{each.value:g}"
            yield f"Published beside it: {each.figure}, {value}: {each.scope} ({each.source})."


def _of(result: Result, name: str) -> str:
    felt = {c.name: c.performers[name].body for c in result.cases.values() if name in c.performers}
    known = {case: body for case, body in felt.items() if body is not None}
    if not known:
        return ""
    parts = [
        f"{bare(value, 'g')} {words} ({case})"
        for words, key in (
            ("g by CFC 180", "peak_g_cfc180"),
            ("g by the 5 Hz low-pass", "peak_g_low_pass_5Hz"),
            ("g/s of jerk", "peak_jerk_g_s"),
            ("dynamic response index", "dynamic_response_index"),
        )
        for case, value in (_greatest(known, key),)
    ]
    longest = _longest(known)
    times = "; ".join(f"above {a.level_g:g} g for {1e3 * a.longest_s:.0f} ms at a stretch ({c})" for c, a in longest)
    return f"{name}: at most {', '.join(parts)}" + (f"; {times}" if times else "") + "."


def _greatest(known: dict[str, BodyFigures], key: str) -> tuple[str, float]:
    case = max(known, key=lambda c: getattr(known[c], key))
    return case, getattr(known[case], key)


def _longest(known: dict[str, BodyFigures]) -> list[tuple[str, AboveLevel]]:
    """For each level that any case reaches, the case that stays above it longest."""
    best: dict[float, tuple[str, AboveLevel]] = {}
    for case, body in known.items():
        for each in body.above:
            if each.level_g not in best or each.longest_s > best[each.level_g][1].longest_s:
                best[each.level_g] = (case, each)
    return [best[level] for level in sorted(best)]
