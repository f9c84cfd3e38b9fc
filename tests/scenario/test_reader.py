"""The reader: YAML as typed, limits, likes, notes, files that cannot be read, and never a traceback."""

import os
import pickle
import time
from pathlib import Path

import pytest

from sim.scenario import Scenario, ScenarioErrors, read_file, read_text
from sim.scenario.model import FollowMove, LineMove, Note
from sim.scenario.reader import LARGEST_FILE

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "scenarios" / "lamplighters-drop.yaml"
HARD = ROOT / "scenarios" / "lamplighters-drop-hard-brake.yaml"
WHOLE = Path(__file__).with_name("whole")
SMALL = (WHOLE / "nothing-judged.yaml").read_text(encoding="utf-8")


def faults(text: str) -> list[str]:
    """What a text is told; empty where it is a scenario. Anything but those two fails the test that calls."""
    try:
        scenario = read_text(text)
    except ScenarioErrors as errors:
        told = [str(fault).removeprefix("scenario:") for fault in errors.faults]
        return told or ["an error without a fault"]
    assert isinstance(scenario, Scenario)
    return []


def changed(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_the_demo_says_what_is_written_in_it() -> None:
    scenario = read_file(DEMO)
    lamplighter = scenario.performers["lamplighter"]
    assert (lamplighter.mass.kg, lamplighter.mass.low_si, lamplighter.mass.high_si) == (84.0, 81.0, 87.0)
    assert lamplighter.mass.origin == "weighed in costume and harness"
    assert [c.m for c in lamplighter.at] == [14.0, 0.0, 11.0]
    line = scenario.lines["drop line"]
    assert line.diameter is not None
    assert line.diameter.m == 0.006
    assert line.route == ("winch", "lead sheave", "head sheave", "lamplighter")
    assert line.terminations == {"winch": "wraps on the drum", "lamplighter": "long splice with thimble"}
    head = scenario.sheaves["head sheave"]
    assert head.tread_diameter == scenario.sheaves["lead sheave"].tread_diameter
    assert head.at is not None
    assert head.at[0].m == 14.0
    winch = scenario.drives["winch"]
    assert winch.kind == "winch"
    (brake,) = winch.brakes
    assert brake.force is not None
    assert (brake.force.N, brake.force.low_si, brake.force.high_si, brake.delay.s) == (2800.0, 2520.0, 3080.0, 0.08)
    (move,) = scenario.moves
    assert isinstance(move, LineMove)
    assert move.pay_out is not None
    assert (move.pay_out.m, move.drive_names, move.take_in) == (8.4, ("winch",), None)
    assert [stop.category for stop in scenario.stops] == [1, 0]
    assert scenario.stops[1].when == "every instant"
    assert scenario.limits.g_load == 6.0
    assert scenario.path == DEMO
    assert scenario.source_text == DEMO.read_text(encoding="utf-8")


def test_the_demos_differ_in_title_and_brake_force_only() -> None:
    soft, hard = (file.read_text(encoding="utf-8").splitlines() for file in (DEMO, HARD))
    different = [(a, b) for a, b in zip(soft, hard, strict=True) if a != b]
    assert [a.split(":")[0].strip(" -") for a, _ in different] == ["title", "{force"]
    brake = read_file(HARD).drives["winch"]
    assert brake.kind == "winch"
    assert brake.brakes[0].force is not None
    assert brake.brakes[0].force.N == 7000.0


def test_words_that_yaml_would_take_for_something_else_mean_what_was_typed() -> None:
    scenario = read_text(SMALL)
    assert scenario.title == "010"
    assert set(scenario.lines) == {"on", "off", "yes"}
    assert scenario.lines["on"].route == ("No", "1.10", "Ø lamplighter (2nd cast)")
    assert read_text(changed(SMALL, ("title: 010", "title: 1:30"))).title == "1:30"
    assert read_text(changed(SMALL, ("title: 010", "title: 2026-11-25"))).title == "2026-11-25"
    assert read_text(changed(SMALL, ("title: 010", "title: null"))).title == "null"


@pytest.mark.parametrize(("word", "turns"), [("no", False), ("No", False), ("false", False)])
def test_yes_and_no(word: str, turns: bool) -> None:
    text = changed(SMALL, ("tread_diameter: 80 mm", f"tread_diameter: 80 mm, line_friction: 0.2, turns: {word}"))
    assert read_text(text).sheaves["1.10"].turns is turns


def test_none_written_out_is_an_empty_section() -> None:
    scenario = read_text(SMALL)
    assert scenario.stops == ()
    assert scenario.limits.none
    assert not read_file(DEMO).limits.none


def test_notes_may_stand_anywhere_and_are_kept() -> None:
    text = changed(
        DEMO.read_text(encoding="utf-8"),
        ("revision: A", "revision: A\nnotes: first\nhardware_: x"),
    ).replace("hardware_: x\n", "")
    text = changed(
        text,
        ("within: 3 kg}", "within: 3 kg, notes: on the new scales}"),
        ("lines:\n", "lines:\n  notes: [one, two]\n"),
        ("  - drive: winch", "  - notes: slowly at first\n    drive: winch"),
    )
    assert set(read_text(text).notes) == {
        Note((), "first"),
        Note(("performers", "lamplighter", "mass"), "on the new scales"),
        Note(("lines",), "one\ntwo"),
        Note(("moves", 0), "slowly at first"),
    }


def test_like_copies_the_rest_of_an_element() -> None:
    scenario = read_file(WHOLE / "two-of-everything.yaml")
    jib, truss = scenario.sheaves["jib sheave"], scenario.sheaves["truss sheave"]
    assert (truss.mount, truss.offset, truss.mass) == ("truss", jib.offset, jib.mass)
    # the working load limit written anew leaves the copied allowed_force behind
    assert (truss.allowed_force, truss.working_load_limit) != (jib.allowed_force, None)
    assert truss.allowed_force is None
    bar, jib_sling = scenario.hardware["bar sling"], scenario.hardware["jib sling"]
    assert (bar.leg_from_vertical, bar.legs) == (None, jib_sling.legs)


def test_like_may_be_like_another_in_any_order() -> None:
    text = changed(
        SMALL, ("sheaves:\n", "sheaves:\n  a: {like: b, mass: 1 kg}\n  b: {like: '1.10', at: [2 m, 0 m, 2 m]}\n")
    )
    a = read_text(text).sheaves["a"]
    assert a.at is not None
    assert (a.at[0].m, a.mass.kg, a.tread_diameter) == (2.0, 1.0, read_text(text).sheaves["1.10"].tread_diameter)


def test_a_long_chain_of_likes_is_refused_not_followed_for_ever() -> None:
    chain = "".join(f"  s{i}: {{like: s{i + 1}}}\n" for i in range(1500))
    assert any(
        "no chain of more than 20 likes" in fault
        for fault in faults(changed(SMALL, ("sheaves:\n", "sheaves:\n" + chain)))
    )


def test_the_files_it_names_are_looked_for_beside_it(tmp_path: Path) -> None:
    whole = (WHOLE / "two-of-everything.yaml").read_text(encoding="utf-8")
    file = tmp_path / "rig.yaml"
    file.write_text(whole, encoding="utf-8")
    with pytest.raises(ScenarioErrors, match=r"'trace.csv', and no such file"):
        read_file(file)
    (tmp_path / "trace.csv").write_text("time_s,paid_out_m\n0,0\n")
    moves = read_file(file).moves
    assert [move.follow.file for move in moves if isinstance(move, FollowMove)] == ["trace.csv", "trace.csv"]
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "rig.yaml").write_text(whole.replace("trace.csv", "out.csv"), encoding="utf-8")
    (tmp_path / "inner" / "out.csv").symlink_to(tmp_path / "trace.csv")
    with pytest.raises(ScenarioErrors, match="leads out of the scenario's folder"):
        read_file(tmp_path / "inner" / "rig.yaml")


