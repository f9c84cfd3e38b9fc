"""The line of a scenario as LineData: from the catalogue by name, or from a type written in place."""

from __future__ import annotations

from sim.scenario.kinds import Force
from sim.scenario.parts.lines import Line, LineType
from sim.scenario.quantity import Quantity
from sim.strength.catalogue import Curve, LineData, find, rising
from sim.strength.fibres import known_fibre
from sim.strength.laws import Sourced

WIRE_WORDS = ("wire", "steel", "1x7", "1x19", "6x", "7x7", "7x19", "19x7")


def line_data(line: Line, name: str = "line") -> LineData:
    """Strength, mass, stretch and losses of a scenario's line, without its certificate.

    Raises UnknownLineType or NoSuchSize for a catalogue type, StretchError for a curve that does not rise.
    """
    if isinstance(line.type, LineType):
        return own_type(line, name)
    if line.diameter is None:
        raise ValueError(f"{name}: a catalogue type needs a diameter")
    return find(line.type).at(line.diameter.m, line.condition, line.stiffness)


def own_type(line: Line, name: str = "line") -> LineData:
    """A type written in place. Loads in percent are of the type's own strength, never of the line's certificate.

    Raises TypeError where the line names a catalogue type, StretchError for a curve that does not rise.
    """
    written = line.type
    if not isinstance(written, LineType):
        raise TypeError(f"{name} is of the catalogue type '{written}'")
    strength = written.breaking_strength
    fibre = written.fibre or ""
    sources = {"mass_kg_per_m": _sourced(written.mass_per_length)}
    if strength is not None:
        sources["breaking_strength_N"] = _sourced(strength)
    if written.damping_ratio is not None:
        sources["damping_ratio"] = _sourced(written.damping_ratio)
    return LineData(
        name=f"{name}'s own type",
        diameter_m=line.diameter.m if line.diameter else 0.0,
        breaking_strength_N=strength.N if strength else None,
        mass_kg_per_m=written.mass_per_length.kg_per_m,
        stretch=rising(_curve(written), name),
        damping_ratio=written.damping_ratio.ratio if written.damping_ratio else None,
        damping_time_s=written.damping_time.s if written.damping_time else None,
        damping_limit=written.damping_limit.ratio,
        bending_loss=None,
        line_friction=None,
        fibre=fibre,
        textile=not is_wire(fibre),
        material=known_fibre(fibre),
        notes=() if fibre else ("Fibre not stated: where reductions depend on it, the lowest holds.",),
        sources=sources,
        condition=line.condition,
        stiffness=line.stiffness,
    )


def is_wire(fibre: str) -> bool:
    """Whether these words mean wire: its material, or a construction such as 7x19."""
    return any(word in fibre.lower() for word in WIRE_WORDS)


def _curve(written: LineType) -> Curve:
    """(force N, strain) of the written points; a stiffness gives the one point of a linear line."""
    if written.stiffness_EA is not None:
        EA_N = written.stiffness_EA.N
        return ((0.01 * EA_N, 0.01),)
    strength_N = written.breaking_strength.N if written.breaking_strength else 0.0
    return tuple(
        (load.N if isinstance(load, Force) else load.ratio * strength_N, strain.ratio)
        for load, strain in (written.stretch or {}).items()
    )


def _sourced(quantity: Quantity) -> Sourced:
    """A scenario's quantity with its spread and origin. It was neither read by us nor remembered: 'stated'."""
    return Sourced(quantity.si, quantity.low_si, quantity.high_si, quantity.origin, "stated")
