"""A failure that leaves no rest to begin from is one case that could not be run: all else is run, written and shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.command.main import main
from sim.results.folder import read_result
from sim.results.model import Outcome

RIG = """
title: a weight beside a weight
floor: 0 m
performers:
  person: {mass: MASS, hook_mass: 1 kg, at: [0 m, 0 m, 2 m]}
lines:
  line:
    type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}
    route: [person, sheave, weight]
sheaves:
  sheave: {at: [0 m, 0 m, 8 m], tread_diameter: 200 mm, mass: 1 kg, bearing: {friction: 0.1, pin_diameter: 30 mm}}
counterweights:
  weight: {mass: 81 kg, at: [0.2 m, 0 m, 5 m]}
run: {duration: 0.5 s}
faults:
  - {wrong trim: weight, by: 10 %, when: 0 s}
  - {parted line: line, when: 0.1 s}
stops: none
limits: {g_load: 6}
"""
TRIM = "wrong trim, weight"


@pytest.mark.parametrize("mass", ["80 kg", "{value: 80 kg, within: 1 g}"])
def test_it_takes_no_other_case_with_it(mass: str, tmp_path: Path, capsys) -> None:
    (tmp_path / "rig.yaml").write_text(RIG.replace("MASS", mass), encoding="utf-8")
    assert main(["run", str(tmp_path / "rig.yaml"), "--out", str(tmp_path / "out")]) == 3
    told = capsys.readouterr().out
    assert "Not finished" in told
    assert "cannot hang at rest" in told
    cases = read_result(tmp_path / "out").cases
    lost = [case for case in cases.values() if case.outcome is Outcome.FAILED]
    assert {case.name for case in lost} >= {f"{TRIM}, too heavy", f"{TRIM}, too light"}
    assert all(case.name.startswith(TRIM) and case.reason and case.remedy and case.remarks for case in lost)
    assert cases["planned move"].outcome is Outcome.FINISHED
    assert cases["parted line, line"].outcome is Outcome.FINISHED
