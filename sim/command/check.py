"""`stopload check`: what the file says, what each move really does, and the rig to scale; nothing is simulated."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from sim.command.reading import read_scenario
from sim.command.screen import console
from sim.command.status import Refused
from sim.command.summary import words_and_numbers
from sim.results.cautions import SHORT
from sim.results.checked import CheckedMove
from sim.results.shown import Units, bare, unit_shown


def check_file(file: Path, out: Path | None, units: Units) -> int:
    """Read, check and draw the scenario in `file`; print its rig and its moves. Raises Refused with all its faults."""
    read = read_scenario(file)
    from sim.rig import RigError, build_rig, check_summary

    try:
        rig = build_rig(read.scenario)
        moves = check_summary(read.scenario, rig)
    except RigError as error:
        raise Refused(f"{file}: this rig cannot be built:", *(f"  {line}" for line in error.sentences)) from error
    screen = console()
    screen.print(read.scenario.title, style="bold")
    _print_moves(screen, moves, units)
    screen.print()
    screen.print(SHORT)
    return 0


def _print_moves(screen: Console, moves: Sequence[CheckedMove], units: Units) -> None:
    length, speed, rate = (unit_shown(unit, units).sign for unit in ("m", "m/s", "m/s^2"))
    numbers = (
        "starts\ns",
        "ends\ns",
        f"pays out\n{length}",
        f"top speed\n{speed}",
        f"top acceleration\n{rate}",
        f"top deceleration\n{rate}",
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
        )
    if table.row_count:
        screen.print()
        screen.print(table)
