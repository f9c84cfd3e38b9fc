"""Folders whose main file, a JSON text, names its format and the SHA-256 of every other file in them."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.results.plain_files import read_json
from sim.results.whole import FolderError


@dataclass(frozen=True)
class Stamped:
    """One kind of folder: its main file, the format that stands in it, and what messages call it."""

    main: str
    format: str
    called: str

    def read(self, folder: Path) -> dict[str, Any]:
        """What its main file holds. Raises FolderError saying what is missing or wrong."""
        path = folder / self.main
        try:
            data = read_json(path)
        except (FileNotFoundError, NotADirectoryError) as missing:
            raise FolderError(f"{folder} is not the folder of a {self.called}: it has no {self.main}") from missing
        except ValueError as broken:
            raise FolderError(f"{path} cannot be read: {broken}") from broken
        if not isinstance(data, dict) or data.get("format") != self.format or not isinstance(data.get("written"), dict):
            raise FolderError(f"{path} is not in the format '{self.format}'")
        return data

    def write(self, folder: Path, data: dict[str, Any]) -> None:
        """Write the main file, when all others stand: their hashes go into it. Raises OSError."""
        whole = {"format": self.format, **data, "written": hashes(folder)}
        text = json.dumps(whole, ensure_ascii=False, allow_nan=False, indent=2) + "\n"
        (folder / self.main).write_text(text, encoding="utf-8", newline="\n")

    def let_go(self, folder: Path) -> None:
        """Raise FolderError unless `folder` is empty or of this kind, with nothing in it that is not its own."""
        if not any(folder.iterdir()):
            return
        if not (folder / self.main).is_file():
            raise FolderError(f"{folder} is not the folder of a {self.called} and is left as it is")
        known = {self.main, *self.read(folder)["written"]}
        paths = (path for path in sorted(folder.rglob("*")) if not path.is_dir())
        strangers = [name for path in paths if (name := path.relative_to(folder).as_posix()) not in known]
        if strangers:
            some = ", ".join(strangers[:3]) + (", …" if len(strangers) > 3 else "")
            what = f"{folder} holds what is no part of a {self.called} ({some})"
            raise FolderError(f"{what} and is left as it is; move that first")


def hashes(folder: Path) -> dict[str, str]:
    """The SHA-256 of every file in a folder, by its path there."""
    found = {}
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        with path.open("rb") as file:
            found[path.relative_to(folder).as_posix()] = "sha256 " + hashlib.file_digest(file, "sha256").hexdigest()
    return found
