"""All the catalogue knows of a line type in one diameter, fact by fact: what `stopload lines` shows and exports."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sim.rig.curve import curve_pieces
from sim.rig.curve import strain_at as rig_strain_at
from sim.strength.catalogue import Condition, Curve, LineData, LineType, Stiffness
from sim.strength.fibres import Fibre
from sim.strength.laws import STANDARD_GRAVITY_M_S2, UNSOURCED, Number, Said, Sourced, source_text
from sim.strength.recoil import beyond_its_fibre, energy_J_per_m
from sim.strength.spin import lay_of
from sim.strength.surroundings import breaking_length_m
from sim.strength.terminations import group_of, terminations

USUAL_DIAMETER_M = 0.006


@dataclass(frozen=True)
class Fact:
    """One thing known of a line: a number with its range, or words, or neither where nobody knows.

    unit is the SI unit; '%' stands for hundredths, '' for a plain number. status and source are those of the catalogue.
    """

    what: str
    value: float | None = None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    says: str = ""
    source: str = ""
    status: str = "unknown"
    by_degC: tuple[tuple[float, float], ...] = ()
    """What is left of the strength at each temperature, as a factor."""

    @property
    def needs_evidence(self) -> bool:
        """Whether no source stands behind it."""
        return self.status in UNSOURCED


def shown_size_m(entry: LineType, wanted_m: float = USUAL_DIAMETER_M) -> float:
    """The diameter (m) a type is shown in: the wanted one where it is made in it, the nearest listed size otherwise."""
    if any(family.has(wanted_m) for family in entry.families):
        return wanted_m
    sizes = [size for family in entry.families for size in family.sizes_m()]
    return min(sizes, key=lambda size: abs(size - wanted_m))


def facts(entry: LineType, diameter_m: float) -> tuple[Fact, ...]:
    """Everything known of a type in a diameter (m). Raises NoSuchSize where it is not in the catalogue in that size."""
    line = entry.at(diameter_m)
    return (*_strength(line), *_stretch(entry, diameter_m), *_losses(entry, line), *_use(entry), *_words(entry))


def _strength(line: LineData) -> Iterator[Fact]:
    yield _sourced("breaking strength, minimum", "N", line.sources["breaking_strength_N"])
    yield _sourced("mass per length", "kg/m", line.sources["mass_kg_per_m"])
    strength, mass = line.sources["breaking_strength_N"], line.sources["mass_kg_per_m"]
    length = breaking_length_m(strength.value, mass.value, STANDARD_GRAVITY_M_S2)
    yield Fact(
        "breaks under its own weight at",
        length,
        "m",
        source="strength over weight per length",
        status=_worst(strength, mass),
    )


def _stretch(entry: LineType, diameter_m: float) -> Iterator[Fact]:
    """Stretch at a tenth and a fifth of the strength, of each curve; stiffness and energy of the one a stop sees."""
    curves: tuple[tuple[Stiffness, Condition, str], ...] = (
        ("static", "bedded", "slow, bedded in"),
        ("dynamic", "bedded", "fast, bedded in"),
        ("static", "new", "slow, new"),
        ("dynamic", "new", "fast, new"),
    )
    for stiffness, condition, words in curves:  # of wire slow and fast are the same
        line = entry.at(diameter_m, condition, stiffness)
        known = line.sources["stretch"]
        for share in (0.10, 0.20):
            strain = strain_at(line.stretch, share * line.sources["breaking_strength_N"].value)
            low, high = (100.0 * strain * end / known.value for end in (known.low, known.high))
            yield Fact(
                f"stretch at {share:.0%}, {words}",
                100.0 * strain,
                "%",
                low,
                high,
                "",
                known.source,
                known.status,
            )
    line = entry.at(diameter_m)
    known, strength = line.sources["stretch"], line.sources["breaking_strength_N"].value
    EA_N = 0.1 * strength / strain_at(line.stretch, 0.1 * strength)
    yield Fact(
        "stiffness EA, fast, to 10%",
        EA_N,
        "N",
        EA_N * known.value / known.high,
        EA_N * known.value / known.low,
        source="from the stretch",
        status=known.status,
    )
    gap = beyond_its_fibre(line.stretch, strength, line.material)
    yield Fact(
        "energy stored at break",
        None if gap else energy_J_per_m(line.stretch, strength),
        "J/m",
        says=gap,
        source="area under the curve, straight on to break",
        status=known.status,
    )


def _losses(entry: LineType, line: LineData) -> Iterator[Fact]:
    yield _number("damping ratio of the bounce", entry.damping_ratio)
    if entry.damping_limit is not None:
        yield _number("damping at most, of the tension", entry.damping_limit, "%", 100.0)
    yield _number("loss over 180 deg in bending", entry.bending_loss, "%", 100.0)
    yield _number("friction on a bar", entry.line_friction)
    for what, known in (("for strength", entry.D_to_d.strength), ("for life", entry.D_to_d.life)):
        if isinstance(known, Said):
            yield _said(f"D:d {what}", known)
            continue
        yield _number(f"D:d {what}", known)
        yield replace(_number(f"tread diameter {what}", known, "m", line.diameter_m), source="D:d times diameter")


def _use(entry: LineType) -> Iterator[Fact]:
    material = entry.material
    yield _number("highest temperature in use", material.limit_degC, "degC")
    yield _number("no strength above", material.out_above_degC, "degC")
    left = material.strength_left
    points = ", ".join(f"{factor:.0%} at {degC:g} degC" for degC, factor in left.points.items())
    by_degC = tuple(left.points.items())
    yield Fact("strength left hot", says=points, source=source_text(left.source), status=left.status, by_degC=by_degC)
    yield _number("strength left wet", material.wet_strength, "%", 100.0)
    yield _number("water taken up, of its mass", material.water_percent, "%")
    yield _floats(material)
    yield _said("wet", material.wet)


def _floats(material: Fibre) -> Fact:
    density = material.relative_density
    words = f"{'yes' if material.floats else 'no'} ({density.value:g} times the density of water)"
    return Fact("floats", says=words, source=source_text(density.source), status=density.status)


def _words(entry: LineType) -> Iterator[Fact]:
    material, lay = entry.material, None if entry.textile else lay_of(entry.construction)
    if material.creep_per_decade_percent is not None:
        yield _number("creep for each tenfold time", material.creep_per_decade_percent, "%")
    if lay is not None:
        yield _number("torque over load times diameter", lay.torque_factor)
        yield _number("turns of a free end on a diameter, at 20%", lay.turns_on_a_diameter)
    for what, known in (
        ("light", material.light),
        ("creep", material.creep),
        ("abrasion", entry.abrasion),
        ("bending fatigue", entry.flex_fatigue),
        ("visibility", entry.visibility),
        ("recoil", entry.recoil),
    ):
        yield _said(what, known)
    group = group_of(entry.fibre, entry.textile)
    for word in entry.terminated_by:
        number = terminations()[word].number(group)
        if number is None:
            yield Fact(f"end: {word}", 100.0, "%", 100.0, 100.0, terminations()[word].says, "mechanics", "computed")
        else:
            yield _number(f"end: {word}", number, "%", 100.0)


def strain_at(curve: Curve, force_N: float) -> float:
    """Strain of a curve at a force (N), on the curve that is run: monotone through its points, straight on beyond."""
    points = [(force, strain) for force, strain in curve if force > 0.0]
    return rig_strain_at(*curve_pieces([strain for _, strain in points], [force for force, _ in points]), force_N)


def _worst(*known: Sourced) -> str:
    """'computed', or the status of the first number without a source."""
    return next((each.status for each in known if each.needs_evidence), "computed")


def _sourced(what: str, unit: str, known: Sourced) -> Fact:
    return Fact(what, known.value, unit, known.low, known.high, "", known.source, known.status)


def _number(what: str, known: Number, unit: str = "", factor: float = 1.0) -> Fact:
    low, high = (factor * end for end in known.range)
    return Fact(what, factor * known.value, unit, low, high, "", source_text(known.source), known.status)


def _said(what: str, known: Said) -> Fact:
    return Fact(what, says=known.says, source=known.source_in_words, status=known.status)
