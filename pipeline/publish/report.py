"""report.html: the audit to read, in one file that needs no network and no script.

What does not add up comes first, then the picture of the class, the sets, the chapters and the cues. Colours
and sizes are in ``report.css`` (contrast by WCAG 2.2, success criteria 1.4.3 and 1.4.11; targets by 2.5.8);
``report.js`` only adds copying to the times.
"""

from __future__ import annotations

from collections.abc import Sequence
from importlib.resources import files
from xml.etree.ElementTree import Element

from pipeline.model import Cue, Record, WorkSet
from pipeline.publish import chapters_text
from pipeline.publish.clock import clock
from pipeline.publish.elements import Child, element, to_html
from pipeline.publish.report_timeline import legend, numbered_findings, timelines
from pipeline.publish.report_words import (
    CAUTIONS,
    CHAPTER_LABELS,
    CUE_LABELS,
    FINDING_LABELS,
    LOW_CONFIDENCE,
    NOT_TOLD,
    amount_text,
    confidence_cell,
    count_text,
    length_text,
    time_of,
    which_text,
)
from pipeline.publish.set_measures import called_reps, seconds_a_rep, tempo_text

# Nothing may be fetched, from anywhere (W3C Content Security Policy Level 3).
POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:"

SET_COLUMNS = (
    "Set",
    "Time",
    "Exercise",
    "Side, round",
    "Announced",
    "Done",
    "Called aloud",
    "A rep",
    "Tempo",
    "Findings",
    "Confidence",
)


def write(record: Record) -> str:
    """Return the text of report.html."""
    title = record.title or record.source.name
    head = element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=POLICY),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="color-scheme", content="light dark"),
        element("link", rel="icon", href="data:,"),
        element("title", f"{title}: rep audit"),
        element("style", _asset("report.css")),
    )
    body = element(
        "body",
        element("header", *_header(record, title)),
        element(
            "main",
            _section("findings", "What does not add up", *_findings(record)),
            _section("class", "The class on the clock", *timelines(record), legend()),
            _section("sets", "Sets", *_sets(record)),
            _section("chapters", "Chapters", *_chapters(record)),
            _section("cues", "Coaching cues", *_cues(record)),
            _section("reading", "Notes on the source", *_warnings(record)) if record.warnings else None,
        ),
        element(
            "footer",
            element("h2", "Before anyone moves"),
            element("ul", *(element("li", caution) for caution in CAUTIONS)),
        ),
        element("p", id="copied", role="status"),
        element("script", _asset("report.js")),
    )
    return "<!DOCTYPE html>\n" + to_html(element("html", head, body, lang="en")) + "\n"


def _asset(name: str) -> str:
    return files("pipeline.publish").joinpath(name).read_text(encoding="utf-8")


def _header(record: Record, title: str) -> list[Child]:
    reps = sum(len(one.reps) for one in record.sets)
    called = sum(called_reps(one) for one in record.sets)
    facts = [
        ("Length", length_text(record.source.duration)),
        ("Chapters", str(len(record.chapters))),
        ("Sets", str(len(record.sets))),
        ("Reps", f"{reps}, of them {called} called aloud"),
        ("Findings", str(len(record.findings))),
        ("To check", count_text(sum(one.confidence < LOW_CONFIDENCE for one in record.sets), "unsure set")),
    ]
    return [
        element("p", "Rep audit", class_="kicker"),
        element("h1", title),
        element("p", "Read from ", element("span", record.source.name, class_="file"), class_="source"),
        element("dl", *(element("div", element("dt", name), element("dd", value)) for name, value in facts)),
    ]


def _section(name: str, heading: str, *children: Child) -> Element:
    return element(
        "section",
        element("h2", heading, id=f"{name}-heading"),
        *children,
        aria_labelledby=f"{name}-heading",
        id=name,
    )


def _table(columns: Sequence[str], rows: list[Element], kind: str, caption: str) -> Element:
    head = element("thead", element("tr", *(element("th", name, scope="col") for name in columns)))
    return element("table", element("caption", caption), head, element("tbody", *rows), class_=kind)


