"""The report's picture of the class: chapters, sets, reps and findings along the clock, in rows.

It is drawn twice, for wide pages and for narrow ones; the style sheet shows one of them. Colours come from
the style sheet too. A called rep is a filled dot, one placed by the clock a ring.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median
from xml.etree.ElementTree import Element

from pipeline.model import Chapter, Finding, Record, WorkSet
from pipeline.publish.clock import clock
from pipeline.publish.elements import add, element
from pipeline.publish.report_words import (
    CHAPTER_LABELS,
    FINDING_LABELS,
    LOW_CONFIDENCE,
    amount_text,
    which_text,
)

# Heights and widths in the picture's own units, about a pixel each on the page it is meant for.
GUTTER_WIDTH = 44
ROW_HEIGHT = 92
FLAG_Y, CHAPTER_Y, SET_Y, LABEL_Y, AXIS_Y = 13, 18, 42, 72, 86
CHAPTER_HEIGHT, SET_HEIGHT = 20, 18
LETTER = 6.6  # mean width of a letter in the picture's text
DOT = 3.6  # radius of a rep where there is room
FLAG_ROOM = 20  # findings closer than this share a flag
TICK = 15  # seconds


@dataclass(frozen=True, slots=True)
class Layout:
    """How wide a picture is and how many seconds a row of it covers, in whole steps."""

    name: str
    width: int
    seconds: int
    step: int

    def evened(self, end: float) -> Layout:
        """Return the layout with as many rows, but all about as long, so that no last one is a stump."""
        share = end / -(-end // self.seconds)
        return replace(self, seconds=min(int(-(-share // self.step)) * self.step, self.seconds))

    def place_of(self, time: float, row: int) -> float:
        """Return where a time (seconds) stands in a row: its distance from the left edge, in the picture's units."""
        return GUTTER_WIDTH + (time - row * self.seconds) * (self.width - GUTTER_WIDTH - 6) / self.seconds


WIDE = Layout("wide", 1040, 240, 30)
NARROW = Layout("narrow", 340, 75, 15)


def timelines(record: Record) -> tuple[Element, ...]:
    """Return the picture for wide pages and the one for narrow pages."""
    return tuple(_picture(record, layout) for layout in (WIDE, NARROW))


def legend() -> Element:
    """Return what the shapes of the picture mean, as a list."""

    def sample(text: str, *shapes: Element) -> Element:
        picture = element("svg", *shapes, viewBox="0 0 28 18", width=28, height=18, aria_hidden="true")
        return element("li", picture, " ", text)

    bar = element("rect", x=1, y=2, width=26, height=14, rx=3, class_="set")
    timed = element("rect", x=1, y=2, width=26, height=14, rx=3, class_="set timed")
    low = element("rect", x=1, y=2, width=26, height=14, rx=3, class_="set low")
    return element(
        "ul",
        sample("exercise", element("rect", x=1, y=1, width=26, height=16, class_="chapter exercise")),
        sample("introduction, rest, close", element("rect", x=1, y=1, width=26, height=16, class_="chapter")),
        sample("set of reps", bar),
        sample("timed set", timed),
        sample("set to check (low confidence)", low),
        sample("rep called aloud", element("circle", cx=14, cy=9, r=DOT, class_="rep called")),
        sample("rep placed by the clock", element("circle", cx=14, cy=9, r=DOT, class_="rep")),
        sample("finding, with its number", element("path", d="M9 4h10l-5 9z", class_="flag")),
        class_="legend",
    )


