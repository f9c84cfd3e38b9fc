"""`check`: every fault at once, what each move really does, the rig drawn; nothing simulated, nothing overwritten."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from sim.command.demos import demo_texts
from sim.command.main import main
from sim.command.new import starter_text
from sim.results.cautions import SHORT
from sim.results.shown import POUND_KG

ROOT = Path(__file__).parents[2]


@pytest.fixture
def drop(tmp_path: Path) -> Path:
    return Path(shutil.copy(ROOT / "scenarios/lamplighters-drop.yaml", tmp_path))


def _one_line(text: str) -> str:
    return " ".join(text.split())


def test_check_states_what_the_move_really_does(drop: Path, capsys) -> None:
    """8.4 m at 6 m/s, 5 m/s² and 60 m/s³, slowed down in 3 m from 11 m high: kinematics of constant jerk.

    Slowing down takes the distance (v/2)(v/a + a/j), so a solves 3 = 3 (6/a + a/60): a = 6.762 m/s².
    """
    assert main(["check", str(drop)]) == 0
    page = capsys.readouterr().out
    row = next(line for line in page.splitlines() if re.match(r"\s*winch\s+0\.50", line))
    assert row.split() == ["winch", "0.50", "3.04", "8.40", "6.00", "5.00", "6.76", "2.60"]
    assert "no fault found" in page
    assert SHORT in _one_line(page)
    assert sorted(path.name for path in drop.parent.iterdir()) == [
        "lamplighters-drop-rig.svg",
        "lamplighters-drop.yaml",
    ]
    ET.parse(drop.parent / "lamplighters-drop-rig.svg")


def test_check_in_us_units(drop: Path, capsys) -> None:
    assert main(["check", str(drop), "--units", "us"]) == 0
    page = _one_line(capsys.readouterr().out)
    row = re.search(r"winch 0\.50 3\.04 (\S+) (\S+) (\S+) (\S+) (\S+)", page)
    assert row is not None
    assert [float(number) for number in row.groups()] == [
        pytest.approx(si / 0.3048, abs=0.05) for si in (8.4, 6.0, 5.0, 6.7621, 2.6)
    ]
    assert f"performer of {84 / POUND_KG:.0f} lb" in page
    assert "Assumed (in SI)" in page


def test_all_faults_are_told_at_once(tmp_path: Path, capsys) -> None:
    text = (ROOT / "scenarios/lamplighters-drop.yaml").read_text()
    bad = (
        text.replace("diameter: 6 mm", "diameter: 6")
        .replace("category: 1", "category: 7")
        .replace("  g_load", "  g_laod")
    )
    file = tmp_path / "bad.yaml"
    file.write_text(bad)
    for command in ("check", "run"):
        assert main([command, str(file)]) == 2
        told = capsys.readouterr()
        assert told.out == ""
        for part in ("3 faults, nothing was run", "'6'", "'7'", "g_laod", "did you mean g_load?"):
            assert part in told.err
        for word in ("diameter: 6", "category: 7", "g_laod"):
            line = next(i for i, each in enumerate(bad.splitlines(), 1) if word in each)
            assert f"bad.yaml:{line}:" in told.err
    assert list(tmp_path.iterdir()) == [file]


def test_a_rig_that_cannot_be_is_told_in_words(tmp_path: Path, capsys) -> None:
    """Suspended a metre beside the sheave it hangs from, with a splice nobody knows: both are told."""
    text = (ROOT / "scenarios/lamplighters-drop.yaml").read_text()
    file = tmp_path / "off.yaml"
    file.write_text(text.replace("at: [14 m, 0 m, 11 m] ", "at: [13 m, 0 m, 11 m] ").replace("long splice with", "odd"))
    for command in ("check", "run"):
        assert main([command, str(file)]) == 2
        told = capsys.readouterr().err
        assert "termination 'odd thimble' is unknown" in told
    assert main(["check", str(file)]) == 2
    assert "[14.000 m, -0.000 m, 11.000 m]" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == [file]


def test_what_will_not_be_judged_is_told_beforehand(drop: Path, capsys) -> None:
    drop.write_text(drop.read_text().replace("holds: lead sheave, breaking_strength: 40 kN", "holds: lead sheave"))
    assert main(["check", str(drop)]) == 0
    assert "Will not be judged\n- lead sling: " in capsys.readouterr().out


def test_an_earlier_drawing_is_replaced_and_anything_else_left_alone(drop: Path, capsys) -> None:
    mine = drop.parent / "mine.svg"
    mine.write_text("<svg>mine</svg>")
    assert main(["check", str(drop), "--out", str(mine)]) == 2
    assert mine.read_text() == "<svg>mine</svg>"
    assert main(["check", str(drop), "--out", str(drop.parent / "rig.pdf")]) == 2
    drawn = drop.parent / "rig.svg"
    assert main(["check", str(drop), "--out", str(drawn)]) == 0
    assert main(["check", str(drop), "--out", str(drawn)]) == 0
    assert "Traceback" not in capsys.readouterr().err


@pytest.mark.parametrize("name", sorted(demo_texts()))
def test_every_demo_passes_check(name: str, tmp_path: Path, capsys) -> None:
    assert main(["demos", name, "--copy", str(tmp_path)]) == 0
    assert main(["check", str(tmp_path / f"{name}.yaml")]) in (0, 3)
    page = capsys.readouterr()
    assert page.err == ""
    assert "no fault found" in page.out


def test_the_starter_passes_check(tmp_path: Path, capsys) -> None:
    assert main(["new", str(tmp_path / "rig.yaml")]) == 0
    assert main(["check", str(tmp_path / "rig.yaml")]) == 0
    assert starter_text().count("#") > 20
    assert capsys.readouterr().err == ""


def test_check_states_a_flight_and_draws_its_path(tmp_path: Path, capsys) -> None:
    """A level straight flight: 6 m at 2 m/s with 1 m/s² takes 6/2 + 2/1 seconds."""
    text = (ROOT / "scenarios/swallows-path.yaml").read_text()
    through = "through: [[-1 m, 0 m, 9.5 m], [2 m, 0 m, 9 m], [4 m, 0 m, 10 m]]"
    assert through in text
    text = text.replace(through, "through: [[2 m, 0 m, 8 m]]").replace("    jerk: 10 m/s^3\n", "")
    text = text.replace("acceleration: 2 m/s^2", "acceleration: 1 m/s^2")
    file = tmp_path / "level.yaml"
    file.write_text(text)
    assert main(["check", str(file)]) == 0
    page = capsys.readouterr().out
    row = next(line for line in page.splitlines() if re.match(r"\s*swallow\s+0\.50", line))
    assert row.split() == ["swallow", "0.50", "5.50", "6.00", "2.00", "1.00", "1.00", "1.00", "2.00,", "0.00,", "8.00"]
    assert "across it only weight holds the performer" in _one_line(page)
    assert "path of the planned move" in (tmp_path / "level-rig.svg").read_text()


def test_a_move_too_low_and_a_limit_forgotten_are_told_before_what_is_assumed(drop: Path, capsys) -> None:
    """11 m up with 1.3 m of body: 9.5 m of line leave 0.2 m, and the demo asks for 0.3 m."""
    text = drop.read_text()
    drop.write_text(text.replace("pay_out: 8.4 m", "pay_out: 9.5 m").replace("  g_load: 6\n", ""))
    assert main(["check", str(drop)]) == 0
    page = _one_line(capsys.readouterr().out)
    told = "brings lamplighter's body 0.20 m above the floor; a clearance of 0.30 m is asked for."
    assert "Too low as planned" in page
    assert told in page
    assert "Will not be judged - what performers feel: limits ask for no g_load" in page
    assert page.index(told) < page.index("Will not be judged") < page.index("Assumed")


def test_limits_without_design_factor_say_that_no_element_is_judged(drop: Path, capsys) -> None:
    text = drop.read_text()
    drop.write_text(re.sub(r"  design_factor:.*\n", "", text))
    assert main(["check", str(drop)]) == 0
    page = _one_line(capsys.readouterr().out)
    assert "- any element: limits ask for no design_factor" in page
    assert "limits ask for no clearance" not in page
    drop.write_text(text)
    assert main(["check", str(drop)]) == 0
    page = _one_line(capsys.readouterr().out)
    assert "Will not be judged" not in page
    assert "Too low" not in page


def test_check_does_not_load_the_compiler(drop: Path) -> None:
    """Nothing is simulated, so nobody waits for what simulates."""
    code = (
        f"import sys; from sim.command.main import main; main(['check', {str(drop)!r}]); print('numba' in sys.modules)"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ended.stdout.splitlines()[-1] == "False"


def test_a_move_that_takes_in_more_line_than_there_is_and_a_stop_too_late_are_told(drop: Path, capsys) -> None:
    """The lamplighter hangs 1.6 m under its sheave, and its move ends at 3.04 s."""
    text = drop.read_text()
    drop.write_text(text.replace("pay_out: 8.4 m", "take_in: 8.4 m").replace("when: 2.0 s", "when: 20 s"))
    assert main(["check", str(drop)]) == 0
    page = _one_line(capsys.readouterr().out)
    assert "Not possible as planned - After the move of winch that ends at 3.04 s" in page
    assert "operator stop: it comes at 20.00 s, and the last move ends at 3.04 s" in page


def test_a_person_of_a_ton_and_a_harness_of_rubber_are_doubted(drop: Path, capsys) -> None:
    """84 kg on 45 N/m: 84 x 9.80665 / 45 = 18.3 m."""
    text = drop.read_text()
    drop.write_text(text.replace("stiffness: 45 kN/m", "stiffness: 45 N/m"))
    main(["check", str(drop)])
    page = _one_line(capsys.readouterr().out)
    assert "on a harness of 45 N/m the body hangs 18 m lower than unstretched by its weight alone" in page
    drop.write_text(text.replace("value: 84 kg", "value: 840 kg"))
    main(["check", str(drop)])
    page = _one_line(capsys.readouterr().out)
    assert "lamplighter: a mass of 840 kg is none of a person" in page
    drop.write_text(text)
    main(["check", str(drop)])
    assert "Doubtful" not in capsys.readouterr().out
