"""`stopload demos`: the scenarios that come with the program, by title, and copies of them to try things on."""

from __future__ import annotations

import re
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from rich.table import Table

from sim.command.new import write_new
from sim.command.reading import named_files
from sim.command.screen import console
from sim.command.status import Refused

_TITLE = re.compile(r"^title:\s*(.+?)\s*$", re.MULTILINE)


def demo_texts() -> dict[str, str]:
    """The demo scenarios by name, as they are shipped."""
    files = (entry for entry in resources.files("scenarios").iterdir() if entry.name.endswith(".yaml"))
    return {
        entry.name.removesuffix(".yaml"): entry.read_text(encoding="utf-8") for entry in sorted(files, key=_by_stem)
    }


def _by_stem(entry: Traversable) -> str:
    return entry.name.removesuffix(".yaml")


def list_demos(name: str | None = None) -> int:
    """Print name and title of each demo, or of one."""
    table = Table.grid(padding=(0, 2))
    for each, text in _chosen(name).items():
        title = _TITLE.search(text)
        table.add_row(each, title[1] if title else "(no title)")
    screen = console()
    screen.print(table)
    screen.print("\nstopload demos --copy FOLDER copies them; stopload run FOLDER/NAME.yaml runs one.", soft_wrap=True)
    return 0


def copy_demos(name: str | None, folder: Path) -> int:
    """Copy the demos, or one, with the files they name, into `folder`. Raises Refused before copying over anything."""
    from sim.scenario import read_text

    contents: dict[Path, bytes] = {}
    for each, text in _chosen(name).items():
        contents[folder / f"{each}.yaml"] = text.encode()
        for named in named_files(read_text(text, f"{each}.yaml")):
            contents[folder / named] = resources.files("scenarios").joinpath(named).read_bytes()
    there = [str(file) for file in contents if file.exists()]
    if there:
        raise Refused(f"Nothing is copied, for what exists already is left as it is: {', '.join(there)}.")
    for file, content in contents.items():
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
        except FileExistsError as taken:
            raise Refused(f"{file.parent} is not a folder.") from taken
        write_new(file, content)
        print(file)
    return 0


def _chosen(name: str | None) -> dict[str, str]:
    texts = demo_texts()
    if name is None:
        return texts
    name = name.removesuffix(".yaml")
    if name not in texts:
        raise Refused(f"There is no demo '{name}'. There are: {', '.join(texts)}.")
    return {name: texts[name]}
