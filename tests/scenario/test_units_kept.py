"""The list of units that is kept on disk: whole or not at all, whoever was killed at it; made anew where damaged."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pint
import pytest

from sim.scenario import units


@pytest.fixture(autouse=True)
def _read_anew(tmp_path: Path, monkeypatch) -> Iterator[None]:
    """A cache of its own; afterwards the units are read again from the usual one."""
    monkeypatch.setenv("STOPLOAD_CACHE", str(tmp_path))
    _forget()
    yield
    _forget()


def _forget() -> None:
    units._registry.cache_clear()
    units.scale.cache_clear()


def _an_inch() -> None:
    """ISO 31-1: exactly 25.4 mm."""
    _forget()
    assert units.scale("inch", "meter") == (Fraction(254, 10_000), 0)


def _pieces(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_what_is_kept_is_read_and_not_written_again() -> None:
    _an_inch()
    kept = units._kept_at()
    made = {path: path.stat().st_mtime_ns for path in kept.iterdir()}
    assert made
    _an_inch()
    assert {path: path.stat().st_mtime_ns for path in kept.iterdir()} == made
    assert list(kept.parent.iterdir()) == [kept]


@pytest.mark.parametrize("left", [0, 1000])
def test_pieces_that_cannot_be_read_are_made_anew(left: int) -> None:
    _an_inch()
    kept = units._kept_at()
    whole = _pieces(kept)
    for path in kept.glob("*.pickle"):
        os.truncate(path, left)
    _an_inch()
    assert {name: len(piece) for name, piece in _pieces(kept).items()} == {n: len(p) for n, p in whole.items()}


def test_a_start_that_is_killed_or_meets_a_full_disk_leaves_nothing_half_read(monkeypatch) -> None:
    real, kept = units._read_units, units._kept_at()

    def full(folder: Path | None) -> pint.UnitRegistry:
        registry = real(folder)
        if folder is not None:
            raise OSError(28, "No space left on device")
        return registry

    monkeypatch.setattr(units, "_read_units", full)
    _an_inch()
    assert not list(kept.parent.iterdir())


def test_a_start_beside_another_uses_its_own_and_lets_the_others_be(monkeypatch) -> None:
    real, kept = units._read_units, units._kept_at()

    def other_first(folder: Path | None) -> pint.UnitRegistry:
        registry = real(folder)
        if folder is not None and folder != kept:
            shutil.copytree(folder, kept)
        return registry

    monkeypatch.setattr(units, "_read_units", other_first)
    _an_inch()
    assert list(kept.parent.iterdir()) == [kept]
