"""Cases made by hand, so that every factor in a test can be worked out on paper."""

from collections.abc import Mapping

from sim.results.model import Audit, CaseResult, Factors, Outcome, Peak, PerformerResult, Reduction
from sim.strength.elements import Element, Place

PASSED = Audit(1e-7, 1e-6, 1e-6, 1000, 100, 5, True)
ASKED = Factors(static=10, working=5, emergency=3)


def case(
    name: str,
    kind: str,
    peaks_N: Mapping[str, float],
    static_N: Mapping[str, float] | None = None,
    performers: Mapping[str, PerformerResult] | None = None,
    outcome: Outcome = Outcome.FINISHED,
    audit: Audit | None = PASSED,
) -> CaseResult:
    return CaseResult(
        name=name,
        kind=kind,
        outcome=outcome,
        performers=performers or {},
        peaks={key: Peak(force, 1.5) for key, force in peaks_N.items()},
        static_N=static_N or {},
        audit=audit,
    )


def seen(peak_g: float = 2.0, clearance_m: float | None = 1.0, **more: float | None) -> PerformerResult:
    given = {"peak_g_cfc60": None, "landing_speed_m_s": None, **more}
    return PerformerResult(
        peak_g=peak_g,
        peak_g_time_s=1.0,
        lowest_height_m=2.0,
        lowest_height_time_s=1.2,
        clearance_m=clearance_m,
        top_speed_m_s=6.0,
        peak_g_cfc60=given["peak_g_cfc60"],
        landing_speed_m_s=given["landing_speed_m_s"],
    )


def part(
    name: str,
    breaking_strength_N: float | None,
    required: Factors = ASKED,
    places: tuple[Place, ...] | None = None,
    gap: str = "",
) -> Element:
    return Element(
        name=name,
        kind="sheave",
        places=places or (Place(name, (name,)),),
        fallback=name,
        breaking_strength_N=breaking_strength_N,
        strength_origin="certificate",
        required=required,
        gap=gap,
    )


def less(factor: float, at: str, what: str = "reduction") -> Reduction:
    return Reduction(what, at, factor, "made for a test")
