"""Voice activity: where somebody speaks, told from a stream of sound by faster-whisper's own detector.

A class is short calls between long silences, often over music; what the numbers below come to on such classes
is in ``tests/bench/SOUND.md``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pipeline.transcripts.recognition.audio import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FRAME = 512
"""Samples that the detector judges at a time (Silero VAD at 16 kHz)."""

BLOCK = 1000 * FRAME
"""Samples: 32 s, about what the recogniser hears at once."""

LEAD_IN = 125 * FRAME
"""Samples: 4 s heard again before each block, as the detector begins each call with no memory."""

SPEECH = 0.5
STILL_SPEECH = 0.35
"""Probabilities: speech sets in at the first, and is over once the detector stays below the second."""

LEAST_SILENCE = 0.5
"""Seconds. A shorter silence parts nothing: it is the breath within a sentence."""

PADDING = 0.4
"""Seconds kept around speech, no more than :data:`LEAST_SILENCE`. The detector cuts a soft first or last
consonant ("six", "eight"), and the recogniser writes punctuation by the pauses."""

LONGEST = 28.0
"""Seconds. Unbroken speech is cut at its weakest moment before this, as the recogniser hears 30 s at once."""

CUT_FROM = 14.0
"""Seconds of a stretch before which it is not cut."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of speech with its padding, and where in it the voice is heard, in seconds."""

    start: float
    voice_start: float
    voice_end: float
    end: float


@dataclass(frozen=True, slots=True)
class Heard:
    """A block of sound, ``start`` in samples, and the stretches of speech that ended in it.

    Sound before ``keep_from`` seconds belongs to no stretch that is still to end.
    """

    start: int
    samples: NDArray[np.float32]
    ended: tuple[Stretch, ...]
    keep_from: float


def listen(blocks: Iterable[NDArray[np.float32]]) -> Iterator[Heard]:
    """Find the stretches of speech in blocks of :data:`BLOCK` samples, the last of which may be shorter."""
    import numpy as np
    from faster_whisper.vad import get_vad_model

    detector = get_vad_model()
    finder = _Finder()
    before, at = np.zeros(0, np.float32), 0
    for block in blocks:
        sound = np.concatenate([before, block, np.zeros(-len(block) % FRAME, np.float32)])
        chances = detector(sound).reshape(-1)[len(before) // FRAME :]
        ended = [stretch for chance in chances if (stretch := finder.hear(float(chance))) is not None]
        length = at + len(block)
        if len(block) < BLOCK:
            ended += finder.finish(length / RATE)
        yield Heard(at, block, tuple(ended), finder.keep_from())
        before, at = block[-LEAD_IN:], length
    # Where the sound ended with a whole block, what it cut off is still to be told.
    yield Heard(at, np.zeros(0, np.float32), tuple(finder.finish(at / RATE)), at / RATE)


class _Finder:
    """Takes the detector's probabilities frame by frame and gives each stretch once it is over."""

    def __init__(self) -> None:
        self._frames = 0
        self._chances: list[float] = []
        self._quiet = 0
        self._over = 0.0

    def hear(self, chance: float) -> Stretch | None:
        """Take the next frame's probability; return the stretch that it brings to an end."""
        self._frames += 1
        if not self._chances and chance < SPEECH:
            return None
        self._chances.append(chance)
        speaks = chance >= SPEECH or (chance >= STILL_SPEECH and not self._quiet)
        self._quiet = 0 if speaks else self._quiet + 1
        if _seconds(self._quiet) >= LEAST_SILENCE:
            return self._end(len(self._chances) - self._quiet, len(self._chances))
        if _seconds(len(self._chances)) + 2 * PADDING >= LONGEST:
            earliest = int(CUT_FROM * RATE / FRAME)
            weakest = min(range(earliest, len(self._chances)), key=self._chances.__getitem__)
            return self._end(weakest, weakest, padding=0.0)
        return None

    def finish(self, length: float) -> list[Stretch]:
        """Return the stretch that the end of the recording (at ``length`` seconds) cuts off, if one does."""
        if not self._chances:
            return []
        last = self._end(len(self._chances) - self._quiet, len(self._chances))
        voice_end = min(length, last.voice_end)
        return [Stretch(last.start, last.voice_start, voice_end, min(length, last.end))]

    def keep_from(self) -> float:
        """Return the moment before which no sound is asked for any more, in seconds."""
        return max(self._over, _seconds(self._frames - len(self._chances)) - PADDING)

    def _end(self, voiced: int, taken: int, padding: float = PADDING) -> Stretch:
        """End a stretch after so many voiced frames; the frames after those taken begin the next."""
        voice_start = _seconds(self._frames - len(self._chances))
        voice_end = voice_start + _seconds(voiced)
        stretch = Stretch(max(self._over, voice_start - PADDING), voice_start, voice_end, voice_end + padding)
        self._chances = self._chances[taken:]
        self._over = stretch.end
        return stretch


def _seconds(frames: int) -> float:
    return frames * FRAME / RATE
