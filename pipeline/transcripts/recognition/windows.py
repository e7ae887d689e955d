"""Windows: what is recognised at once, put together of stretches of speech without the silences between.

The recogniser takes 30 s at a time whatever it is given, and loses its place over long silences. So a window
is as many stretches as fit; the padding on both sides of each keeps the pause between two of them heard.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.speech import LONGEST, Heard, Stretch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of speech as it lies in a window, from ``at`` seconds after the window's start."""

    at: float
    stretch: Stretch

    @property
    def voice(self) -> tuple[float, float]:
        """From when to when its voice is heard, in seconds from the window's start."""
        shift = self.at - self.stretch.start
        return self.stretch.voice_start + shift, self.stretch.voice_end + shift


@dataclass(frozen=True, slots=True)
class Window:
    """Sound to be recognised at once, and what it was put together from."""

    samples: NDArray[np.float32]
    parts: tuple[Part, ...]

    @property
    def start(self) -> float:
        """Where it begins in the recording, in seconds."""
        return self.parts[0].stretch.start

    @property
    def end(self) -> float:
        """Where it ends in the recording, in seconds."""
        return self.parts[-1].stretch.end


Cut = tuple[Stretch, "NDArray[np.float32]"]
"""A stretch of speech and its sound."""


def pack(heard: Iterable[Heard]) -> Iterator[Window]:
    """Give windows as soon as each is full, in order of time."""
    return fill(cut(heard))


def cut(heard: Iterable[Heard]) -> Iterator[Cut]:
    """Give each stretch with its sound, as soon as it is over."""
    buffer = _Buffer()
    for block in heard:
        buffer.add(block)
        for stretch in block.ended:
            yield stretch, buffer.cut(stretch)
        buffer.forget(block.keep_from)


def fill(stretches: Iterable[Cut]) -> Iterator[Window]:
    """Give windows of at most :data:`~speech.LONGEST` seconds, each as full as the next stretch lets it be."""
    waiting: list[Cut] = []
    held = 0.0
    for stretch, samples in stretches:
        length = stretch.end - stretch.start
        if waiting and held + length > LONGEST:
            yield _join(waiting)
            waiting, held = [], 0.0
        waiting.append((stretch, samples))
        held += length
    if waiting:
        yield _join(waiting)


class _Buffer:
    """The sound of late, as long as a stretch in it may not be over."""

    def __init__(self) -> None:
        import numpy as np

        self._start = 0
        self._sound: NDArray[np.float32] = np.zeros(0, np.float32)

    def add(self, block: Heard) -> None:
        import numpy as np

        if not len(self._sound):
            self._start = block.start
        self._sound = np.concatenate([self._sound, block.samples])

    def cut(self, stretch: Stretch) -> NDArray[np.float32]:
        first, stop = (round(seconds * RATE) - self._start for seconds in (stretch.start, stretch.end))
        return self._sound[max(0, first) : max(0, stop)].copy()

    def forget(self, seconds: float) -> None:
        """Let go of the sound before; the rest is copied, as a part of an array keeps the whole of it in memory."""
        gone = min(len(self._sound), max(0, round(seconds * RATE) - self._start))
        self._start += gone
        self._sound = self._sound[gone:].copy()


def _join(pieces: Sequence[Cut]) -> Window:
    import numpy as np

    parts, at = [], 0
    for stretch, samples in pieces:
        parts.append(Part(at / RATE, stretch))
        at += len(samples)
    return Window(np.concatenate([samples for _, samples in pieces]), tuple(parts))
