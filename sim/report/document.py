"""The whole report, in order: what a reviewer reads first stands first."""

from __future__ import annotations

from sim.report.blocks import Block, Document, Paragraph, Section, Tone
from sim.report.drawing import Draw, Tell, draw_here
from sim.report.look import Mark
from sim.report.pictures import Figures, history_pictures, rig_picture, sweep_pictures, wanted
from sim.report.sections import cases, elements, front, inputs, lines, performers, proving, purpose, rig, trust, worst
from sim.report.source import Source
from sim.report.spans import Traced, plain, say
from sim.results.cautions import SHORT

_HASH_SHOWN = 12


def document(source: Source, tell: Tell | None = None, drawn: bool = True, draw: Draw = draw_here) -> Document:
    """The content of the report on one result.

    tell(what, done, total) hears how far the figures are. drawn: False leaves the figures blank, their words stay.
    draw: who draws them (see `sim.report.drawing`).
    """
    figures = draw(source.result, source.look, wanted(source), tell) if drawn else {}
    sections = (
        Section("Purpose and scope", tuple(purpose.purpose(source))),
        Section("The rig", tuple(rig.rig(source, rig_picture(source, figures)))),
        Section("The move", tuple(cases.move(source))),
        Section("Load cases", tuple(cases.cases(source))),
        Section("Elements", tuple(elements.elements(source)), new_page=True),
        Section("Performers", tuple(performers.performers(source))),
        Section("Lines", tuple(lines.lines(source))),
        Section("Worst credible case", (*(Paragraph(words) for words in worst.worst_credible(source)),)),
        Section("Histories and stop curves", _figures(source, figures), new_page=True),
        Section("Inputs", tuple(inputs.inputs(source)), new_page=True),
        Section("Model and audit", tuple(trust.trust(source))),
        Section("To be proved before anyone flies", tuple(proving.proving(source)), new_page=True),
        Section("Signatures", tuple(proving.signing(source))),
    )
    revision = say(", revision {r}", r=source.words("revision")) if source.result.revision else ()
    digest = Traced(source.digest[:_HASH_SHOWN], (), how="hash")
    title = source.words("title")
    head = say("result {digest} · {title}{revision}", title=title, revision=revision, digest=digest)
    return Document(
        title=(title,),
        subtitle=say("Forces when moving and stopping: report for a safety submission"),
        running_head=head,
        front=tuple(front.front(source)),
        sections=sections,
        foot=SHORT,
        facts={
            "title": source.result.title,
            "author": source.result.prepared_by,
            "subject": f"result {source.digest}",
            "summary": plain(say("Verdict: {verdict}", verdict=source.words("verdict"))),
        },
        undrawn=tuple(f"{name}: {each.trouble}" for name, each in figures.items() if each.trouble),
    )


def _figures(source: Source, figures: Figures) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if source.look.mark is Mark.COMMA:
        words = say("Sentences written by the run keep the decimal point.")
        blocks.append(Paragraph(words, Tone.NOTE))
    if not source.result.traces:
        blocks.append(Paragraph(say("The result holds no history.")))
    return (*blocks, *sweep_pictures(source, figures), *history_pictures(source, figures))