def _picture(record: Record, layout: Layout) -> Element:
    end = max([record.source.duration, *(chapter.end for chapter in record.chapters), 1.0])
    layout = layout.evened(end)
    rows = int(-(-end // layout.seconds))
    picture = element(
        "svg",
        viewBox=f"0 0 {layout.width} {rows * ROW_HEIGHT}",
        class_=f"timeline {layout.name}",
        role="group",
        aria_label="Chapters, sets, reps and findings along the clock; the tables hold the same in words",
    )
    for row in range(rows):
        start, stop = row * layout.seconds, min((row + 1) * layout.seconds, end)
        place = element("g", transform=f"translate(0 {row * ROW_HEIGHT})")
        add(place, *_axis(layout, row, start, stop))
        add(place, *_chapters(record.chapters, layout, row, start, stop))
        add(place, *_sets(record.sets, layout, row, start, stop))
        add(place, *_flags(record, layout, row, start, stop))
        picture.append(place)
    return picture


def _axis(layout: Layout, row: int, start: float, stop: float) -> Iterator[Element]:
    yield element("text", clock(start), x=0, y=CHAPTER_Y + 14, class_="hour")
    for time in range(int(start), int(stop) + 1, TICK):
        x = layout.place_of(time, row)
        minute = time % 60 == 0
        yield element("line", x1=x, x2=x, y1=CHAPTER_Y, y2=AXIS_Y - 10, class_="tick minute" if minute else "tick")
        if minute and start < time < start + layout.seconds:
            yield element("text", clock(time), x=x, y=AXIS_Y, class_="minute", text_anchor="middle")


def _chapters(chapters: tuple[Chapter, ...], layout: Layout, row: int, start: float, stop: float) -> Iterator[Element]:
    for chapter in chapters:
        first, last = max(chapter.start, start), min(chapter.end, stop)
        if last <= first:
            continue
        x, width = layout.place_of(first, row), layout.place_of(last, row) - layout.place_of(first, row)
        told = f"{clock(chapter.start)} {chapter.title} ({CHAPTER_LABELS[chapter.kind].lower()})"
        kind = "chapter exercise" if chapter.kind == "exercise" else "chapter"
        box = element("rect", x=x, y=CHAPTER_Y, width=max(width - 1, 1), height=CHAPTER_HEIGHT, class_=kind)
        label = _fitted(("" if chapter.start >= start else "… ") + chapter.title, width - 10)
        text = element("text", label, x=x + 5, y=CHAPTER_Y + 14, class_="title") if label else None
        edge = element("line", x1=x, x2=x, y1=CHAPTER_Y, y2=CHAPTER_Y + CHAPTER_HEIGHT, class_="chapter-edge")
        yield element("g", element("title", told), box, edge if chapter.start >= start else None, text)


def _sets(sets: tuple[WorkSet, ...], layout: Layout, row: int, start: float, stop: float) -> Iterator[Element]:
    order = sorted(range(len(sets)), key=lambda index: sets[index].start)
    for place, index in enumerate(order):
        one = sets[index]
        first, last = max(one.start, start), min(one.end, stop)
        if last <= first:
            continue
        x, width = layout.place_of(first, row), layout.place_of(last, row) - layout.place_of(first, row)
        kind = "set" + " timed" * (one.unit == "seconds") + " low" * (one.confidence < LOW_CONFIDENCE)
        made = element("g", element("title", _set_text(index, one)))
        add(made, element("rect", x=x, y=SET_Y, width=max(width, 2), height=SET_HEIGHT, rx=3, class_=kind))
        add(made, *_dots(one, layout, row, start, stop))
        following = sets[order[place + 1]].start if place + 1 < len(order) else stop
        room = layout.place_of(min(max(following, last), stop), row) - x - 4
        labels = _set_labels(index, one) if one.start >= start else [f"… {index + 1}"]
        label = next((text for text in labels if len(text) * LETTER <= room), labels[-1])
        add(made, element("text", label, x=x, y=LABEL_Y, class_="label"))
        yield made


def _dots(one: WorkSet, layout: Layout, row: int, start: float, stop: float) -> Iterator[Element]:
    times = sorted(rep.time for rep in one.reps)
    spaces = [b - a for a, b in pairwise(times) if b > a]
    scale = layout.place_of(1, 0) - layout.place_of(0, 0)
    # The usual space, not the least: one number called late must not shrink the whole set.
    radius = max(min(DOT, 0.42 * median(spaces) * scale if spaces else DOT), 1.4)
    for rep in one.reps:
        if start <= rep.time < stop or rep.time == stop == one.end:
            x = layout.place_of(rep.time, row)
            kind = "rep called" if rep.called else "rep"
            yield element("circle", cx=round(x, 1), cy=SET_Y + SET_HEIGHT / 2, r=radius, class_=kind)


def _flags(record: Record, layout: Layout, row: int, start: float, stop: float) -> Iterator[Element]:
    groups: list[list[tuple[int, Finding]]] = []
    for number, finding in numbered_findings(record):
        if not start <= finding.time < max(stop, start + layout.seconds):
            continue
        x = layout.place_of(finding.time, row)
        if groups and x - layout.place_of(groups[-1][0][1].time, row) < FLAG_ROOM:
            groups[-1].append((number, finding))
        else:
            groups.append([(number, finding)])
    for group in groups:
        x = round(layout.place_of(group[0][1].time, row), 1)
        numbers = ", ".join(str(number) for number, _ in group)
        told = "; ".join(f"finding {number}: {FINDING_LABELS[one.kind]}" for number, one in group)
        shape = element("path", d=f"M{x - 5} {FLAG_Y - 9}h10l-5 10z", class_="flag")
        reach = element("rect", x=x - 14, y=FLAG_Y - 17, width=32 + LETTER * len(numbers), height=28, class_="reach")
        line = element("line", x1=x, x2=x, y1=FLAG_Y, y2=SET_Y + SET_HEIGHT, class_="flag-line")
        text = element("text", numbers, x=x + 8, y=FLAG_Y - 1, class_="flag-number")
        yield line
        yield element("a", element("title", told), reach, shape, text, href=f"#finding-{group[0][0]}", aria_label=told)


def numbered_findings(record: Record) -> list[tuple[int, Finding]]:
    """Return the findings in rising order of time, numbered from 1, as the report shows them."""
    return list(enumerate(sorted(record.findings, key=lambda finding: finding.time), 1))


def _set_labels(index: int, one: WorkSet) -> list[str]:
    """Return labels for under a set, from the fullest to the shortest."""
    done = "?" if one.performed is None else str(one.performed)
    amount = f"{done}/{one.target}" if one.target is not None else done
    unit = " s" if one.unit == "seconds" else ""
    side = {"left": " left", "right": " right", None: ""}[one.side]
    check = " – check" if one.confidence < LOW_CONFIDENCE else ""
    number = str(index + 1)
    return [f"{number}: {amount}{unit}{side}{check}", f"{number}{check or ': ' + amount + unit}", number]


def _set_text(index: int, one: WorkSet) -> str:
    which = which_text(one)
    done = amount_text(one.performed, one.unit) + " done"
    announced = f", {one.target} announced" if one.target is not None else ""
    name = f"{one.exercise_name} ({which})" if which else one.exercise_name
    return f"set {index + 1}, {clock(one.start)}–{clock(one.end)}: {name}, {done}{announced}"


def _fitted(text: str, room: float) -> str:
    """Return text cut to a width, or none where not even four letters fit."""
    letters = int(room / LETTER)
    if len(text) <= letters:
        return text
    return text[: letters - 1].rstrip() + "…" if letters >= 5 else ""
