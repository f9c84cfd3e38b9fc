"""`stopload check`: what the file says, what each move really does, and the rig to scale; nothing is simulated."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console

from sim.command.reading import cannot_be_built, read_scenario
from sim.command.screen import console
from sim.command.status import Refused, Status
from sim.command.summary import print_list, words_and_numbers
from sim.results.cautions import SHORT
from sim.results.checked import CheckedFlight, CheckedGround, CheckedMove
from sim.results.shown import Units, bare, shown, unit_shown
from sim.results.verdict import LOADS
from sim.strength.words import DOUBTFUL

if TYPE_CHECKING:
    from sim.rig.rig import Rig
    from sim.scenario.model import Scenario
    from sim.strength.elements import Element


_TOUCHES_M = 1e-3


def check_file(file: Path, out: Path | None, units: Units) -> int:
    """Read, check and draw the scenario in `file`; print its rig and its moves. Raises Refused with all its faults."""
    scenario = read_scenario(file).scenario
    from sim.rig.rig import RigError
    from sim.scenario.pending import not_simulated
    from sim.studies.checked import check_summary, checked_flights
    from sim.studies.grounds import too_low
    from sim.studies.prepared import made_ready

    try:
        rig, prepared = made_ready(scenario)
    except RigError as wrong:
        raise cannot_be_built(file, wrong.sentences) from wrong
    pending = not_simulated(scenario)
    unjudged = [f"{e.name}: {e.gap or 'no strength is stated'}" for e in prepared.elements if _not_judged(e)]
    unjudged += _not_asked(scenario, prepared.elements)
    screen = console()
    screen.print(f"{file}: no fault found", soft_wrap=True)
    screen.print(scenario.title, style="bold")
    print_list(screen, "Rig", _rig_lines(scenario, units))
    print_list(screen, "Asked", _asked_lines(scenario, units))
    moves = check_summary(scenario, rig)
    _print_moves(screen, moves, [p.name for p in rig.performers], units)
    _print_flights(screen, checked_flights(rig), units)
    print_list(screen, "Not possible as planned", _nowhere(moves, [p.name for p in rig.performers]))
    print_list(screen, "Too low as planned", [_low(each, units) for each in too_low(scenario, rig, moves)])
    doubts = [each for each in prepared.assumptions if each.startswith(DOUBTFUL)]
    doubtful = [*(each.removeprefix(DOUBTFUL) for each in doubts), *_late(scenario, moves)]
    print_list(screen, "Doubtful", doubtful)
    print_list(screen, "Will not be judged", unjudged)
    print_list(screen, "Not simulated yet", pending)
    assumed = (*rig.assumptions, *(each for each in prepared.assumptions if each not in doubts))
    print_list(screen, "Assumed" if units is Units.SI else "Assumed (in SI)", assumed)
    drawing = _draw(rig, out or file.with_name(f"{file.stem}-rig.svg"), scenario.title, units)
    screen.print(f"\nRig drawing: {drawing}", soft_wrap=True)
    screen.print(SHORT)
    return Status.UNFINISHED if pending else Status.WITHIN


def _not_judged(element: Element) -> bool:
    return _asked(element) and (element.breaking_strength_N is None or bool(element.gap))


def _asked(element: Element) -> bool:
    required = element.required
    return any(factor is not None for factor in (required.static, required.working, required.emergency))


def _not_asked(scenario: Scenario, elements: Sequence[Element]) -> list[str]:
    """What the limits say nothing of, where they say anything: a key forgotten looks like one that is met."""
    limits = scenario.limits
    if limits.none:
        return []
    missing = {
        "any element: limits ask for no design_factor": not any(_asked(each) for each in elements),
        "what performers feel: limits ask for no g_load": limits.g_load is None,
        "how near the floor or the water performers come: limits ask for no clearance": limits.clearance is None
        and (scenario.floor is not None or scenario.environment.water is not None),
    }
    return [sentence for sentence, is_so in missing.items() if is_so and scenario.performers]


def _nowhere(moves: Sequence[CheckedMove], performers: Sequence[str]) -> list[str]:
    """Moves after which nobody could say where a performer hangs: mostly more line is taken in than there is."""
    return [
        f"After the move of {move.drive} that ends at {shown(move.end_s, 's')} no place was found where {name} could "
        "hang: is more line taken in than there is between the last sheave and the performer?"
        for move in moves
        for name in performers
        if name not in move.performer_end_height_m
    ]


def _late(scenario: Scenario, moves: Sequence[CheckedMove]) -> list[str]:
    """Stops at a time when every move is over: nothing is left to stop."""
    last_s = max((move.end_s for move in moves), default=None)
    return [
        f"{stop.name}: it comes at {shown(stop.when.s, 's')}, and the last move ends at {shown(last_s, 's')}: nothing "
        "is left to stop."
        for stop in scenario.stops
        if not isinstance(stop.when, str) and last_s is not None and stop.when.s > last_s
    ]


def _low(where: CheckedGround, units: Units) -> str:
    """A performer who comes too low as planned, in words; stretch and stops come on top."""
    move = f"The move of {where.drive}" if where.drive else f"The flight of {where.performer}"
    end, ground = shown(where.end_s, "s"), where.ground
    if where.clearance_m > _TOUCHES_M:
        comes = f"{shown(where.clearance_m, 'm', units)} above the {ground}"
    elif ground == "water":
        comes = f"{shown(-where.clearance_m, 'm', units)} into the water"
    else:
        comes = "onto the floor, and the limits state no landing_speed"
    asked = f"; a clearance of {shown(where.asked_m, 'm', units)} is asked for" if where.asked_m is not None else ""
    return f"{move} that ends at {end} brings {where.performer}'s body {comes}{asked}. Stretch comes on top."


def _rig_lines(scenario: Scenario, units: Units) -> list[str]:
    lines = [
        f"{name}: performer of {shown(each.mass.kg, 'kg', units)}, {each.start}, "
        f"suspension point at {shown(each.at[2].m, 'm', units)}"
        for name, each in scenario.performers.items()
    ]
    for name, line in scenario.lines.items():
        kind = line.type if isinstance(line.type, str) else "type written in place"
        diameter = f", {line.diameter.text}" if line.diameter is not None else ""
        lines.append(f"{name}: {kind}{diameter}; {' -> '.join(line.route)}")
    lines += [f"{name}: {each.kind}" for name, each in scenario.drives.items()]
    return lines


def _asked_lines(scenario: Scenario, units: Units) -> list[str]:
    lines = [
        f"stop '{stop.name}': {f'category {stop.category}' if stop.category is not None else f'hands {stop.hands}'}, "
        + (stop.when if isinstance(stop.when, str) else f"at {shown(stop.when.s, 's')}")
        for stop in scenario.stops
    ] or ["no stop"]
    limits = scenario.limits
    asked = {
        "clearance": shown(limits.clearance.m, "m", units) if limits.clearance is not None else "",
        "g load": f"{limits.g_load:g}" if limits.g_load is not None else "",
        "landing speed": shown(limits.landing_speed.m_s, "m/s", units) if limits.landing_speed is not None else "",
    }
    lines += [f"{what}: {value}" for what, value in asked.items() if value]
    if limits.design_factor is not None:
        factors = ((load, getattr(limits.design_factor, load)) for load in LOADS)
        asked_of = [f"{load} {factor:g}" for load, factor in factors if factor is not None]
        lines.append(f"design factor: {', '.join(asked_of)}")
    if limits.none:
        lines.append("no limit")
    return lines


def _print_moves(screen: Console, moves: Sequence[CheckedMove], performers: Sequence[str], units: Units) -> None:
    length, speed, rate = (unit_shown(unit, units).sign for unit in ("m", "m/s", "m/s^2"))
    numbers = (
        "starts\ns",
        "ends\ns",
        f"pays out\n{length}",
        f"top speed\n{speed}",
        f"acceleration\n{rate}",
        f"deceleration\n{rate}",
        *(f"{name}\nends at {length}" for name in performers),
    )
    table = words_and_numbers("Moves, as they really are", ("drive",), numbers)
    for move in moves:
        table.add_row(
            move.drive,
            bare(move.start_s, "s"),
            bare(move.end_s, "s"),
            bare(move.distance_m, "m", units),
            bare(move.top_speed_m_s, "m/s", units),
            bare(move.top_acceleration_m_s2, "m/s^2", units),
            bare(move.top_deceleration_m_s2, "m/s^2", units),
            *(bare(move.performer_end_height_m.get(name), "m", units) for name in performers),
        )
    if table.row_count:
        screen.print()
        screen.print(table)


def _print_flights(screen: Console, flights: Sequence[CheckedFlight], units: Units) -> None:
    length, speed, rate = (unit_shown(unit, units).sign for unit in ("m", "m/s", "m/s^2"))
    numbers = (
        "starts\ns",
        "ends\ns",
        f"path\n{length}",
        f"top speed\n{speed}",
        f"speeds up at\n{rate}",
        f"slows at\n{rate}",
        f"bends counted\n{rate}",
        f"ends at x, y, z\n{length}",
    )
    table = words_and_numbers("Flights along their paths, as they really are", ("performer",), numbers)
    for flight in flights:
        table.add_row(
            flight.performer,
            bare(flight.start_s, "s"),
            bare(flight.end_s, "s"),
            bare(flight.length_m, "m", units),
            bare(flight.top_speed_m_s, "m/s", units),
            bare(flight.top_acceleration_m_s2, "m/s^2", units),
            bare(flight.top_deceleration_m_s2, "m/s^2", units),
            bare(flight.acceleration_in_space_m_s2, "m/s^2", units),
            ", ".join(bare(x, "m", units) for x in flight.end_m),
        )
    if table.row_count:
        screen.print()
        screen.print(table)


def _draw(rig: Rig, path: Path, title: str, units: Units) -> Path:
    """Write the rig drawing; an earlier one is replaced, any other file is left alone."""
    from plots import write_rig_drawing
    from sim.studies.drawing import drawing

    if path.suffix.lower() != ".svg":
        raise Refused(f"{path}: the rig drawing is an SVG file; give it a name that ends in .svg.")
    if path.exists() and not _drawn_here(path):
        raise Refused(f"{path} is there and is no drawing of stopload's: it is left as it is.")
    unfinished = path.with_name(f"{path.stem}.unfinished.svg")
    try:
        write_rig_drawing(drawing(rig), unfinished, title, units)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
    return path


def _drawn_here(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return b"stopload" in file.read(4096)
