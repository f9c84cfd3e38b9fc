"""The result folder: everything one scenario gave, enough to draw it, judge it and run it again.

    result.json          figures, findings, events, audits, drawing, stamp (SI, the unit in the key),
                         and the SHA-256 of every other file, those of the input in the stamp
    elements.csv         every load of every element, weakest first
    traces/<case>.csv    the history of each case
    sweep.csv            one row per stop instant (`sweep <stop>.csv` each, where several stops were swept)
    input.yaml           the scenario as it was given, byte for byte, with the files it names
    scenario.yaml        the scenario with every default filled in
    own line types/      the files of the user's own line types that it uses, byte for byte
    plots/               the figures

While runs are made, those finished lie beside it in `<folder>.unfinished.jsonl` (see `sim.results.journal`).
Nothing here computes a figure; `read_result` gives back the object that was written.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath
from typing import Any

from sim.results.elements_table import write_elements
from sim.results.filenames import file_names
from sim.results.model import STOP, CaseResult, ElementResult, Result, SweepTable, Trace
from sim.results.plain import Notes, from_plain, to_plain
from sim.results.plain_files import read_json, read_plain_text, within
from sim.results.tables import read_sweep, read_trace, write_sweep, write_trace
from sim.results.whole import FolderError, refuse_if_there, whole_folder
from sim.version import VERSION

FORMAT = "stopload result 1"
RESULT, INPUT, SCENARIO, ELEMENTS = "result.json", "input.yaml", "scenario.yaml", "elements.csv"
TRACES, PLOTS, NAMED_FILES, OWN_TYPES = "traces", "plots", "input files", "own line types"
SEAL = "seal"
_NUMBER_LIST = re.compile(r"\[\n[\s\d.,eE+\-]*\]")


@dataclass(frozen=True)
class Inputs:
    """What was read to get a result, as bytes taken when it was read.

    scenario: the scenario file. full_scenario: the same with every default filled in, as YAML text.
    files: the other files it names, under the paths as written in it. own_types: the files of the user's own line
    types that it uses, by name.
    """

    scenario: bytes
    full_scenario: str
    files: Mapping[str, bytes] = field(default_factory=dict)
    own_types: Mapping[str, bytes] = field(default_factory=dict)


def write_result(
    folder: Path,
    result: Result,
    inputs: Inputs,
    draw: Callable[[Result, Path], object] | None = None,
    overwrite: bool = False,
) -> Path:
    """Write the result folder, whole or not at all, and give its path.

    draw(result, folder) writes the figures into the folder it is given. overwrite lets an earlier result folder go, and
    only one that holds nothing else. Raises FolderError where the place is taken, OSError from the disk.
    """
    with whole_folder(folder, _let_go if overwrite else None) as part:
        kept_as = _write_inputs(part, inputs)
        stamp: dict[str, object] = {"version": VERSION, **result.stamp, "files": _hashes(part)}
        if kept_as:
            stamp["kept_as"] = kept_as
        result = replace(result, stamp=stamp)
        (part / SCENARIO).write_text(inputs.full_scenario, encoding="utf-8", newline="\n")
        traces = {case: f"{TRACES}/{name}" for case, name in file_names(result.traces, ".csv").items()}
        sweeps = file_names(result.sweeps, ".csv", before="sweep ")
        if len(sweeps) == 1:
            sweeps = dict.fromkeys(sweeps, "sweep.csv")
        write_elements(part / ELEMENTS, result)
        (part / TRACES).mkdir(exist_ok=True)
        for case, name in traces.items():
            write_trace(part / name, result.traces[case])
        for stop, name in sweeps.items():
            write_sweep(part / name, result.sweeps[stop])
        if draw is not None:
            (part / PLOTS).mkdir(exist_ok=True)
            draw(result, part / PLOTS)
        text = _result_text(result, traces, sweeps, _hashes(part))
        (part / RESULT).write_text(text, encoding="utf-8", newline="\n")
    return folder


def read_result(folder: Path) -> Result:
    """Give back the Result that was written into `folder`. Raises FolderError saying what is missing or wrong."""
    data = _read_json(folder)
    try:
        notes: Notes = data.get("not_numbers", {})
        traces = {case: read_trace(within(folder, name)) for case, name in data["traces"].items()}
        happens = data.get("sweep_instants", {})
        sweeps = {
            stop: replace(read_sweep(within(folder, name), stop), happens=str(happens.get(stop, STOP)))
            for stop, name in data["sweeps"].items()
        }
        result = result_of(data, notes)
    except FileNotFoundError as missing:
        raise FolderError(f"{folder} is not whole: {Path(missing.filename).name} is missing") from missing
    except (KeyError, TypeError, ValueError, AttributeError) as unfit:
        raise FolderError(f"{folder / RESULT} does not fit its format: {unfit}") from unfit
    return replace(result, traces=traces, sweeps=sweeps)


def result_of(plain: Mapping[str, Any], notes: Notes) -> Result:
    """The Result in plain values as they stand in result.json, without its traces and sweeps.

    Raises KeyError, TypeError, ValueError or AttributeError where they do not fit.
    """
    named = {
        kind: {name: {"name": name, **each} for name, each in plain[kind].items()} for kind in ("cases", "elements")
    }
    return from_plain(Result, {**plain, **named, "traces": {}, "sweeps": {}}, "", notes)


def read_drawable(folder: Path) -> Result:
    """The Result in `folder` for a page that is to stand alone: its stamp says, under 'result', which file it is from.

    Raises FolderError also where result.json, a history or a sweep is no longer what was written: a figure of it would
    not be the result's.
    """
    result = read_result(folder)
    data = _read_json(folder)
    drawn = {RESULT, *data["traces"].values(), *data["sweeps"].values()}
    if changed := [name for name in changed_files(folder) if name in drawn]:
        raise FolderError(f"{folder}: {', '.join(changed)} is no longer what was written, so it is not drawn")
    return replace(result, stamp={**result.stamp, "result": f"{RESULT} {_sha256(folder / RESULT)}"})


def changed_files(folder: Path) -> tuple[str, ...]:
    """The files of a result folder that are missing or no longer what was written. Raises FolderError, OSError."""
    stamped = _read_json(folder)["written"]
    changed = [
        name for name, digest in stamped.items() if not (folder / name).is_file() or _sha256(folder / name) != digest
    ]
    return (*([] if _sealed(read_plain_text(within(folder, RESULT))) else [RESULT]), *changed)


def refuse_early(folder: Path, overwrite: bool) -> None:
    """Raise FolderError now where write_result would later: before hours of simulation rather than after."""
    refuse_if_there(folder, _let_go if overwrite else None)


def _let_go(folder: Path) -> None:
    """Raise FolderError unless `folder` is empty or a result folder with nothing in it that is not the result's."""
    if not any(folder.iterdir()):
        return
    if not (folder / RESULT).is_file():
        raise FolderError(f"{folder} is not a result folder and is left as it is")
    known = {RESULT, *_read_json(folder)["written"]}
    strangers = [
        path.relative_to(folder).as_posix()
        for path in sorted(folder.rglob("*"))
        if not path.is_dir() and path.relative_to(folder).as_posix() not in known
    ]
    if strangers:
        some = ", ".join(strangers[:3]) + (", …" if len(strangers) > 3 else "")
        raise FolderError(f"{folder} holds what is no part of a result ({some}) and is left as it is; move that first")


