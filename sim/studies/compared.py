"""A comparison made from its variants, and one of the values of a key, as a notebook asks for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sim.results.comparison import Comparison, Curves, Variant, worst_status
from sim.results.model import Result
from sim.scenario.keys import find_key
from sim.scenario.model import Scenario
from sim.studies.compare import over_values, run_variants
from sim.studies.compare_why import words
from sim.studies.sweep import Tell
from sim.version import VERSION


def compare_values(scenario: Scenario, key: str, values: Sequence[str], progress: Tell | None = None) -> Comparison:
    """Run the scenario with each of the values under a key, such as 'lines / catch line / slack'.

    A variant that cannot be run keeps its cause. Raises Refused where there is no such key.
    """
    axis = over_values(find_key(scenario, key), values)
    ran = list(run_variants(scenario, axis.variants, progress))
    curves = {each.variant.name: each.curves for each in ran if each.result is not None}
    first = next((each.result for each in ran if each.result is not None), None)
    return comparison_of(scenario, axis.over, tuple(each.variant for each in ran), curves, first)


def comparison_of(
    scenario: Scenario, over: str, variants: tuple[Variant, ...], curves: Mapping[str, Curves], first: Result | None
) -> Comparison:
    """The variants put together. first: the first result among them, which lends its limits and its floor."""
    return Comparison(
        title=scenario.title,
        over=over,
        variants=variants,
        words=words(variants),
        limits=first.limits if first is not None else {},
        drawing=first.drawing if first is not None else None,
        stamp={"version": VERSION},
        exit_status=worst_status(variants),
        curves=curves,
    )
