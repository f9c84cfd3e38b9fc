"""The sensitivity page: the first demo, what of its inputs was varied and why so far, and what moves its peaks.

`python -m tests.outside.sensitivity_page` writes it.
"""

from __future__ import annotations

from pathlib import Path

from sim.build import build_rig
from sim.results.sensitivity import FigureSensitivity, Index, Sensitivity, Varied
from sim.scenario.model import Scenario
from sim.scenario.reader import read_file
from sim.strength.own import line_data
from sim.studies.cases import PLANNED
from sim.studies.sensitivity import Figure, How, Sampled, scenario_sensitivity
from sim.studies.sweep import sweep
from sim.studies.varied import spelled_out, stated_value

ROOT = Path(__file__).parents[2]
PAGE = Path(__file__).with_name("SENSITIVITY.md")
DEMO = ROOT / "scenarios" / "lamplighters-drop.yaml"
STOP = "power loss"
G_OF, FORCE_OF = "peak_g:lamplighter", "force_N:drop line"
FIGURES: tuple[Figure, ...] = ((PLANNED, G_OF), (PLANNED, FORCE_OF), (STOP, G_OF), (STOP, FORCE_OF))
WORDS = {
    G_OF: ("peak g", "g", 1.0),
    FORCE_OF: ("peak tension of the drop line", "kN", 1e-3),
}
# In words: what total index is named, and below what an input does next to nothing.
MATTERS, NOTHING = 0.1, 0.01

INTRO = """# What moves the first demo's peaks

Written by `python -m tests.outside.sensitivity_page`, from `scenarios/lamplighters-drop.yaml`: the planned move, and
the power loss at {time_s:.3f} s, the instant that gives the greatest g with everything as stated.

Each input is taken alone to its two ends; then all together, {samples} samples in each of two matrices for {inputs}
inputs, {evaluations} rigs in all (Sobol indices after Saltelli, by `scipy.stats.sobol_indices`, seed {seed}). In
brackets {percent:.0f} % of confidence, by bootstrap. *First*: the part of the variance an input makes alone; *total*:
with what it makes together with others. *% for 1 %*: how many percent the peak changes for one percent of the input,
from end to end; *turns* where the peak is higher, or lower, at both ends than as stated, so that no one slope holds.

What this is worth: inputs are spread evenly between their ends and know nothing of each other, which is an assumption;
an input matters by its spread as well as by its nature, and several spreads are assumed here. An index whose interval
reaches nothing may be nothing. The instant is kept: with other inputs another instant may be the worst, which a run of
the demo looks for at the ends of mass and brakes, and this page does not. The lengths in the demo's move are kept too.

## Inputs
"""

PERFORMER, LINE = "performers / lamplighter", "lines / drop line / type"
SHEAVES = ("sheaves / lead sheave", "sheaves / head sheave")
ASSUMED = "assumed here"


def inputs(of: Scenario) -> tuple[Varied, ...]:
    """What is varied: by the demo's own spread, the catalogue's range, or one assumed here.

    of: spelled out. The catalogue's range of a stretch curve is that of the slow one times that of fast over slow.
    """
    ranges = line_data(read_file(DEMO).lines["drop line"]).sources
    brake = "drives / winch / brakes / 1"

    def one(name: str, keys: tuple[str, ...], unit: str, why: str, spread: float | tuple[float, float]) -> Varied:
        stated = stated_value(of, keys[0]).si
        low, high = spread if isinstance(spread, tuple) else (stated * (1 - spread), stated * (1 + spread))
        return Varied(name, keys, stated, low, high, unit, why)

    def own(name: str, key: str, unit: str) -> Varied:
        value = stated_value(of, key)
        return Varied(name, (key,), value.si, value.low_si, value.high_si, unit, "stated in the demo")

    def known(name: str, keys: tuple[str, ...], unit: str, number: str) -> Varied:
        return one(name, keys, unit, "range of the catalogue", (ranges[number].low, ranges[number].high))

    def times(name: str, low: float, high: float, why: str) -> Varied:
        return Varied(name, (f"{LINE} / stretch",), 1.0, low, high, "x stated", why)

    harness = f"{PERFORMER} / harness"
    far = (f"{SHEAVES[1]} / at / 1", f"{PERFORMER} / at / 1")
    losses, frictions = (tuple(f"{s} / {key}" for s in SHEAVES) for key in ("bending_loss", "bearing / friction"))
    return (
        own("performer's mass", f"{PERFORMER} / mass", "kg"),
        one("level run of the line", far, "m", f"{ASSUMED}, 5 %", 0.05),
        one("height of the winch", ("drives / winch / at / 3",), "m", f"{ASSUMED}, 0.3 m", (0.1, 0.7)),
        times("stretch of the line, slow", 0.8, 1.3, "range of the catalogue"),
        times("stretch of the line, fast over slow", 1.2 / 2.4, 1.2 / 1.0, "range of the catalogue"),
        known("damping ratio of the line", (f"{LINE} / damping_ratio",), "", "damping_ratio"),
        known("mass of the line", (f"{LINE} / mass_per_length",), "kg/m", "mass_kg_per_m"),
        one("harness stiffness", (f"{harness} / stiffness",), "N/m", f"{ASSUMED}, 20 %", 0.20),
        one("harness damping ratio", (f"{harness} / damping_ratio",), "", f"{ASSUMED}, a third", (0.1, 0.2)),
        own("brake force", f"{brake} / force", "N"),
        one("brake delay", (f"{brake} / delay",), "s", f"{ASSUMED}, 20 %", 0.20),
        one("brake rise", (f"{brake} / rise",), "s", f"{ASSUMED}, 20 %", 0.20),
        one("moving mass of the winch", ("drives / winch / moving_mass",), "kg", f"{ASSUMED}, 5 %", 0.05),
        known("loss in bending over a sheave", losses, "", "bending_loss"),
        one("friction in a sheave's bearing", frictions, "", f"{ASSUMED}, handbook's 0.0015 to 0.003", (0.0015, 0.003)),
    )