def _write_inputs(part: Path, inputs: Inputs) -> dict[str, str]:
    """Write what was read, byte for byte, and give the names of the files that could not keep theirs."""
    (part / INPUT).write_bytes(inputs.scenario)
    others = [name for name in inputs.files if not _keeps_its_path(name)]
    names = file_names(others, "")
    kept_as = {name: f"{NAMED_FILES}/{names[name]}" for name in others}
    own = {f"{OWN_TYPES}/{name}": content for name, content in inputs.own_types.items()}
    for name, content in {**inputs.files, **own}.items():
        path = part / kept_as.get(name, name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return kept_as


def _keeps_its_path(name: str) -> bool:
    """Whether a file named in a scenario can lie in the folder under the same path: input.yaml then runs as it is."""
    path = PurePosixPath(name.replace("\\", "/"))
    first = path.parts[0].casefold() if path.parts else ""
    ours = {RESULT, INPUT, SCENARIO, ELEMENTS, TRACES, PLOTS, NAMED_FILES, OWN_TYPES}
    taken = first in ours or first.startswith("sweep")
    return not (taken or "\\" in name or ":" in name or path.is_absolute() or ".." in path.parts or not first)


def _result_text(
    result: Result, traces: Mapping[str, str], sweeps: Mapping[str, str], written: Mapping[str, str]
) -> str:
    notes: Notes = {}
    data: dict[str, Any] = {"format": FORMAT}
    bare = replace(result, traces=dict[str, Trace](), sweeps=dict[str, SweepTable]())
    first = ("stamp", "title", "revision", "prepared_by", "verdict", "exit_status", "findings", "cases", "elements")
    plain = to_plain(bare, "", notes)
    data.update({key: plain.pop(key) for key in first})
    data.update(plain)
    data["weakest"] = result.weakest
    data["traces"], data["sweeps"], data["written"] = dict(traces), dict(sweeps), dict(written)
    data["sweep_instants"] = {name: table.happens for name, table in result.sweeps.items()}
    for kind, originals in (("cases", result.cases), ("elements", result.elements)):
        _without_names(data[kind], originals)
    if notes:
        data["not_numbers"] = notes
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2)
    text = _NUMBER_LIST.sub(lambda match: " ".join(match[0].split()).replace("[ ", "[").replace(" ]", "]"), text)
    return _with_seal(text.removesuffix("\n}"))


def _with_seal(start: str) -> str:
    """The text of a result with the SHA-256 of all that stands before as its last entry. It finds what was changed by
    mistake; whoever means to can make a new one, which only running it again would show.
    """
    digest = hashlib.sha256(start.encode()).hexdigest()
    return f'{start},\n  "{SEAL}": "sha256 {digest}"\n}}\n'


def _sealed(text: str) -> bool:
    """Whether the text of a result is as it was written."""
    return _with_seal(text.rpartition(f',\n  "{SEAL}"')[0]) == text


def _without_names(records: dict[str, Any], originals: Mapping[str, CaseResult] | Mapping[str, ElementResult]) -> None:
    """A record's key is its name: it is written once."""
    for key, original in originals.items():
        if original.name == key:
            del records[key]["name"]


def _read_json(folder: Path) -> dict[str, Any]:
    path = folder / RESULT
    try:
        data = read_json(within(folder, RESULT))
    except (FileNotFoundError, NotADirectoryError) as missing:
        raise FolderError(f"{folder} is not a result folder: it has no {RESULT}") from missing
    except ValueError as broken:
        raise FolderError(f"{path} cannot be read: {broken}") from broken
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise FolderError(f"{path} is not in the format '{FORMAT}'")
    if not isinstance(data.get("written"), dict):
        raise FolderError(f"{path} does not say which files were written with it")
    return data


def _hashes(folder: Path) -> dict[str, str]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): _sha256(path) for path in files}


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return "sha256 " + hashlib.file_digest(file, "sha256").hexdigest()
