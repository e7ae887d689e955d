from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pipeline.model import InputError
from pipeline.transcripts.recognition.audio import RATE, open_recording
from tests.sound.making import SAMPLE, Samples, read_sound, silence, tone, write_film, write_wave


def decoded(path: Path, block: int = RATE) -> Samples:
    return np.concatenate(list(open_recording(path).blocks(block)))


def onset(sound: Samples) -> float:
    """Seconds to where it is first loud."""
    return float(np.argmax(np.abs(sound) > 0.1)) / RATE


def test_blocks_joined_are_what_the_recognisers_own_decoder_gives() -> None:
    ours, theirs = decoded(SAMPLE), read_sound(SAMPLE)
    assert abs(len(ours) - len(theirs)) <= 0.02 * RATE
    shared = min(len(ours), len(theirs))
    assert float(np.corrcoef(ours[:shared], theirs[:shared])[0, 1]) > 0.999


@pytest.mark.parametrize("block", [777, RATE, 100 * RATE])
def test_the_size_of_blocks_changes_no_sample(tmp_path: Path, block: int) -> None:
    path = write_wave(tmp_path / "a.wav", tone(2.5))
    np.testing.assert_array_equal(decoded(path, block), decoded(path, 4096))


def test_every_block_but_the_last_is_full(tmp_path: Path) -> None:
    path = write_wave(tmp_path / "a.wav", tone(2.5))
    assert [len(b) for b in open_recording(path).blocks(RATE)] == [RATE, RATE, RATE // 2]


def test_sound_that_sets_in_after_the_picture_keeps_its_time(tmp_path: Path) -> None:
    path = write_film(tmp_path / "late.mp4", tone(1.0), sound_from=1.5, seconds=3.0)
    assert onset(decoded(path)) == pytest.approx(1.5, abs=0.1)


def test_sound_is_read_the_same_from_a_film(tmp_path: Path) -> None:
    path = write_film(tmp_path / "film.mkv", np.concatenate([silence(0.7), tone(1.0)]))
    assert onset(decoded(path)) == pytest.approx(0.7, abs=0.1)


def test_a_recording_cut_off_gives_what_is_there_and_says_so(tmp_path: Path) -> None:
    whole = write_film(tmp_path / "whole.mkv", tone(20.0), seconds=20.0).read_bytes()
    cut = tmp_path / "cut.mkv"
    cut.write_bytes(whole[: len(whole) // 2])
    recording = open_recording(cut)
    seconds = sum(len(block) for block in recording.blocks(RATE)) / RATE
    assert 4.0 < seconds < 19.0
    assert any("cut off or damaged" in warning for warning in recording.warnings)


@pytest.mark.parametrize("content", [b"", b"OggS but nothing of the kind", b"\x00\x00\x00\x18ftypmp42" + b"\x11" * 900])
def test_what_is_no_recording_is_refused_in_one_line(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "class.mp4"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        decoded(path)
    assert str(caught.value).startswith("class.mp4: ")
    assert "\n" not in str(caught.value)


def test_a_film_without_sound_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="has no sound track"):
        open_recording(write_film(tmp_path / "mute.mp4", None))


def test_a_sound_track_of_no_length_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"no sound|empty|cannot be"):
        decoded(write_wave(tmp_path / "nothing.wav", silence(0)))


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"gone\.mp4: cannot be read"):
        open_recording(tmp_path / "gone.mp4")
