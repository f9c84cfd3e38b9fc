"""Result folders to report on: a demo really run, and results made up for what no demo shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from sim.command.reading import read_scenario
from sim.report.blocks import Document, all_sentences
from sim.report.spans import Span
from sim.results.folder import Inputs, write_result
from sim.results.model import Result
from sim.scenario import filled_in, read_text
from tests.demos.demos import FOLDER, result
from tests.results.made_up import INPUTS, made_up_result


def demo_folder(name: str, into: Path) -> Path:
    """A demo, run and written."""
    return write_result(into / name, result(name), read_scenario(FOLDER / f"{name}.yaml").inputs)


def made_up_folder(into: Path, made: Result | None = None, inputs: Inputs = INPUTS) -> Path:
    """A made-up result, with a scenario that this version cannot read unless one is given."""
    return write_result(into / "made up", made_up_result() if made is None else made, inputs)


def inputs_of(text: str) -> Inputs:
    """A scenario's text as the inputs of a folder."""
    return Inputs(text.encode("utf-8"), filled_in(read_text(text, "here")))


def renamed(made: Result, **names: str) -> Result:
    """A made-up result in which every performer, element and case has another name."""
    performer, element = names["performer"], names["element"]
    cases = {
        f"{case} {names['case']}": replace(
            found,
            name=f"{case} {names['case']}",
            performers=dict.fromkeys([performer], next(iter(found.performers.values()))),
            remarks=(names["case"],),
        )
        for case, found in made.cases.items()
    }
    elements = {f"{name} {element}": replace(each, name=f"{name} {element}") for name, each in made.elements.items()}
    findings = tuple(replace(each, of=f"{each.of} {performer}", case=names["case"]) for each in made.findings)
    traces = {f"{case} {names['case']}": trace for case, trace in made.traces.items()}
    return replace(
        made, title=names["title"], prepared_by=names["title"], cases=cases, elements=elements, findings=findings,
        traces=traces, weakest=next(iter(elements)), assumptions=(names["case"],), helps=names["element"],
    )  # fmt: skip


def all_spans(document: Document) -> Iterator[Span]:
    """Every span of a document."""
    for sentence in all_sentences(document):
        yield from sentence
