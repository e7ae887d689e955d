"""From a recording to a transcript, with the small English model that needs no network."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from pipeline.model import InputError, Transcript
from pipeline.transcripts import sound
from pipeline.transcripts.recognition import hear
from pipeline.transcripts.recognition.store import cache_folder
from pipeline.transcripts.sound import SoundOptions, clear_cache, transcribe
from tests.sound.making import RATE, ROOT, SAMPLE, read_sound, silence, tone, write_wave

CALLED = {"one": 28.4, "two": 31.4, "three": 34.4, "five": 40.4, "seven": 46.4, "eight": 49.7}
"""When the script of the sample calls the reps of its squats, in seconds."""

SQUATS_FROM = 22.0


def times(transcript: Transcript, text: str) -> list[float]:
    return [w.start for w in transcript.words if w.text.lower().strip(".,!") == text]


def test_every_called_rep_is_heard_at_its_time(squats: Path, options: SoundOptions) -> None:
    transcript = transcribe(squats, options)
    for text, time in CALLED.items():
        assert min(abs(heard + SQUATS_FROM - time) for heard in times(transcript, text)) < 0.6


def test_the_transcript_says_what_it_is(squats: Path, options: SoundOptions) -> None:
    transcript = transcribe(squats, options)
    source = transcript.source
    assert (source.name, source.kind, source.timing) == ("squats.wav", "media", "word")
    assert source.duration == pytest.approx(29.0, abs=0.01)
    assert all(0 < (w.probability or 0) <= 1 and w.start <= w.end for w in transcript.words)


def test_silences_between_words_are_those_that_ffmpeg_finds(squats: Path, options: SoundOptions) -> None:
    """Words are cut to where a voice is heard, so that the times between them are the pauses that were made.

    FFmpeg's filter ``silencedetect`` knows nothing of voices, but in the sample nothing else is heard.
    """
    if not shutil.which("ffmpeg"):
        pytest.skip("ffmpeg is not installed")
    command = ["ffmpeg", "-i", str(squats), "-af", "silencedetect=noise=-35dB:d=1", "-f", "null", "-"]
    found = subprocess.run(command, check=True, capture_output=True, text=True).stderr
    ends = [float(end) for end in re.findall(r"silence_end: ([\d.]+)", found)]
    starts = [float(start) for start in re.findall(r"silence_start: ([\d.]+)", found)]
    words = transcribe(squats, options).words
    pauses = [(a.end, b.start) for a, b in pairwise(words) if b.start - a.end >= 1.0]
    within = [(a, b) for a, b in zip(starts, ends, strict=False) if words[0].end <= a and b <= words[-1].start + 0.3]
    assert len(within) >= 8
    for start, end in within:
        nearest = min(pauses, key=lambda pause: abs(pause[1] - end))
        assert abs(nearest[0] - start) < 0.35
        assert abs(nearest[1] - end) < 0.35


def test_a_pause_parts_two_pieces(squats: Path, options: SoundOptions) -> None:
    transcript = transcribe(squats, options)
    said = [transcript.text((piece.first, piece.stop)).lower().strip(".,") for piece in transcript.pieces]
    assert {"three", "five", "seven"} <= set(said)


def test_progress_rises_to_the_end(squats: Path, options: SoundOptions) -> None:
    seen: list[tuple[float, float]] = []
    transcribe(squats, options, lambda done, total: seen.append((done, total)))
    assert seen == sorted(seen)
    assert seen[-1][0] == pytest.approx(29.0, abs=0.01)


def test_a_finished_recording_is_not_recognised_again(
    squats: Path, options: SoundOptions, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = transcribe(squats, options)
    monkeypatch.setattr(sound, "recognize", lambda *_: pytest.fail("recognised again"))
    assert transcribe(squats, options) == first


def test_clearing_the_cache_makes_it_be_recognised_again(squats: Path, options: SoundOptions) -> None:
    transcribe(squats, options)
    assert clear_cache(options.cache) == 1
    assert list(cache_folder(options.cache).iterdir()) == []


def test_killed_at_any_moment_and_started_again_it_gives_the_same(
    options: SoundOptions, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kills real runs after one window and after two, by the signal that nothing can catch.

    The sample is short: so that there is something to go on with, its windows are heard one at a time.
    """
    monkeypatch.setattr(hear, "TOGETHER", 1)
    undisturbed = transcribe(SAMPLE, options)
    assert options.cache is not None
    (kept,) = options.cache.iterdir()
    whole = len(kept.read_bytes().splitlines())
    for lines in (1, 2):
        folder = tmp_path / str(lines)
        program = (
            "from pathlib import Path; from pipeline.transcripts.recognition import hear; hear.TOGETHER = 1;"
            "from pipeline.transcripts.sound import *;"
            f"transcribe(Path({str(SAMPLE)!r}),"
            f" SoundOptions(device='cpu', threads=1, cache=Path({str(folder)!r})))"
        )
        with subprocess.Popen([sys.executable, "-c", program], cwd=ROOT) as run:
            while run.poll() is None:
                parts = list(folder.glob("*.part.jsonl"))
                if parts and len(parts[0].read_bytes().splitlines()) >= lines:
                    os.kill(run.pid, signal.SIGKILL)
                    break
        (part,) = folder.iterdir()
        assert lines <= len(part.read_bytes().splitlines()) < whole
        assert transcribe(SAMPLE, replace(options, cache=folder)) == undisturbed


