"""The class as an editor's timeline: one clip, the film, with markers for chapters, sets and findings.

OpenTimelineIO holds the timeline and writes it: timeline.otio in its own JSON, timeline.edl as a CMX 3600
edit decision list and timeline.xml as FCP 7 XML (xmeml 4) through its adapters. All marks are frame-accurate
at the rate asked for; the film's first frame is 00:00:00:00.

In the edit list the film is cut at the chapters, an event each, since that form names clips but has no marks
of its own; sets and findings follow as ``* LOC:`` lines, which are widely read though in no standard.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from pipeline.model import InputError, Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.report_words import FINDING_LABELS, amount_text, which_text
from pipeline.publish.timeline_rates import DEFAULT_RATE, Rate, read_rate
from pipeline.publish.webvtt_file import one_line

if TYPE_CHECKING:
    from opentimelineio.opentime import RationalTime, TimeRange
    from opentimelineio.schema import Clip, Timeline

CHAPTER, SET, FINDING = "chapter", "set", "finding"

COLORS = {CHAPTER: "BLUE", SET: "GREEN", FINDING: "RED"}
"""Marker colours by what is marked, of those that OpenTimelineIO has; by judgement."""

KEY = "repslate"
"""Where a marker's metadata says what it marks."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Something to mark: the frames ``first`` to ``stop`` (exclusive), what it is and its name."""

    first: int
    stop: int
    what: str
    name: str
    comment: str = ""


def write_otio(record: Record, grain: str = "exercise", template: str | None = None, rate: str = DEFAULT_RATE) -> str:
    """Return the text of timeline.otio."""
    return _written(build_timeline(record, grain, template, rate), "otio_json")


def write_xml(record: Record, grain: str = "exercise", template: str | None = None, rate: str = DEFAULT_RATE) -> str:
    """Return the text of timeline.xml."""
    return _written(build_timeline(record, grain, template, rate), "fcp_xml")


def write_edl(record: Record, grain: str = "exercise", template: str | None = None, rate: str = DEFAULT_RATE) -> str:
    """Return the text of timeline.edl."""
    clock = read_rate(rate)
    counted = float(clock.exact) if clock.drop else float(clock.nominal)
    # The adapter drops frame numbers wherever the rate allows it. The same frames at the nominal rate have
    # the timecode that drops none.
    timeline = build_timeline(record, grain, template, rate, cut=True, counted=counted)
    title, rest = _written(timeline, "cmx_3600", rate=counted).split("\n", 1)
    mode = "DROP FRAME" if clock.drop else "NON-DROP FRAME"
    return f"{title}\nFCM: {mode}\n{rest}"


def build_timeline(
    record: Record,
    grain: str = "exercise",
    template: str | None = None,
    rate: str = DEFAULT_RATE,
    cut: bool = False,
    counted: float | None = None,
) -> Timeline:
    """Return the timeline as an OpenTimelineIO object.

    ``cut`` makes a clip of each chapter in place of a marker. ``counted`` is the rate that frames are written
    at, by default the film's own. Raises :class:`~pipeline.model.InputError` where OpenTimelineIO is missing.
    """
    otio = _opentimelineio()
    clock = read_rate(rate)
    kit = _Kit(otio, counted or float(clock.exact))
    marks = list(find_marks(record, clock, grain, template))
    length = max([clock.frame_at(record.source.duration), 1, *(mark.stop for mark in marks)])
    timeline = otio.schema.Timeline(one_line(record.title or record.source.name))
    timeline.global_start_time = kit.time(0)
    track = otio.schema.Track("class", kind=otio.schema.TrackKind.Video)
    timeline.tracks.append(track)
    film = _film(record)
    pieces = [mark for mark in marks if mark.what == CHAPTER] if cut else [Mark(0, length, "", film)]
    if not pieces:
        pieces = [Mark(0, length, "", film)]
    for piece in pieces:
        clip = kit.clip(piece, film, length, clock.drop)
        inside = [mark for mark in marks if piece.first <= mark.first < piece.stop]
        # What is marked on the very last frame's end belongs to the last piece.
        inside += [mark for mark in marks if piece is pieces[-1] and mark.first >= piece.stop]
        clip.markers.extend(kit.marker(mark) for mark in inside if not (cut and mark.what == CHAPTER))
        track.append(clip)
    return timeline


def find_marks(record: Record, clock: Rate, grain: str, template: str | None) -> Iterator[Mark]:
    """Yield what is marked: chapters that last a frame or more, then sets, then findings."""
    for chapter in listed_chapters(record, grain, template):
        first, stop = clock.frame_at(chapter.start), clock.frame_at(chapter.end)
        if stop > first:
            yield Mark(first, stop, CHAPTER, chapter.title)
    for number, one in enumerate(record.sets, 1):
        done = amount_text(one.target if one.target is not None else one.performed, one.unit)
        parts = [f"Set {number}: {one.exercise_name}", which_text(one), done]
        name = one_line(", ".join(part for part in parts if part))
        yield Mark(clock.frame_at(one.start), clock.frame_at(one.end), SET, name)
    for finding in record.findings:
        at = clock.frame_at(finding.time)
        yield Mark(at, at, FINDING, FINDING_LABELS[finding.kind], one_line(finding.message))


class _Kit:
    """Makes OpenTimelineIO's objects out of frames."""

    def __init__(self, otio: Any, counted: float) -> None:
        self.otio, self.counted = otio, counted

    def time(self, frame: int) -> RationalTime:
        made: RationalTime = self.otio.opentime.RationalTime(frame, self.counted)
        return made

    def span(self, first: int, stop: int) -> TimeRange:
        made: TimeRange = self.otio.opentime.TimeRange(self.time(first), self.time(max(stop - first, 0)))
        return made

    def clip(self, piece: Mark, film: str, length: int, drop: bool) -> Clip:
        media = self.otio.schema.ExternalReference(film, self.span(0, length))
        media.metadata["fcp_xml"] = {"timecode": {"displayformat": "DF" if drop else "NDF"}}
        made: Clip = self.otio.schema.Clip(piece.name, media, self.span(piece.first, piece.stop))
        return made

    def marker(self, mark: Mark) -> Any:
        return self.otio.schema.Marker(
            mark.name,
            self.span(mark.first, mark.stop),
            COLORS[mark.what],
            metadata={KEY: {"marks": mark.what}},
            comment=mark.comment,
        )


def _film(record: Record) -> str:
    """Return the name of the film; of one known by its transcript only, what the two names share."""
    name = one_line(record.source.name)
    return name if record.source.kind == "media" else PurePath(name).stem


def _written(timeline: Timeline, adapter: str, **options: Any) -> str:
    otio = _opentimelineio()
    if adapter not in otio.adapters.available_adapter_names():
        raise _missing(f"OpenTimelineIO's adapter {adapter}")
    text: str = otio.adapters.write_to_string(timeline, adapter, **options)
    return text if text.endswith("\n") else text + "\n"


def _opentimelineio() -> Any:
    try:
        import opentimelineio
    except ImportError as error:
        raise _missing("OpenTimelineIO") from error
    return opentimelineio


def _missing(what: str) -> InputError:
    remedy = "run pip install '.[timeline]' in Repslate's own folder"
    return InputError("timeline", None, f"needs {what}, which is not installed", remedy)
