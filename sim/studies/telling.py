"""What a result says in words about its sweeps and the ends of spreads its cases took."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sim.results.model import End, SweepTable
from sim.studies.curves import Curves
from sim.studies.ends import AS_STATED
from sim.studies.instants import CLOSER_S, GRID_S


def unfinished_instants(sweeps: Mapping[str, SweepTable]) -> tuple[str, ...]:
    """One sentence for every sweep in which some instants have no result, with the first cause."""
    out = []
    for name, table in sweeps.items():
        causes = [(t, c) for t, c in zip(table.stop_time_s, table.causes, strict=True) if c]
        if causes:
            out.append(
                f"{name}: {len(causes)} of {len(table.causes)} stop instants have no result, the first at "
                f"{causes[0][0]:.2f} s ({causes[0][1].rstrip('.')})."
            )
    return tuple(out)


def ends_in_words(ends: Sequence[End]) -> str:
    """Which ends of spreads a case took: heaviest, lamplighter 87 kg; brakes strongest and quickest, winch 3080 N."""
    words: dict[str, list[str]] = {}
    for end in ends:
        head = end.end if end.what == "mass" else f"brakes {end.end}"
        what = "" if end.what in ("mass", "brake force") else f" {end.what.removeprefix('brake ')}"
        words.setdefault(head, []).append(f"{end.of}{what} {end.value:.6g} {end.unit}".rstrip())
    return "Run at ends of spreads: " + "; ".join(f"{head} ({', '.join(each)})" for head, each in words.items()) + "."


def sweeps_in_words(sweeps: Mapping[str, Curves]) -> Iterator[str]:
    """How each sweep was made."""
    for name, found in sweeps.items():
        at_ends = [str(ends) for ends in found.ends if ends != AS_STATED]
        each = f", each of them run at these ends of spreads: {'; '.join(at_ends)}" if at_ends else ""
        worst = " Its curves show the worst of all ends." if at_ends else ""
        yield (
            f"{name}, every instant: {len(found.times_s)} instants, every {1e3 * GRID_S:g} ms and at the corners of "
            f"the moves, and around the worst every {1e3 * CLOSER_S[0]:g} ms and {1e3 * CLOSER_S[1]:g} ms or closer"
            f"{each}.{worst}"
        )
