"""Chapters written in each format and read back by programs that are not ours: what is lost, what is moved.

``python -m tests.publish.round_trips`` does it for every development class and sample, as read from each form and
by its annotation, at every grain and, for timelines, at every rate, and prints a row a format.
"""

from __future__ import annotations

import csv
import io
import json
import subprocess
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import opentimelineio as otio
import webvtt
from selenium import webdriver

from pipeline.model import Record
from pipeline.publish import export
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.grain import GRAINS, PublishedChapter, outline
from pipeline.publish.timeline_rates import RATES, Rate
from tests.browser import browser, load_track
from tests.publish.records import NAMES, record_of


@dataclass(frozen=True, slots=True)
class ReadChapter:
    """A chapter as another program reads it: its start and end in seconds, and its title."""

    start: Fraction
    end: Fraction
    title: str


@dataclass(frozen=True, slots=True)
class Compared:
    """How many chapters were written, how many of them came back, and the furthest that one was moved (s)."""

    written: int
    kept: int
    moved: Fraction


def compare(wanted: Sequence[PublishedChapter], read: Sequence[ReadChapter]) -> Compared:
    """Hold what was read against what was to be written, chapter by chapter."""
    pairs = [(a, b) for a, b in zip(wanted, read, strict=False) if a.title == b.title]
    times = [(seconds(a.start), b.start) for a, b in pairs] + [(seconds(a.end), b.end) for a, b in pairs]
    kept = len(pairs) if len(read) == len(wanted) else min(len(pairs), len(wanted) - 1)
    return Compared(len(wanted), kept, max((abs(a - b) for a, b in times), default=Fraction(0)))


def seconds(time: float) -> Fraction:
    """Return a time as it is kept in a record, to the millisecond."""
    return Fraction(round(time * 1000), 1000)


def all_of(chapters: Sequence[PublishedChapter]) -> list[PublishedChapter]:
    """Return chapters and all that is inside them, in the order of a nested format."""
    return [one for chapter in chapters for one in (chapter, *all_of(chapter.parts))]


def run(*command: str | Path) -> str:
    done = subprocess.run(list(map(str, command)), capture_output=True, text=True)
    if done.returncode:
        raise AssertionError(done.stderr + done.stdout)
    return done.stdout


def make_carrier(folder: Path) -> Path:
    """Make what chapters are put into, as small as can be: one caption at the end of more than an hour."""
    path = folder / "carrier.srt"
    path.write_text("1\n01:15:00,000 --> 01:15:01,000\nThe end\n", "utf-8")
    return path


# Each way out and back


def by_ffprobe(record: Record, grain: str, folder: Path) -> Compared:
    """FFMETADATA, read by ffprobe."""
    path = folder / "chapters.ffmetadata"
    path.write_text(export(record, "chapters.ffmetadata", grain=grain), "utf-8")
    read = json.loads(run("ffprobe", "-v", "error", "-of", "json", "-show_chapters", "-f", "ffmetadata", path))
    found = [
        ReadChapter(Fraction(one["start_time"]), Fraction(one["end_time"]), one["tags"]["title"])
        for one in read["chapters"]
    ]
    return compare(listed_chapters(record, grain), found)


def by_mkvextract(record: Record, grain: str, folder: Path, carrier: Path) -> Compared:
    """Matroska chapters, put into a file by mkvmerge and taken out by mkvextract."""
    written, film = folder / "chapters.xml", folder / "film.mks"
    written.write_text(export(record, "chapters.xml", grain=grain), "utf-8")
    run("mkvmerge", "-q", "-o", film, "--chapters", written, carrier)
    atoms = ElementTree.fromstring(run("mkvextract", film, "chapters")).iter("ChapterAtom")
    found = [
        ReadChapter(
            _clock(one.findtext("ChapterTimeStart") or ""),
            _clock(one.findtext("ChapterTimeEnd") or ""),
            one.findtext("ChapterDisplay/ChapterString") or "",
        )
        for one in atoms
    ]
    return compare(all_of(outline(record, grain)), found)


def by_chromium(record: Record, grain: str, form: str, driver: webdriver.Chrome) -> Compared:
    """A WebVTT chapters track, read by Chromium (``kind=chapters``)."""
    cues = load_track(driver, export(record, form, grain=grain), "chapters")
    # Chromium gives a chapter cue's text as it was written, references and all.
    found = [ReadChapter(seconds(start), seconds(end), _unescape(text)) for start, end, text in cues]
    return compare(_of_form(record, grain, form), found)


