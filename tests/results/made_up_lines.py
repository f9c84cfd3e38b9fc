"""Figures of a line made up for the tests of files and pages: every block and every field filled."""

from __future__ import annotations

from sim.results.lines import (
    Basis,
    Bends,
    BendsAt,
    Beside,
    Creep,
    Heat,
    InWater,
    LineFigures,
    OwnWeight,
    Recoil,
    SpanAtRest,
    Spin,
)

READ, REMEMBERED = Basis("law", "a text", "computed"), Basis("number", "value from memory", "from memory")


def made_up_lines() -> dict[str, LineFigures]:
    """One line with everything, one with hardly anything."""
    full = LineFigures(
        type="7x19 galvanised",
        recoil=Recoil(
            29_000.0, 310.4, 11_216.0, 4740.0, 445.2, 159.54, "Whips.", (READ, REMEMBERED), 124.0, 484.0,
            Beside("aramid copolymer 12-strand", 0.0067, 222.0, 50.77),
        ),
        own_weight=OwnWeight(
            0.137, 65.08, 75.07, 8.93, "lamplighter", 4.03, 0.0051,
            (SpanAtRest("a -> b", 40.0, 0.0, 802.1, 0.3353, 0.0075), SpanAtRest("b -> c", 6.0, -6.0, 0.0, None, None)),
            (READ,), 0.111,
        ),
        bends=Bends(
            3, 3000, (BendsAt("lead sheave", 2, 15.0, 16.0, 0.318), BendsAt("head sheave", 1, 15.0, 33.3)), ("block",),
            240, 720, 18_000, 6000.0, 25.0, "Out with the first broken wire.", (READ,),
        ),
        creep=Creep(833.6, 2.87, 0.03, 0.0148, 0.0263, "Little.", (REMEMBERED, READ)),
        spin=Spin("lamplighter", True, 16.03, 798.0, 0.336, 12.1, "Unlays under load.", (REMEMBERED,)),
        heat=Heat(100.0, "head sheave", 121.0, 21.0, 0.92, "No credit without a test.", (REMEMBERED,)),
        in_water=InWater(False, 0.0324, 0.0743, True, 0.85, ("winch",), "Water drags.", (READ, REMEMBERED)),
    )  # fmt: skip
    bare = LineFigures(
        type="a type written in place",
        recoil=None,
        own_weight=OwnWeight(0.03, 1.0, 1.0, 0.03, None, None, None, (), (READ,)),
        missing=("energy at break: no figure, neither the line nor its type states a strength",),
    )
    return {"drop line": full, "tag line": bare}
