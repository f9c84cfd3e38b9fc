"""What the checks of geometry let pass, next to what they refuse; the messages stand in broken/expected.txt."""

import pytest

from sim.scenario import ScenarioErrors, read_text

TEXT = """
title: at the edge of what can be
{top}
performers:
  flyer: {{mass: 80 kg, at: [0 m, 0 m, {z}], {flyer}}}
lines:
  line: {{type: {type}, route: [pin, head, flyer]{line}}}
sheaves:
  head: {{at: [0 m, 0 m, 10 m], tread_diameter: 100 mm}}
anchors:
  pin: {{at: [0 m, 5 m, {pin}]}}
stops: none
limits: none
"""
WIRE = "7x19 galvanised, diameter: 5 mm"
HELD = "start: held, release: 1 s"
STANDS = "body_below: 1.3 m, start: standing"


def faults(
    z: str = "4 m", flyer: str = "body_below: 1.3 m", top: str = "", line: str = "", cord: str = WIRE, pin: str = "10 m"
) -> list[str]:
    """What is refused; the way of the line is 5 m and 10 m less z."""
    try:
        read_text(TEXT.format(z=z, flyer=flyer, top=top, line=line, type=cord, pin=pin), "edge")
    except ScenarioErrors as errors:
        return [fault.found for fault in errors.faults]
    return []


@pytest.mark.parametrize(
    ("lawful", "refused"),
    [
        # feet on the floor, and 2 mm into it
        ({"top": "floor: 0 m", "z": "1.3 m"}, {"top": "floor: 0 m", "z": "1.298 m"}),
        ({"top": "floor: 0 m", "z": "1.2 m", "flyer": HELD}, {"top": "floor: 0 m", "z": "1.19 m", "flyer": HELD}),
        # on a floor within what knees do; on a platform; not in the air, not in the platform
        ({"top": "floor: 0 m", "z": "1.39 m", "flyer": STANDS}, {"top": "floor: 0 m", "z": "1.5 m", "flyer": STANDS}),
        (
            {"z": "4 m", "flyer": f"{STANDS}, platform: {{height: 2.7 m}}"},
            {"z": "4 m", "flyer": f"{STANDS}, platform: {{height: 3 m}}"},
        ),
        # a platform needs no floor; nothing at all does not carry
        ({"z": "4 m", "flyer": f"{STANDS}, platform: {{height: 2.7 m}}"}, {"z": "4 m", "flyer": STANDS}),
        # wire of 10 m over a way of 11 m, and of 9.9 m; elastic cord may be much shorter
        ({"flyer": HELD, "line": ", length: 10.01 m"}, {"flyer": HELD, "line": ", length: 9.9 m"}),
        (
            {
                "flyer": HELD,
                "line": ", length: 5 m",
                "cord": "{stretch: {1 kN: 150 %}, mass_per_length: 50 g/m, damping_ratio: 3 %}",
            },
            {"flyer": HELD, "line": ", length: 5 m"},
        ),
        (
            {
                "flyer": HELD,
                "line": ", length: 5 m",
                "cord": "{stiffness_EA: 1 kN, mass_per_length: 50 g/m, damping_ratio: 3 %}",
            },
            {
                "flyer": HELD,
                "line": ", length: 5 m",
                "cord": "{stretch: {1 kN: 20 %}, mass_per_length: 50 g/m, damping_ratio: 3 %}",
            },
        ),
        # hanging on a line that is just long enough, or on one with all its length to spare
        ({"line": ", length: 11 m"}, {"line": ", length: 11.5 m"}),
        ({"flyer": HELD, "line": ", slack: 1 m"}, {"line": ", slack: 1 m"}),
        # machinery may stand in a pit
        ({"top": "floor: 2 m", "pin": "−1 m"}, {"top": "floor: 2.8 m", "pin": "−1 m"}),
    ],
)
def test_what_can_be_passes_and_what_cannot_does_not(lawful: dict[str, str], refused: dict[str, str]) -> None:
    assert faults(**lawful) == []
    assert len(faults(**refused)) == 1


def test_a_spread_counts_for_the_one_who_wrote_it() -> None:
    """What may be true within the spread that was written is not refused."""
    assert faults(flyer=HELD, line=", length: {value: 9.9 m, within: 3 %}") == []
    stands = "start: standing, body_below: {value: 1.3 m, within: 0.2 m}"
    assert faults(top="floor: 0 m", z="1.55 m", flyer=stands) == []
    assert faults(top="floor: 0 m", z="1.65 m", flyer=stands) == ["feet at 0.35 m, and the floor at 0 m"]


def test_a_line_to_a_junction_may_have_any_length() -> None:
    """A junction's place is a first guess where its legs have lengths."""
    text = TEXT.format(z="4 m", flyer="body_below: 1.3 m", top="", line="", type=WIRE, pin="10 m")
    legs = "  left leg: {like: line, route: [pin, ring], length: 9 m}\n  down: {like: line, route: [ring, flyer]}\n"
    text = text.replace("sheaves:", legs + "sheaves:") + "junctions: {ring: {at: [0 m, 4 m, 9.9 m], mass: 1 kg}}\n"
    read_text(text, "edge")