def by_webvtt_py(record: Record, grain: str, form: str) -> Compared:
    """A WebVTT chapters track, read by webvtt-py."""
    read = webvtt.from_buffer(io.StringIO(export(record, form, grain=grain)))
    found = [ReadChapter(_clock(cue.start), _clock(cue.end), _unescape(cue.raw_text)) for cue in read]
    return compare(_of_form(record, grain, form), found)


def by_json(record: Record, grain: str) -> Compared:
    """JSON chapters, read by Python's json."""
    read = json.loads(export(record, "chapters.json", grain=grain))["chapters"]
    found = [ReadChapter(seconds(one["startTime"]), seconds(one["endTime"]), one["title"]) for one in read]
    return compare(listed_chapters(record, grain), found)


def by_csv(record: Record, grain: str) -> Compared:
    """The table, read by Python's csv."""
    rows = csv.DictReader(io.StringIO(export(record, "chapters.csv", grain=grain), newline=""))
    found = [ReadChapter(Fraction(row["start"]), Fraction(row["end"]), row["title"]) for row in rows]
    return compare(listed_chapters(record, grain), found)


def by_opentimelineio(record: Record, grain: str, form: str, rate: Rate) -> Compared:
    """A timeline, read by OpenTimelineIO's own reader or the adapter of its form."""
    text = export(record, form, grain=grain, rate=rate.name)
    if form == "timeline.edl":
        counted = float(rate.exact) if rate.drop else float(rate.nominal)
        read = otio.adapters.read_from_string(text, "cmx_3600", rate=counted)
        spans = [(one.source_range, one.name) for one in read.tracks[0]]
    else:
        read = otio.adapters.read_from_string(text, "otio_json" if form == "timeline.otio" else "fcp_xml")
        spans = [(one.marked_range, one.name) for one in read.tracks[0][0].markers]
        spans = spans[: len(listed_chapters(record, grain))]  # then come the sets and the findings
    found = []
    for span, title in spans:
        first, length = round(span.start_time.value), round(span.duration.value)
        found.append(ReadChapter(rate.seconds(first), rate.seconds(first + length), title))
    return compare(listed_chapters(record, grain), found)


def _of_form(record: Record, grain: str, form: str) -> Sequence[PublishedChapter]:
    return all_of(outline(record, grain)) if form == "chapters-nested.vtt" else listed_chapters(record, grain)


def _clock(text: str) -> Fraction:
    hours, minutes, rest = text.split(":")
    return (int(hours) * 60 + int(minutes)) * 60 + Fraction(rest)


def _unescape(text: str) -> str:
    return text.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")


# The whole table


def ways(folder: Path, driver: webdriver.Chrome) -> Iterator[tuple[str, Fraction, Callable[[Record, str], Compared]]]:
    """Yield each way: what it is called, the length of a frame in it (s), and how it is gone."""
    carrier = make_carrier(folder)
    finest = 1 / RATES["60"].exact
    yield "chapters.ffmetadata by ffprobe", finest, lambda record, grain: by_ffprobe(record, grain, folder)
    yield "chapters.xml by mkvextract", finest, lambda record, grain: by_mkvextract(record, grain, folder, carrier)
    for form in ("chapters.vtt", "chapters-nested.vtt"):
        yield f"{form} by Chromium", finest, lambda record, grain, form=form: by_chromium(record, grain, form, driver)
        yield f"{form} by webvtt-py", finest, lambda record, grain, form=form: by_webvtt_py(record, grain, form)
    yield "chapters.json by json", finest, by_json
    yield "chapters.csv by csv", finest, by_csv
    for form in ("timeline.otio", "timeline.xml", "timeline.edl"):
        for rate in RATES.values():
            yield (
                f"{form} at {rate.name}",
                1 / rate.exact,
                lambda record, grain, form=form, rate=rate: by_opentimelineio(record, grain, form, rate),
            )


def main() -> None:
    print(f"{'format':36}{'records':>8}{'chapters':>10}{'lost':>6}{'furthest moved':>22}")
    with tempfile.TemporaryDirectory() as folder, browser() as driver:
        for name, frame, way in ways(Path(folder), driver):
            compared = [way(record_of(one), grain) for one in NAMES for grain in GRAINS]
            written, kept = sum(one.written for one in compared), sum(one.kept for one in compared)
            moved = max(one.moved for one in compared)
            print(f"{name:36}{len(NAMES):8}{written:10}{written - kept:6}", end="")
            print(f"{float(moved) * 1000:9.1f} ms{float(moved / frame):6.2f} frame", flush=True)


if __name__ == "__main__":
    main()
