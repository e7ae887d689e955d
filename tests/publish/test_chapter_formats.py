"""Chapters in every format, read back by programs that are not ours: none lost, none moved by a frame."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from selenium import webdriver

from pipeline.model import Record
from pipeline.publish import export
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.grain import GRAINS, outline
from tests.browser import load_track
from tests.publish.example import CLASSES, example_record
from tests.publish.round_trips import all_of, make_carrier, run

NAMES = sorted(path.name.split(".")[0] for path in CLASSES.glob("*.class.txt"))
DTD = Path("/usr/share/doc/mkvtoolnix/examples/matroskachapters.dtd")
TRICKY = ("Curl & press <slow>", "50 % = half; #1 \\ left", "Plié – „tief“ 深蹲", "-->")


def tricky_record() -> Record:
    """A class whose titles hold what each format takes for syntax."""
    record = example_record("d01")
    chapters = tuple(replace(one, title=TRICKY[i % len(TRICKY)] + f" {i}") for i, one in enumerate(record.chapters))
    return replace(record, title="A = b; #1 <c> & d", chapters=chapters)


# FFMETADATA


@pytest.mark.parametrize("name", [*NAMES, "tricky"])
def test_ffmpeg_reads_all_chapters_of_the_ffmetadata(name: str, tmp_path: Path) -> None:
    record = tricky_record() if name == "tricky" else example_record(name)
    path = tmp_path / "chapters.ffmetadata"
    path.write_text(export(record, "chapters.ffmetadata"), "utf-8")
    read = json.loads(
        run(
            "ffprobe",
            "-v",
            "error",
            "-of",
            "json",
            "-show_chapters",
            "-show_format",
            "-f",
            "ffmetadata",
            path,
        )
    )
    listed = listed_chapters(record)
    assert [one["tags"]["title"] for one in read["chapters"]] == [one.title for one in listed]
    assert [float(one["start_time"]) for one in read["chapters"]] == [one.start for one in listed]
    assert [float(one["end_time"]) for one in read["chapters"]] == [one.end for one in listed]
    assert read["format"]["tags"]["title"] == record.title


# Matroska


def atoms(parent: ElementTree.Element) -> list[tuple[str, str, str, list]]:  # type: ignore[type-arg]
    return [
        (
            one.findtext("ChapterTimeStart") or "",
            one.findtext("ChapterTimeEnd") or "",
            one.findtext("ChapterDisplay/ChapterString") or "",
            atoms(one),
        )
        for one in parent.findall("ChapterAtom")
    ]


@pytest.mark.parametrize("grain", GRAINS)
@pytest.mark.parametrize("name", ["d01", "d03", "d12", "tricky"])
def test_mkvmerge_takes_the_chapters_in_and_mkvextract_gives_them_back(name: str, grain: str, tmp_path: Path) -> None:
    record = tricky_record() if name == "tricky" else example_record(name)
    written, film = tmp_path / "chapters.xml", tmp_path / "film.mks"
    written.write_text(export(record, "chapters.xml", grain=grain), "utf-8")
    run("mkvmerge", "-q", "-o", film, "--chapters", written, make_carrier(tmp_path))
    read = ElementTree.fromstring(run("mkvextract", film, "chapters"))
    ours = ElementTree.fromstring(written.read_text("utf-8"))
    assert [atoms(one) for one in read] == [atoms(one) for one in ours]
    assert len(list(read.iter("ChapterAtom"))) == len(all_of(outline(record, grain)))


@pytest.mark.skipif(not DTD.exists(), reason="the document type comes with Debian's mkvtoolnix")
@pytest.mark.parametrize("grain", GRAINS)
def test_the_chapter_xml_is_valid_by_its_document_type(grain: str, tmp_path: Path) -> None:
    for name in [*NAMES, "tricky"]:
        record = tricky_record() if name == "tricky" else example_record(name)
        path = tmp_path / "chapters.xml"
        path.write_text(export(record, "chapters.xml", grain=grain), "utf-8")
        run("xmllint", "--noout", "--dtdvalid", DTD, path)


def test_every_matroska_chapter_has_a_number_of_its_own_that_is_not_0() -> None:
    """RFC 9559, 5.1.7.1.4.1 (ChapterUID): "not 0"; unique among the chapters of a file."""
    root = ElementTree.fromstring(export(example_record("d12"), "chapters.xml", grain="set"))
    numbers = [int(one.text or 0) for one in root.iter("ChapterUID")]
    assert 0 not in numbers
    assert len(set(numbers)) == len(numbers) > 20


# WebVTT


@pytest.mark.parametrize("grain", GRAINS)
@pytest.mark.parametrize("form", ["chapters.vtt", "chapters-nested.vtt"])
def test_chromium_reads_every_chapter_cue(driver: webdriver.Chrome, form: str, grain: str) -> None:
    for record in (example_record("d03"), example_record("d12"), tricky_record()):
        tree = outline(record, grain)
        wanted = all_of(tree) if form == "chapters-nested.vtt" else list(listed_chapters(record, grain))
        cues = load_track(driver, export(record, form, grain=grain), "chapters")
        assert [(start, end) for start, end, _ in cues] == [(one.start, one.end) for one in wanted]


@pytest.mark.parametrize("name", NAMES)
def test_nested_cues_lie_within_one_another_or_apart(name: str) -> None:
    """W3C WebVTT, "WebVTT file using only nested cues"; and cues stand in the order of their starts."""
    text = export(example_record(name), "chapters-nested.vtt", grain="set")
    stamps = re.findall(r"^(\S+) --> (\S+)$", text, re.M)
    assert stamps == sorted(stamps, key=lambda pair: pair[0])
    for i, (start, end) in enumerate(stamps):
        for other_start, other_end in stamps[i + 1 :]:
            inside = start <= other_start and other_end <= end
            around = other_start <= start and end <= other_end
            apart = other_start >= end or other_end <= start
            assert inside or around or apart


# JSON


@pytest.mark.parametrize("name", [*NAMES, "tricky"])
def test_the_json_keeps_the_published_rules(name: str) -> None:
    """JSON Chapters 1.2 (from memory): ``version`` and ``chapters`` are required, and of each chapter
    ``startTime``, a number of seconds; ``title`` is a string, ``endTime`` a number after the start.
    """
    record = tricky_record() if name == "tricky" else example_record(name)
    read = json.loads(export(record, "chapters.json"))
    assert read["version"] == "1.2.0"
    assert set(read) <= {"version", "chapters", "title", "author", "podcastName", "description", "fileName"}
    for one in read["chapters"]:
        assert set(one) <= {"startTime", "title", "img", "url", "toc", "endTime", "location"}
        assert isinstance(one["startTime"], (int, float))
        assert isinstance(one["title"], str)
        assert one["endTime"] > one["startTime"] >= 0
    assert all(a["startTime"] < b["startTime"] for a, b in pairwise(read["chapters"]))
    listed = listed_chapters(record)
    assert [(one["startTime"], one["title"]) for one in read["chapters"]] == [(one.start, one.title) for one in listed]


@pytest.mark.parametrize("name", [*NAMES, "tricky"])
def test_a_reader_of_podcasts_chapters_reads_the_json(name: str) -> None:
    """podcast-chapter-tools 0.2.0 reads whole seconds and titles, and writes the same version and names of fields.

    It knows no ``endTime``: that field is from memory.
    """
    tools = pytest.importorskip("podcast_chapter_tools")
    record = tricky_record() if name == "tricky" else example_record(name)
    ours = json.loads(export(record, "chapters.json"))
    read = tools.extract_pci_chapters(ours)
    assert [(one.start, one.title) for one in read] == [(int(one.start), one.title) for one in listed_chapters(record)]
    theirs = json.loads(tools.chapters_to_pci_json(read))
    assert theirs["version"] == ours["version"]
    assert set(theirs) <= set(ours)
    assert all(set(a) <= set(b) for a, b in zip(theirs["chapters"], ours["chapters"], strict=True))


# CSV


def test_the_table_has_a_row_a_chapter_with_its_facts() -> None:
    record = example_record("d03")
    rows = list(csv.DictReader(io.StringIO(export(record, "chapters.csv", grain="set", rate="25"))))
    listed = listed_chapters(record, "set")
    assert [float(row["start"]) for row in rows] == [one.start for one in listed]
    halo = rows[1]
    assert (halo["exercise"], halo["side"], halo["reps"]) == ("Kettlebell halo", "left", "5 reps")
    assert halo["start_timecode"] == "00:01:02:03"
    swing = next(row for row in rows if row["exercise"] == "Kettlebell swing")
    assert (swing["seconds"], swing["round"], swing["rounds"], swing["block"]) == (
        "30 seconds",
        "1",
        "3",
        "1",
    )


def test_no_cell_of_the_table_starts_a_formula() -> None:
    record = example_record("d01")
    chapters = (replace(record.chapters[0], title="=1+1"), *record.chapters[1:])
    rows = list(csv.reader(io.StringIO(export(replace(record, chapters=chapters), "chapters.csv"))))
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@"))]
