"""`stopload new`: a commented starter scenario that runs as it stands."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from sim.command.status import Refused


def starter_text() -> str:
    """The starter scenario."""
    return resources.files("sim.command").joinpath("starter.yaml").read_text(encoding="utf-8")


def write_starter(file: Path) -> int:
    """Write the starter scenario to `file`. Raises Refused where something is there already."""
    write_new(file, starter_text().encode())
    print(f"{file} is written. Next: stopload check {file}")
    return 0


def write_new(file: Path, content: bytes) -> None:
    """Write a file that was not there before. Raises Refused where it was, or where its folder is missing."""
    try:
        stream = file.open("xb")
    except FileExistsError as there:
        raise Refused(f"{file} exists already and is left as it is.") from there
    except FileNotFoundError as missing:
        raise Refused(f"{file} cannot be written: there is no folder {file.parent}.") from missing
    try:
        with stream:
            stream.write(content)
    except BaseException:
        file.unlink(missing_ok=True)
        raise
