"""The house keeps its own rules: what the README promises, what the guide says, which words stand."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from sim.results.cautions import FULL

ROOT = Path(__file__).parents[1]
SOURCES = sorted(path for folder in ("sim", "profiles", "plots") for path in (ROOT / folder).rglob("*.py"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def test_the_readme_carries_the_cautions() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for caution in FULL:
        assert f"- {caution}\n" in readme


def test_the_readme_has_the_two_commands_that_ci_runs() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for name in re.findall(r"^run_as_printed ([\w-]+)$", (ROOT / ".ci/run").read_text(encoding="utf-8"), re.MULTILINE):
        command = re.search(rf"<!-- {name} -->\n\n    (python3 -m venv \.venv && .+)\n", readme)
        assert command, name
    assert readme.count("<!--") == 2


def test_every_dependency_has_its_reason_in_the_guide() -> None:
    groups = [PROJECT["dependencies"], *PROJECT["optional-dependencies"].values()]
    names = {re.split(r"[\[<>=]", each)[0] for group in groups for each in group}
    reasons = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Dependencies")[1]
    assert {name for name in names if not re.search(rf"\b{re.escape(name)}\b", reasons)} == set()


def test_every_folder_is_in_the_guide() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    packages = {_name(path.parent) for path in SOURCES if path.name == "__init__.py"}
    for package in packages:
        if package.count("/") <= 1 and package != "sim":
            assert f"`{package}/`" in guide


def test_nothing_is_called_safe() -> None:
    """Rule 8 of the guide, in everything a person may come to read."""
    texts = [*SOURCES, *(ROOT / "scenarios").glob("*.yaml"), *(ROOT / "sim").rglob("*.yaml"), ROOT / "README.md"]
    found = {
        _name(path): words
        for path in texts
        if (
            words := re.findall(
                r"\b(?:safe|safely|certified|approved)\b", path.read_text(encoding="utf-8"), re.IGNORECASE
            )
        )
    }
    assert found == {}