def test_music_alone_has_no_words(tmp_path: Path, options: SoundOptions) -> None:
    beat = np.concatenate([tone(0.1, 55), silence(0.4)] * 60)
    with pytest.raises(InputError, match="no speech was heard"):
        transcribe(write_wave(tmp_path / "beat.wav", beat), options)


def test_silence_alone_is_said_to_hold_no_speech(tmp_path: Path, options: SoundOptions) -> None:
    with pytest.raises(InputError, match="no speech was heard"):
        transcribe(write_wave(tmp_path / "silence.wav", silence(40)), options)


def test_words_keep_their_times_over_long_silences(tmp_path: Path, options: SoundOptions) -> None:
    speech = read_sound(SAMPLE)[22 * RATE : 51 * RATE]
    path = write_wave(tmp_path / "late.wav", np.concatenate([silence(75), speech]))
    transcript = transcribe(path, options)
    for text, time in CALLED.items():
        assert min(abs(heard - 75 + SQUATS_FROM - time) for heard in times(transcript, text)) < 0.6


def test_a_language_other_than_english_is_not_taken_for_words(tmp_path: Path, options: SoundOptions) -> None:
    """Spoken by espeak-ng's Spanish voice, where that program is there."""
    said = (
        "Hola a todos y bienvenidos a la clase de hoy. Vamos a empezar con las sentadillas. Los pies a la "
        "anchura de las caderas, la espalda recta y la mirada al frente. Bajamos despacio y subimos con "
        "fuerza. Después hacemos una pausa y bebemos un poco de agua."
    )
    path = speak(tmp_path / "clase.wav", "es", said)
    with pytest.raises(InputError, match=r"not a word was understood; .* English"):
        transcribe(path, options)


def test_a_language_that_is_taken_for_english_words_is_doubted(tmp_path: Path, options: SoundOptions) -> None:
    """A model of English alone hears "How old will come in" in German; it is not sure of it."""
    said = (
        "Hallo und willkommen zum Training. Wir beginnen mit zehn Kniebeugen, die Beine schulterbreit. Eins, zwei, "
        "drei, vier, fünf, sechs, sieben, acht, neun und zehn. Sehr gut, jetzt eine kurze Pause."
    )
    transcript = transcribe(speak(tmp_path / "training.wav", "de", said), options)
    assert "is it English" in " ".join(transcript.warnings)


def speak(path: Path, voice: str, said: str) -> Path:
    """Have espeak-ng say something in a language; skip the test where that program is not there."""
    try:
        subprocess.run(["espeak-ng", "-v", voice, "-w", path, said], check=True)
    except FileNotFoundError:
        pytest.skip("espeak-ng is not there")
    return path


def test_english_is_not_doubted(squats: Path, options: SoundOptions) -> None:
    assert transcribe(squats, options).warnings == ()
