"""Every limit against what was found, and the verdict over all of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sim.results.model import CaseResult, ElementResult, Finding, Outcome, PerformerResult
from sim.results.verdict import deciding_load

WITHIN = "within limits"
OUTSIDE = "outside limits"
NOT_JUDGED = "not judged"
NOT_FINISHED = "not finished"


@dataclass(frozen=True)
class Limits:
    """What a scenario asks for besides strength. None: not asked. g_filtered: judge g after the CFC 60 filter."""

    clearance_m: float | None = None
    g_load: float | None = None
    landing_speed_m_s: float | None = None
    g_filtered: bool = False

    @property
    def drawn(self) -> Mapping[str, float]:
        """The limits asked for, by the keys plots draw them under."""
        all_of_them = {
            "clearance_m": self.clearance_m,
            "g_load": self.g_load,
            "landing_speed_m_s": self.landing_speed_m_s,
        }
        return {name: value for name, value in all_of_them.items() if value is not None}


def performer_findings(limits: Limits, performers: Iterable[str], cases: Mapping[str, CaseResult]) -> list[Finding]:
    """Lowest clearance, largest g and fastest landing of each performer over all finished cases."""
    finished = [case for case in cases.values() if case.outcome is not Outcome.FAILED]
    findings: list[Finding] = []
    for name in performers:
        if limits.clearance_m is not None:
            found = _extreme(finished, name, lambda seen: seen.clearance_m, min)
            findings.append(_finding("clearance", name, found, limits.clearance_m, "m", at_least=True))
        if limits.g_load is not None:
            found = _extreme(finished, name, _felt(limits.g_filtered), max)
            finding = _finding("g_load", name, found, limits.g_load, "", at_least=False)
            findings.append(_filtered(finding, finished) if limits.g_filtered else finding)
        landing = _extreme(finished, name, lambda seen: seen.landing_speed_m_s, max)
        if landing:
            required = limits.landing_speed_m_s
            findings.append(_finding("landing_speed", name, landing, required, "m/s", at_least=False))
    return findings


def element_findings(elements: Mapping[str, ElementResult]) -> list[Finding]:
    """One finding for each element: its class with the smallest margin, or why it was not judged."""
    findings: list[Finding] = []
    for name, result in elements.items():
        kind = deciding_load(result)
        if kind is None:
            findings.append(
                Finding("design_factor", name, result.worst_case, None, None, "", result.within, result.remark)
            )
            continue
        findings.append(
            Finding(
                limit=f"design_factor {kind}",
                of=name,
                case=result.worst_case,
                found=getattr(result.design_factor, kind),
                required=getattr(result.required, kind),
                unit="",
                within=result.within,
                remark="" if result.within else result.remark,
            )
        )
    return findings


def unfinished(cases: Mapping[str, CaseResult], not_simulated: Sequence[str]) -> tuple[str, ...]:
    """What was not run to its end or not to the accuracy asked: one sentence each."""
    sentences = [f"not simulated: {what}" for what in not_simulated]
    for name, case in cases.items():
        if case.outcome is Outcome.FAILED:
            sentences.append(f"{name} failed: {case.reason}")
        elif case.audit is None:
            sentences.append(f"{name} was not audited")
        elif not case.audit.passed:
            sentences.append(f"{name} failed its audit: {case.audit.remark}")
    return tuple(sentences)


def verdict(
    findings: Sequence[Finding], elements: Mapping[str, ElementResult], open_ends: Sequence[str]
) -> tuple[str, int]:
    """The verdict and the exit status: 3 before 1, outside before not judged; nothing judged is not judged."""
    if open_ends:
        return NOT_FINISHED, 3
    answers = [finding.within for finding in findings] + [element.within for element in elements.values()]
    if any(answer is False for answer in answers):
        return OUTSIDE, 1
    if not answers or any(answer is None for answer in answers):
        return NOT_JUDGED, 1
    return WITHIN, 0


def _filtered(finding: Finding, cases: Sequence[CaseResult]) -> Finding:
    """Says that the filtered value was judged; a case without one leaves a limit that was met open."""
    seen = [case.performers[finding.of] for case in cases if finding.of in case.performers]
    if finding.within and any(each.peak_g_cfc60 is None for each in seen):
        return replace(finding, within=None, remark="not every case gives a filtered g")
    return replace(finding, remark=finding.remark or "after the CFC 60 filter of SAE J211-1")


def _felt(filtered: bool) -> Callable[[PerformerResult], float | None]:
    return (lambda seen: seen.peak_g_cfc60) if filtered else (lambda seen: seen.peak_g)


def _extreme(
    cases: Sequence[CaseResult],
    performer: str,
    of: Callable[[PerformerResult], float | None],
    choose: Callable[[list[float]], float],
) -> tuple[float, str] | None:
    """The extreme of one figure over the cases that have it, with the case's name."""
    seen = {
        case.name: value
        for case in cases
        if performer in case.performers and (value := of(case.performers[performer])) is not None
    }
    if not seen:
        return None
    value = choose(list(seen.values()))
    return value, next(name for name, each in seen.items() if each == value)


def _finding(
    limit: str,
    of: str,
    found: tuple[float, str] | None,
    required: float | None,
    unit: str,
    *,
    at_least: bool,
    remark: str = "",
) -> Finding:
    if found is None:
        return Finding(limit, of, "", None, required, unit, None, f"no case gives a {limit.replace('_', ' ')}")
    value, case = found
    if required is None:
        return Finding(limit, of, case, value, None, unit, None, f"limits state no {limit}")
    within = value >= required if at_least else value <= required
    return Finding(limit, of, case, value, required, unit, within, remark)
