"""What else a rigger asks of each line, in sentences for the screen; all of it stands in result.json."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sim.results.lines import Basis, Bends, Creep, Heat, InWater, LineFigures, OwnWeight, Recoil, Spin
from sim.results.model import Result
from sim.results.shown import Units, bare, short, shown, small_force, small_mass, temperature
from sim.strength.laws import UNSOURCED
from sim.strength.words import NEEDS_EVIDENCE

METRE = 1.0
"""The length, m, that is told of where a figure is per metre: in US units too, so that it needs no second unit."""


def line_lines(result: Result, units: Units) -> Iterator[str]:
    """Subject by subject, a sentence for the line with the largest figure; the other lines are in result.json."""
    for what, size, told in _SUBJECTS:
        known = [name for name, of in result.lines.items() if size(of) is not None]
        if known:
            name = max(known, key=lambda each: _size(size, result.lines[each]))
            most = f" (most of {len(known)} lines)" if len(known) > 1 else ""
            yield f"{what}, {name}{most}: {told(result.lines[name], units)}"
    for name, of in result.lines.items():
        yield from (f"{name}, {each}." for each in of.missing)


def _size(size: Callable[[LineFigures], float | None], of: LineFigures) -> float:
    return size(of) or 0.0


def _recoil(of: LineFigures, units: Units) -> str:
    found: Recoil | None = of.recoil
    assert found is not None
    peak = f"{shown(found.energy_at_peak_J, 'J', units)} at the greatest force, {shown(found.peak_force_N, 'N', units)}"
    if found.energy_at_break_J_per_m is None:
        return f"{peak}. {_evidenced(found.says, found.basis)}".rstrip()
    per_metre, whole = shown(found.energy_at_break_J_per_m, "J/m", units), shown(found.energy_at_break_J, "J", units)
    ends = (found.energy_at_break_low_J_per_m, found.energy_at_break_high_J_per_m)
    if ends[0] is not None:
        per_metre += f" ({' to '.join(bare(end, 'J/m', units) for end in ends)})"
    return (
        f"{per_metre} at break, {whole} in all; {peak}; a parted end flies back at up to "
        f"{shown(found.snap_back_speed_m_s, 'm/s', units)}{_beside(found, units)}. "
        f"{_evidenced(found.says, found.basis)}"
    ).rstrip()


def _beside(found: Recoil, units: Units) -> str:
    """The same of wire, or of fibre, as strong."""
    other = found.beside
    if other is None:
        return ""
    energy, speed = shown(other.energy_at_break_J_per_m, "J/m", units), shown(other.snap_back_speed_m_s, "m/s", units)
    return f" ({other.type} as strong: {energy}, {speed})"


def _weight(of: LineFigures, units: Units) -> str:
    found: OwnWeight = of.own_weight
    sagging = max(found.spans, key=lambda span: span.sag_m or 0.0)
    longest = shown(found.longest_out_m, "m", units)
    share = f" ({100 * found.out_share:.2g} % of {found.performer})" if found.out_share is not None else ""
    out = f"{small_mass(found.out_kg, units)}{share} in {shown(found.out_m, 'm', units)} out at rest, {longest} at most"
    parts = [out]
    if sagging.sag_m and sagging.line_in_sag_m is not None:
        parts.append(
            f"{sagging.name} sags {short(sagging.sag_m, units)} over {shown(sagging.way_m, 'm', units)}, with "
            f"{short(sagging.line_in_sag_m, units)} more line than the straight way"
        )
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
    season = f"{found.per_thousand_moves:,} in 1,000 moves"
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


def _creep(of: LineFigures, units: Units) -> str:
    found: Creep | None = of.creep
    assert found is not None
    at = f"{found.load_percent:.2g} % of its strength" if found.load_percent is not None else "a strength nobody states"
    load = f"hanging at {small_force(found.tension_N, units)}, {at}"
    if found.first_hour_m is None or found.first_day_m is None:
        return f"{load}: no figure. {found.says}{_note(found.basis)}"
    hour, day = short(found.first_hour_m, units), short(found.first_day_m, units)
    return f"{load}, it lengthens by at most {hour} in an hour, {day} in a day. {found.says}{_note(found.basis)}"


def _spin(of: LineFigures, units: Units) -> str:
    found: Spin | None = of.spin
    assert found is not None
    if found.torque_Nm is None:
        return f"{found.says}{_note(found.basis)}"
    torque = f"turns {found.on} with {shown(found.torque_Nm, 'N m', units)}"
    if found.swivel and found.turns is not None:
        hang = shown(found.hang_m, "m", units)
        return (
            f"turns in {found.swivel} instead of turning {found.on}, about {found.turns:.2g} turns on a hang of {hang} "
            f"that lie unlaid in it. {found.says}{_note(found.basis)}"
        )
    if not found.free:
        return f"{torque}, and other lines hold against it. {found.says}{_note(found.basis)}"
    turns = f"about {found.turns:.2g} turns" if found.turns is not None else "turns: no figure"
    hang = shown(found.hang_m, "m", units)
    return f"{torque} while held, {turns} on a free hang of {hang}. {found.says}{_note(found.basis)}"


def _heat(of: LineFigures, units: Units) -> str:
    found: Heat | None = of.heat
    assert found is not None
    if found.hottest_degC is None:
        return f"no temperature is stated. {found.says}"
    parts = [f"{temperature(found.hottest_degC, units)} stated {_where(found.at)}"]
    if found.limit_degC is not None and found.margin_degC is not None:
        limit = temperature(found.limit_degC, units)
        parts.append(f"in use up to {limit}" if found.margin_degC >= 0 else f"ABOVE the {limit} it is in use up to")
    if found.strength_left is not None:
        parts.append(f"{found.strength_left:.2f} of its strength counted")
    return f"{', '.join(parts)}. {found.says}{_note(found.basis)}"


def _water(of: LineFigures, units: Units) -> str:
    found: InWater | None = of.in_water
    assert found is not None
    if found.weight_in_water_N_per_m is None or found.soaked_kg_per_m is None:
        return f"no figure, its material is not stated. {found.says}{_note(found.basis)}"
    weight = small_force(abs(found.weight_in_water_N_per_m) * METRE, units)
    lifts = f"floats, lifted by {weight}" if found.floats else f"sinks, weighing {weight}"
    parts = [f"a metre of it {lifts}, and soaked weighs {small_mass(found.soaked_kg_per_m * METRE, units)}"]
    if found.wet and found.wet_strength is not None:
        parts.append(f"run soaked, with {found.wet_strength:.2f} of its strength")
    else:
        parts.append("run dry; say `wet: yes` where spray reaches it")
    if found.under:
        parts.append(f"under water at {', '.join(found.under)}")
    return f"{'; '.join(parts)}. {found.says}{_note(found.basis)}"


def _where(at: str) -> str:
    return at if at.startswith("all") else f"at {at}"


def _evidenced(says: str, basis: tuple[Basis, ...]) -> str:
    return f"{says}{_note(basis)}" if says else _note(basis).strip()


def _note(basis: tuple[Basis, ...]) -> str:
    """Which of the numbers behind a sentence nobody has read anywhere."""
    weak = [each.what for each in basis if each.status in UNSOURCED]
    return f" ({NEEDS_EVIDENCE}: {', '.join(weak)})" if weak else ""


_SUBJECTS: tuple[tuple[str, Callable[[LineFigures], float | None], Callable[[LineFigures, Units], str]], ...] = (
    (
        "If it parts",
        lambda of: (of.recoil.energy_at_break_J or of.recoil.energy_at_peak_J) if of.recoil else None,
        _recoil,
    ),
    ("Weight and sag", lambda of: of.own_weight.out_kg, _weight),
    ("Bends", lambda of: of.bends.per_move if of.bends else None, _bends),
    ("Creep", lambda of: (of.creep.first_hour_m or 0.0) if of.creep else None, _creep),
    ("Spin", lambda of: (of.spin.torque_Nm or 0.0) if of.spin else None, _spin),
    ("Water", lambda of: (of.in_water.soaked_kg_per_m or 0.0) if of.in_water else None, _water),
    ("Heat", lambda of: (of.heat.hottest_degC or 0.0) if of.heat else None, _heat),
)
"""What is told: the subject, by which figure lines are sorted (None: nothing to tell), and the sentence."""
