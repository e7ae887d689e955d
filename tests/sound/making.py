"""Sound for the tests: the sample, tones, silence, and files of several kinds."""

from __future__ import annotations

import wave
from pathlib import Path
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "samples" / "kitchen-break.ogg"
RATE = 16_000
Samples = NDArray[np.float32]


def read_sound(path: Path) -> Samples:
    """Return all of a file as 16 kHz mono, by faster-whisper's own decoder and not by ours."""
    from faster_whisper import decode_audio

    sound: Any = decode_audio(str(path), sampling_rate=RATE)
    return np.asarray(sound, np.float32)


def write_wave(path: Path, sound: Samples) -> Path:
    """Write 16-bit mono by the standard library."""
    with wave.open(str(path), "wb") as writer:
        writer.setnchannels(1)
        writer.setsampwidth(2)
        writer.setframerate(RATE)
        writer.writeframes((np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes())
    return path


def silence(seconds: float) -> Samples:
    return np.zeros(round(seconds * RATE), np.float32)


def tone(seconds: float, hertz: float = 220.0) -> Samples:
    at = np.arange(round(seconds * RATE)) / RATE
    return (0.3 * np.sin(2 * np.pi * hertz * at)).astype(np.float32)


def write_film(path: Path, sound: Samples | None, sound_from: float = 0.0, seconds: float = 2.0) -> Path:
    """Write a film of a grey picture; its sound, if any, sets in so many seconds after the picture."""
    with av.open(str(path), "w") as container:
        picture = container.add_stream("mpeg4", rate=10)
        picture.width, picture.height, picture.pix_fmt = 64, 48, "yuv420p"
        track = None if sound is None else container.add_stream("aac", rate=RATE, layout="mono")
        for _ in range(round(seconds * 10)):
            frame = av.VideoFrame.from_ndarray(np.full((48, 64, 3), 128, np.uint8), format="rgb24")
            container.mux(picture.encode(frame))
        container.mux(picture.encode(None))
        if track is not None and sound is not None:
            for at in range(0, len(sound), 1024):
                piece = av.AudioFrame.from_ndarray(sound[None, at : at + 1024], format="fltp", layout="mono")
                piece.sample_rate, piece.pts = RATE, at + round(sound_from * RATE)
                container.mux(track.encode(piece))
            container.mux(track.encode(None))
    return path