def _row(columns: Sequence[str], cells: list[Child], **attributes: str | None) -> Element:
    """Return a row whose cells carry their column's name, which narrow pages show before the cell."""
    made = [
        element("td", cell, data_column=name, class_="untold" if cell == NOT_TOLD else None)
        for name, cell in zip(columns, cells, strict=True)
    ]
    return element("tr", *made, **attributes)


def _findings(record: Record) -> list[Child]:
    if not record.findings:
        return [element("p", "Nothing was found that does not add up. That is no promise that nothing is wrong.")]
    columns = ["No.", "Time", "Set", "What", "Said", "Expected", "Confidence"]
    rows = []
    for number, finding in numbered_findings(record):
        what = element("div", element("strong", FINDING_LABELS[finding.kind]), element("p", finding.message))
        if finding.evidence:
            what.append(element("blockquote", finding.evidence))
        cells: list[Child] = [
            str(number),
            time_of(finding.time),
            _set_link(record, finding.set),
            what,
            finding.said,
            finding.expected,
            confidence_cell(finding.confidence),
        ]
        rows.append(_row(columns, cells, id=f"finding-{number}"))
    return [_table(columns, rows, "findings", "In the order of the clock; copy a time to jump there.")]


def _set_link(record: Record, index: int | None) -> Child:
    if index is None:
        return "whole class"
    one = record.sets[index]
    which = which_text(one)
    link = element("a", f"Set {index + 1}", href=f"#set-{index + 1}")
    return element("div", link, " ", one.exercise_name + (f", {which}" if which else ""))


def _sets(record: Record) -> list[Child]:
    if not record.sets:
        return [element("p", "No set was found.")]
    rows = [
        _row(SET_COLUMNS, _set_cells(record, index, one), id=f"set-{index + 1}")
        for index, one in enumerate(record.sets)
    ]
    note = f"{NOT_TOLD} means: not said and cannot be told. Tempo is in seconds, in the order announced."
    return [_table(SET_COLUMNS, rows, "sets", note)]


def _set_cells(record: Record, index: int, one: WorkSet) -> list[Child]:
    pace = seconds_a_rep(one)
    found = [number for number, finding in numbered_findings(record) if finding.set == index]
    links: list[Child] = []
    for number in found:
        links += [", " if links else None, element("a", f"no. {number}", href=f"#finding-{number}")]
    return [
        str(index + 1),
        element("span", time_of(one.start), "–", time_of(one.end), class_="span"),
        one.exercise_name,
        which_text(one) or NOT_TOLD,
        amount_text(one.target, one.unit),
        amount_text(one.performed, one.unit),
        f"{called_reps(one)} of {len(one.reps)}" if one.reps else NOT_TOLD,
        NOT_TOLD if pace is None else f"{pace:.1f} s",
        tempo_text(one.tempo) or NOT_TOLD,
        element("span", *links, class_="findings-links") if links else "none",
        confidence_cell(one.confidence),
    ]


def _chapters(record: Record) -> list[Child]:
    columns = ["Time", "Title", "Kind", "Length", "Confidence"]
    rows = [
        _row(
            columns,
            [
                time_of(chapter.start),
                chapter.title,
                CHAPTER_LABELS[chapter.kind],
                length_text(chapter.end - chapter.start),
                confidence_cell(chapter.confidence),
            ],
        )
        for chapter in record.chapters
    ]
    listed = element(
        "details",
        element("summary", "The list to paste under an upload"),
        element("pre", chapters_text.write(record), class_="copied-whole"),
    )
    return [_table(columns, rows, "chapters", f"To the end at {clock(record.source.duration)}."), listed]


def _cues(record: Record) -> list[Child]:
    if not record.cues:
        return [element("p", "No coaching cue was found.")]
    out: list[Child] = [element("p", "Transcribed as they were said; not checked by anyone.", class_="note")]
    for kind, label in CUE_LABELS.items():
        cues = [cue for cue in record.cues if cue.kind == kind]
        if cues:
            summary = element("summary", f"{label} ({len(cues)})")
            out.append(element("details", summary, element("ul", *map(_cue, cues), class_="cues")))
    return out


def _cue(cue: Cue) -> Element:
    return element("li", time_of(cue.time), " ", element("span", cue.text))


def _warnings(record: Record) -> list[Child]:
    return [element("ul", *(element("li", warning) for warning in record.warnings))]
