"""Two results against each other, as they lie in their folders: inputs, figures, histories and sweeps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.results.difference import FIRST, SECOND, Difference, Differences, Kind, Level, Same, worst_first
from sim.results.differing import Found, claimed_accuracy, compare_plain
from sim.results.differing_tables import Table, compare_tables
from sim.results.inputs import Inputs, compare_inputs
from sim.results.kept import Kept


@dataclass(frozen=True)
class Side:
    """One of two results: what it is called beside the other, what it is, and what made it from which input."""

    name: str
    title: str
    revision: str
    version: str
    source: str
    made_with: str
    files: Mapping[str, str]


@dataclass(frozen=True)
class Compared:
    """Two results beside each other. notes: what has to be known of them, in sentences.

    altered: that one of them is no longer what was written; then they are not the same, whatever the numbers say.
    """

    first: Side
    second: Side
    differences: Differences
    notes: tuple[str, ...] = ()
    altered: bool = False

    @property
    def same(self) -> bool:
        """Whether nothing differs that counts, and neither was altered."""
        return not self.altered and not self.differences.counting


def side_of(kept: Kept, name: str) -> Side:
    """What a result folder says of itself."""
    stamp, plain = kept.stamp, kept.plain
    told = [str(stamp.get(key, "")) for key in ("version", "source", "made_with")]
    files = stamp.get("files")
    return Side(
        name, str(plain.get("title", "")), str(plain.get("revision", "")), told[0], told[1], told[2],
        {str(key): str(value) for key, value in files.items()} if isinstance(files, Mapping) else {},
    )  # fmt: skip


def compare_kept(first: Kept, second: Kept, inputs: tuple[Inputs, Inputs], same: Same | None = None) -> Differences:
    """All that differs between two results, inputs among it. inputs: of the first and of the second."""
    found = compare_plain(first.plain, second.plain)
    _histories(first, second, found)
    _sweeps(first, second, found)
    every = [*compare_inputs(*inputs), *found.differences]
    return Differences(worst_first(every), {level: found.counts[level] for level in Level}, same or Same())


def _histories(first: Kept, second: Kept, found: Found) -> None:
    claims = claimed_accuracy(first.plain), claimed_accuracy(second.plain)
    for case in dict.fromkeys((*first.traces, *second.traces)):
        tables = [
            Table(("traces", case), f"{case} / history", side.traces[case].time_s, side.traces[case].columns)
            for side in (first, second)
            if case in side.traces
        ]
        _tables(tables, case in first.traces, max(of.get(case, 0.0) for of in claims), found)


def _sweeps(first: Kept, second: Kept, found: Found) -> None:
    """Runs of a sweep have a tolerance of their own and no audit: what they claim is that tolerance."""
    told = [side.stamp.get("sweep_tolerance") for side in (first, second)]
    claimed = max((float(each) for each in told if isinstance(each, float)), default=0.0)
    for stop in dict.fromkeys((*first.sweeps, *second.sweeps)):
        said = f"{stop}, every instant"
        sides = [side.sweeps[stop] for side in (first, second) if stop in side.sweeps]
        tables = [Table(("sweeps", stop), said, each.stop_time_s, each.columns) for each in sides]
        _tables(tables, stop in first.sweeps, claimed, found)
        lost = [sum(map(bool, each.causes)) for each in sides]
        if len(set(lost)) > 1:
            words = [f"{number} instants not finished" for number in lost]
            path = ("sweeps", stop, "cause")
            found.differences.append(Difference(Kind.OUTCOME, path, said, words[0], words[1], Level.DIFFERENT))


def _tables(tables: list[Table], in_first: bool, claimed: float, found: Found) -> None:
    """The tables of one place, of both sides or of one only."""
    if len(tables) > 1:
        compare_tables(tables[0], tables[1], claimed, found)
        return
    only, table = FIRST if in_first else SECOND, tables[0]
    found.differences.append(Difference(Kind.CURVE, table.path, table.said, None, None, Level.DIFFERENT, only=only))
