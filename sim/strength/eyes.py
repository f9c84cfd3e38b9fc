"""A line's end on the pin that holds it: an eye with a thimble keeps the thimble's bend, a bare eye takes the pin's.

The values of bare eyes in the tables of terminations hold for a pin nobody stated. Where the pin is stated, the end is
worth what it is worth with a thimble, times the bend over the pin: so the bend counts once. Each leg of an eye bears
half the force, for which no credit is taken: no test with its pins and its forces was found. What was found says that
this is on the low side: the table of TM 5-3810-305-10 gives loops and thimbles of hand-tucked wire alike.
"""

from __future__ import annotations

from functools import cache

from pydantic import TypeAdapter

from sim.results.model import Reduction
from sim.strength.bends import NoBendValue, bend, bend_of_single_wire
from sim.strength.catalogue import LineData
from sim.strength.data_file import parsed
from sim.strength.laws import DATA, Number, source_text
from sim.strength.splices import counted_with_thimble
from sim.strength.terminations import termination, terminations

_CARRIED_OVER = (
    "carried over to an eye with no credit for its two legs sharing the force, so on the low side: a published table "
    "gives hand-tucked loops and thimble splices of wire alike (US Army TM 5-3810-305-10, table 4)"
)


@cache
def least_D_to_d() -> Number:
    """The thinnest pin an eye may lie on, over the line's diameter."""
    written = parsed((DATA / "eyes.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Number]).validate_python(written)["least_D_to_d"]


def with_thimble(word: str) -> str:
    """The same end with a thimble, for the words of a bare eye; empty for every other end.

    >>> with_thimble("long splice"), with_thimble("splice of 2 fids"), with_thimble("bowline")
    ('long splice with thimble', 'splice of 2 fids with thimble', '')
    """
    twin = f"{word} with thimble"
    return twin if twin in terminations() or counted_with_thimble(twin) else ""


def end_on_a_pin(word: str, at: str, pin_diameter_m: float, data: LineData) -> list[Reduction]:
    """The reductions of a line's end whose pin is known.

    Raises UnknownTermination and SpliceTooShort as `termination` does, NoBendValue for a pin too thin for the eye.
    """
    end = termination(word, at, data.fibre, data.textile, data.terminated_by)
    twin = with_thimble(word)
    if not twin:
        return [end]
    if not data.diameter_m:
        raise NoBendValue("the bend over the pin is unknown, the diameter of the line is not stated,")
    ratio, least = pin_diameter_m / data.diameter_m, least_D_to_d()
    if ratio < least.value * (1.0 - 1e-9):
        raise NoBendValue(f"the pin is thinner than the eye wants, D:d {ratio:.2g} ({source_text(least.source)}),")
    if data.material is not None and data.material.single_wire:
        bent = bend_of_single_wire(pin_diameter_m, data, at)
    else:
        bent = bend(pin_diameter_m, data.diameter_m, at, data.fibre, data.textile)
    whole = termination(twin, at, data.fibre, data.textile)
    over = Reduction(f"bare eye on the pin, D:d {ratio:.3g}", at, bent.factor, f"{bent.source}; {_CARRIED_OVER}", True)
    return [Reduction(word, at, whole.factor, whole.source, whole.needs_evidence), over]