def worst_instant_s(of: Scenario) -> float:
    """When the power loss gives the performer the greatest g, with everything as stated, to the millisecond."""
    rig = build_rig(of)
    stop = next(s for s in rig.stops if s.name == STOP)
    return round(sweep(rig, stop).worst["worst g"].time_s, 3)


def sampled(time_s: float) -> Sampled:
    """The demo's four peaks as a function of what is varied."""
    of = spelled_out(read_file(DEMO))
    return Sampled(of, inputs(of), FIGURES, STOP, time_s)


def _number(value: float) -> str:
    return f"{value:,.6g}"


def _row(*cells: str) -> str:
    return f"| {' | '.join(cells)} |"


def _index(of: Index) -> str:
    # An index near nothing is estimated on either side of it; its sign means nothing.
    return f"{of.value + 0.0:.2f} ({of.low + 0.0:.2f} to {of.high + 0.0:.2f})".replace("-0.00", "0.00")


def _figure(of: FigureSensitivity) -> list[str]:
    words, unit, scale = WORDS[of.figure]
    stated, least, low, high, most = (f"{scale * x:.3f}" for x in (of.stated, of.least, of.low_5, of.high_95, of.most))
    says = f"As stated {stated} {unit}. Of all samples nine in ten lie between {low} and {high} {unit}; "
    says += f"the least is {least}, the greatest {most} {unit}; "
    says += f"{100 * of.above:.0f} % are above what is stated. {_says(of)}"
    out = [
        f"## {of.case}: {words}",
        "",
        says,
        "",
        _row("input", f"at its low end, {unit}", f"at its high end, {unit}", "% for 1 %", "first", "total"),
        "|" + "---|" * 6,
    ]
    for x in sorted(of.influences, key=lambda x: -x.total.value):
        slope = of.per_percent(x)
        ends = (f"{scale * x.at_low:.3f}", f"{scale * x.at_high:.3f}")
        out.append(
            _row(x.input.name, *ends, "turns" if slope is None else f"{slope:+.3f}", _index(x.first), _index(x.total))
        )
    return [*out, ""]


def _says(of: FigureSensitivity) -> str:
    """What matters, in words that follow the figures."""
    first = sorted(of.influences, key=lambda x: -x.total.value)
    matter = [x for x in first if x.total.value >= MATTERS]
    named = ", then ".join(f"{x.input.name} ({x.total.value:.2f})" for x in matter)
    alone = sum(x.first.value for x in of.influences)
    little = [x.input.name for x in first if x.total.high < NOTHING]
    says = f"Most of its variance comes from {named}: total indices of {MATTERS} and more. "
    says += f"The first indices add up to {alone:.2f}: " + (
        "inputs act nearly each for itself." if alone > 0.9 else "the rest is made by inputs together."
    )
    return says + (f" Next to nothing (below {NOTHING}): {', '.join(little)}." if little else "")


def page(found: Sensitivity, time_s: float) -> str:
    """The page."""
    varied = [x.input for x in found.figures[0].influences]
    table = [_row(x.name, _number(x.stated), _number(x.low), _number(x.high), x.unit, x.why) for x in varied]
    text = INTRO.format(
        time_s=time_s,
        samples=found.samples,
        inputs=len(varied),
        evaluations=found.evaluations,
        seed=found.seed,
        percent=100 * found.confidence,
    )
    head = [_row("input", "stated", "low", "high", "unit", "spread"), "|" + "---|" * 6]
    figures = [line for figure in found.figures for line in _figure(figure)]
    return "\n".join([text, *head, *table, "", *figures]).rstrip() + "\n"


def main() -> None:
    """Write the page."""
    time_s = worst_instant_s(read_file(DEMO))
    PAGE.write_text(page(scenario_sensitivity(sampled(time_s), How()), time_s), encoding="utf-8")


if __name__ == "__main__":
    main()