def test_files_that_cannot_be_read_say_why(tmp_path: Path) -> None:
    for path, why in ((tmp_path / "none.yaml", "No such file"), (tmp_path, "Is a directory")):
        with pytest.raises(ScenarioErrors, match=why):
            read_file(path)
    big = tmp_path / "big.yaml"
    big.write_bytes(b"# " + b"x" * LARGEST_FILE)
    with pytest.raises(ScenarioErrors, match="more than 2 MB"):
        read_file(big)
    with pytest.raises(ScenarioErrors, match="more than 2 MB"):
        read_text("#" * (LARGEST_FILE + 1))
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"title: A\nprepared_by: Ren\xe9\n")
    with pytest.raises(ScenarioErrors) as caught:
        read_file(latin)
    assert str(caught.value) == f"{latin}:2:17: found bytes that are no UTF-8, expected UTF-8 text"
    with_mark = tmp_path / "mark.yaml"
    with_mark.write_bytes(b"\xef\xbb\xbf" + DEMO.read_bytes())
    assert read_file(with_mark).title == read_file(DEMO).title
    with_returns = tmp_path / "returns.yaml"
    with_returns.write_bytes(DEMO.read_bytes().replace(b"\n", b"\r\n"))
    assert read_file(with_returns).performers == read_file(DEMO).performers


def test_scenarios_and_errors_cross_processes() -> None:
    scenario = read_file(DEMO)
    again = pickle.loads(pickle.dumps(scenario))
    assert again == scenario
    assert again.source_text == scenario.source_text
    with pytest.raises(ScenarioErrors) as caught:
        read_text("title: x")
    assert pickle.loads(pickle.dumps(caught.value)).faults == caught.value.faults


def test_frozen() -> None:
    scenario = read_file(DEMO)
    with pytest.raises(ValueError, match="frozen"):
        scenario.title = "other"  # type: ignore[misc]


def test_reading_is_quick_once_loaded() -> None:
    read_file(DEMO)
    begun = time.thread_time()
    read_file(DEMO)
    assert time.thread_time() - begun < 0.25


def test_the_path_in_messages_is_the_one_given(tmp_path: Path) -> None:
    (tmp_path / "rig.yaml").write_text("title: x\n")
    here = Path.cwd()
    os.chdir(tmp_path)
    try:
        with pytest.raises(ScenarioErrors, match=r"^rig\.yaml:1:1: "):
            read_file("rig.yaml")
    finally:
        os.chdir(here)
