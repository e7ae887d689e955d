"""What holds for all formats: files, detection by content, recordings, one clear line for what is no use."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
from pathlib import Path
from typing import get_args

import pytest

from pipeline.model import InputError, SourceKind
from pipeline.transcripts import looks_like_media, read, read_bytes
from pipeline.transcripts.formats import READERS
from tests.bench.compile import parse, write

CLASSES = sorted((Path(__file__).parents[1] / "bench/classes").glob("*.class.txt"))
ENDINGS = {"vtt": "webvtt", "srt": "subrip", "words.json": "recognizer", "stamped.md": "stamped"}


@pytest.fixture(scope="session")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("compiled")
    for path in CLASSES:
        write(parse(path), folder)
    return folder


@pytest.mark.parametrize("path", CLASSES, ids=lambda path: path.name[:3])
def test_every_form_of_a_class_has_the_same_words(path: Path, compiled: Path) -> None:
    script = parse(path)
    spoken = [(word["text"], word["start"]) for line in script.lines for word in line.words]
    for ending, kind in ENDINGS.items():
        transcript = read(compiled / f"{script.meta['id']}.{ending}")
        assert transcript.source.kind == kind
        assert transcript.warnings == ()
        assert [word.text for word in transcript.words] == [text for text, _ in spoken]
        if kind != "stamped":
            off = [abs(word.start - start) for word, (_, start) in zip(transcript.words, spoken, strict=True)]
            assert max(off) <= 0.001, "the scripts keep times to a thousandth of a second"


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_wrong_ending_of_the_name_does_not_matter(ending: str, compiled: Path, tmp_path: Path) -> None:
    misnamed = tmp_path / "class.wrong"
    shutil.copy(compiled / f"d01.{ending}", misnamed)
    assert read(misnamed).source.kind == ENDINGS[ending]


def test_every_format_but_sound_has_a_reader() -> None:
    assert set(READERS) == set(get_args(SourceKind)) - {"media"}


def test_a_dash_is_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"[0:01] One.\n\n[0:02] Two.")))
    assert read("-").source.name == "-"


def test_the_name_of_the_source_is_that_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "class 7.md"
    path.write_text("[0:01] One.", "utf-8")
    assert read(str(path)).source.name == "class 7.md"


@pytest.mark.parametrize("path", ["no/such/file.vtt", ".", "a\0b"])
def test_what_cannot_be_opened_is_refused(path: str) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read(path)


@pytest.mark.parametrize("data", [b"", b"  \n\t\r\n ", b"\xef\xbb\xbf", b"\xff\xfe", b"\xef\xbb\xbf \n"])
def test_an_empty_file_is_refused(data: bytes) -> None:
    with pytest.raises(InputError, match="empty"):
        read_bytes(data, "class.vtt")


@pytest.mark.parametrize(
    "data",
    [
        b"\x89PNG\r\n\x1a\n" + b"IHDR" * 9,
        b"%PDF-1.7\n1 0 obj\n",
        b"PK\x03\x04 a zipped document",
        b"\xff\xd8\xff\xe0 a picture",
        b"[0:01] One.\n\0\0",
        b"[0:01] \x01\x02\x03\x04 One.",
        "[0:01] One.\0".encode("utf-16"),
    ],
)
def test_binary_files_are_no_transcripts(data: bytes) -> None:
    with pytest.raises(InputError, match="not a transcript"):
        read_bytes(data, "class.vtt")


def test_text_without_times_is_refused_with_what_would_do() -> None:
    with pytest.raises(InputError) as refusal:
        read_bytes(b"Two. Three, chest tall.", "class.txt")
    assert str(refusal.value).startswith("class.txt, line 1: no times that belong to words were found; accepted are")


def test_a_webvtt_file_without_words_is_refused() -> None:
    with pytest.raises(InputError, match="no timed words"):
        read_bytes(b"WEBVTT\n\n00:01.000 --> 00:02.000\n\n", "class.vtt")


SOUND = [
    "wav",
    "mp3",
    "m4a",
    "mp4",
    "mov",
    "mkv",
    "webm",
    "ogg",
    "opus",
    "flac",
    "aiff",
    "aac",
    "avi",
    "ts",
    "mpg",
    "flv",
    "wma",
]


@pytest.mark.parametrize("ending", SOUND)
def test_a_recording_that_ffmpeg_writes_is_told_from_text(ending: str, tmp_path: Path) -> None:
    assert shutil.which("ffmpeg"), "ffmpeg is needed for this check: apt-get install ffmpeg"
    path = tmp_path / f"class.{ending}"
    command = ["ffmpeg", "-v", "error", "-f", "lavfi", "-i", "sine=duration=1", str(path)]
    subprocess.run(command, check=True, stdin=subprocess.DEVNULL)
    assert looks_like_media(path.read_bytes()[:4096])
    with pytest.raises(InputError, match="not a transcript but a recording"):
        read(path)


@pytest.mark.parametrize(
    "text", ["WEBVTT\n", "1\n00:00:01,000 -->", "{}", "[0:01] One", "ID,text", "RIFF", "ÿþýü", "Ogg"]
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "utf-32"])
def test_text_is_not_taken_for_a_recording(text: str, encoding: str) -> None:
    assert not looks_like_media(text.encode(encoding))
