"""What else a rigger asks of each line, in sentences for the screen; all of it stands in result.json."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sim.results.lines import Basis, Bends, LineFigures, OwnWeight, Recoil
from sim.results.model import Result
from sim.results.shown import Units, bare, short, shown, small_force
from sim.strength.laws import UNSOURCED
from sim.strength.words import NEEDS_EVIDENCE

_MOST_OF_A_KIND = 2
"""So many lines have a sentence of their own on each subject; the others are in result.json."""


def line_lines(result: Result, units: Units) -> Iterator[str]:
    """Subject by subject, a sentence for each line; where there are many lines, for those with the largest figure."""
    for what, size, told in _SUBJECTS:
        known = sorted(
            (name for name, of in result.lines.items() if size(of) is not None),
            key=lambda n: -_size(size, result.lines[n]),
        )
        for name in known[:_MOST_OF_A_KIND]:
            yield f"{name}, {what}: {told(result.lines[name], units)}"
        more = len(known) - _MOST_OF_A_KIND
        if more > 0:
            yield f"{what.capitalize()}: {'one line' if more == 1 else f'{more} lines'} more, in result.json."
    for name, of in result.lines.items():
        yield from (f"{name}, {each}." for each in of.missing)


def _size(size: Callable[[LineFigures], float | None], of: LineFigures) -> float:
    return size(of) or 0.0


def _recoil(of: LineFigures, units: Units) -> str:
    found: Recoil | None = of.recoil
    assert found is not None
    per_metre, whole = shown(found.energy_at_break_J_per_m, "J/m", units), shown(found.energy_at_break_J, "J", units)
    ends = (found.energy_at_break_low_J_per_m, found.energy_at_break_high_J_per_m)
    if ends[0] is not None:
        per_metre += f" ({' to '.join(bare(end, 'J/m', units) for end in ends)})"
    return (
        f"{per_metre} at break, {whole} in all; {shown(found.energy_at_peak_J, 'J', units)} at the greatest force, "
        f"{shown(found.peak_force_N, 'N', units)}; a parted end flies back at up to "
        f"{shown(found.snap_back_speed_m_s, 'm/s', units)}. {_evidenced(found.says, found.basis)}"
    ).rstrip()


def _weight(of: LineFigures, units: Units) -> str:
    found: OwnWeight = of.own_weight
    sagging = max(found.spans, key=lambda span: span.sag_m or 0.0)
    longest = shown(found.longest_out_m, "m", units)
    parts = [
        f"{shown(found.out_kg, 'kg', units)} in {shown(found.out_m, 'm', units)} out at rest, {longest} at most",
    ]
    if sagging.sag_m:
        parts.append(f"{sagging.name} sags {short(sagging.sag_m, units)} over {shown(sagging.way_m, 'm', units)}")
    if found.performer and found.on_performer_N is not None and found.on_performer_share is not None:
        share = f"{100 * found.on_performer_share:.2g} %"
        parts.append(
            f"{found.performer} bears {small_force(found.on_performer_N, units)} of it, {share} of body weight"
        )
    parts += [f"{span.name} is slack" for span in found.spans if span.sag_m is None]
    return "; ".join(parts) + _note(found.basis) + "."


def _bends(of: LineFigures, units: Units) -> str:
    found: Bends | None = of.bends
    assert found is not None
    over = ", ".join(f"{each.bends} over {each.name}" for each in found.places if each.bends)
    season = f"{found.per_1000_moves:,} in 1,000 moves"
    if found.per_season is not None:
        season = f"{found.per_season:,} in a season of {found.moves_per_season:,} moves"
    parts = [f"{found.per_move} in the planned move where it is bent most ({over or 'nothing runs'}), {season}"]
    if found.moves_in_life is not None:
        seasons = f", {found.seasons_in_life:.2g} seasons" if found.seasons_in_life is not None else ""
        parts.append(f"its stated life of {found.life_bends:,} bends is {found.moves_in_life:,.0f} moves{seasons}")
    elif found.life_bends is None:
        parts.append("its bending life in bends: no figure, ask its maker for tests")
    parts += [
        f"over {each.name}, D:d {each.D_to_d:.3g}, wire lasts {each.relative_life:.2g} times the bends it lasts at the "
        "D:d it wants"
        for each in found.places
        if each.relative_life is not None and each.D_to_d is not None
    ]
    if found.not_counted:
        parts.append(f"not counted over {', '.join(found.not_counted)}, which cannot be followed")
    return f"{'; '.join(parts)}. {found.retire}".rstrip() + _note(found.basis)


def _evidenced(says: str, basis: tuple[Basis, ...]) -> str:
    return f"{says}{_note(basis)}" if says else _note(basis).strip()


def _note(basis: tuple[Basis, ...]) -> str:
    """Which of the numbers behind a sentence nobody has read anywhere."""
    weak = [f"{each.what} {each.status}" for each in basis if each.status in UNSOURCED]
    return f" ({', '.join(weak)}; {NEEDS_EVIDENCE})" if weak else ""


_SUBJECTS: tuple[tuple[str, Callable[[LineFigures], float | None], Callable[[LineFigures, Units], str]], ...] = (
    ("if it parts", lambda of: of.recoil.energy_at_break_J if of.recoil else None, _recoil),
    ("weight and sag", lambda of: of.own_weight.out_kg, _weight),
    ("bends", lambda of: of.bends.per_move if of.bends else None, _bends),
)
"""What is told: the subject, by which figure lines are sorted (None: nothing to tell), and the sentence."""
