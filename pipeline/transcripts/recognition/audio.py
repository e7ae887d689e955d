"""Decoding: any recording that PyAV opens, as a stream of blocks of 16 kHz mono sound on its own clock."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.model import InputError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RATE = 16_000
"""Samples a second: what both the voice activity detector and the recogniser were trained on."""

REMEDY = "accepted is any audio or video with a sound track that FFmpeg can decode, such as .mp4, .m4a or .wav"

LEAST_GAP = 0.1
"""Seconds. Packets are stamped to within some hundredths; where more is missing, sound was lost, and silence
is put in its place, so that what follows keeps its time."""

LONGEST_GAP = 600.0
"""Seconds. A stamp that leaps farther than this is a broken stamp, not ten minutes of lost sound."""

LEAST_SHORTFALL = 2.0
"""Seconds. A container's length is rounded, and often the picture's; more than this missing is said."""


@dataclass(slots=True)
class Recording:
    """An opened recording. ``length`` is in seconds, 0 where the container does not say.

    ``decoded`` is how many seconds :meth:`blocks` has given so far, ``warnings`` what was amiss in them.
    """

    path: Path
    length: float
    decoded: float = 0.0
    warnings: list[str] = field(default_factory=list)

    def blocks(self, samples: int) -> Iterator[NDArray[np.float32]]:
        """Give the sound in blocks of so many samples, from -1 to 1; the last may be shorter.

        Time 0 is where the container's own clock starts, so that sound that sets in after the picture keeps
        its place. Raises :class:`InputError` where nothing at all can be decoded.
        """
        import numpy as np

        waiting: list[NDArray[np.float32]] = []
        held = 0
        for piece in _decode(self):
            waiting.append(piece)
            held += len(piece)
            self.decoded += len(piece) / RATE
            while held >= samples:
                joined = np.concatenate(waiting)
                yield joined[:samples]
                waiting, held = [joined[samples:]], held - samples
        if held:
            yield np.concatenate(waiting)
        if not self.decoded:
            raise InputError(self.path.name, None, "its sound track is empty or cannot be decoded", REMEDY)
        if self.length - self.decoded > LEAST_SHORTFALL:
            self.warnings.append(
                f"The sound ends at {self.decoded:.0f} s, although the recording is said to last "
                f"{self.length:.0f} s: it may be cut off or damaged."
            )


def open_recording(path: Path) -> Recording:
    """Look into a file; raise :class:`InputError` where it is no recording or has no sound track."""
    import av

    try:
        empty = path.stat().st_size == 0
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(str(path), None, f"cannot be read ({reason})", "give the path of a file") from error
    if empty:
        raise InputError(path.name, None, "the file is empty", REMEDY)
    try:
        with av.open(str(path), metadata_errors="ignore") as container:
            if not container.streams.audio:
                raise InputError(path.name, None, "has no sound track", REMEDY)
            length = (container.duration or 0) / av.time_base
    except (av.FFmpegError, OSError, ValueError) as error:
        problem = f"cannot be opened as a recording ({_reason(error)})"
        raise InputError(path.name, None, problem, REMEDY) from error
    return Recording(path, max(0.0, length))


def _decode(recording: Recording) -> Iterator[NDArray[np.float32]]:
    """Give decoded and resampled pieces; leave out what is damaged, and put silence where time is missing."""
    import av

    damaged = 0
    written = 0
    with av.open(str(recording.path), metadata_errors="ignore") as container:
        stream = container.streams.audio[0]
        begin = (container.start_time or 0) / av.time_base
        resampler = av.AudioResampler(format="flt", layout="mono", rate=RATE)
        frames = container.decode(stream)
        while True:
            try:
                frame = next(frames, None)
            except (av.FFmpegError, ValueError) as error:
                damaged += 1
                if not isinstance(error, av.InvalidDataError):
                    break
                continue
            if frame is None:
                break
            if frame.time is not None:
                gap = frame.time - begin - written / RATE
                if LEAST_GAP < gap < LONGEST_GAP:
                    yield from (silence := _silence(gap))
                    written += sum(map(len, silence))
            frame.pts = None
            for piece in _resample(resampler, frame):
                written += len(piece)
                yield piece
        yield from _resample(resampler, None)
    if damaged:
        recording.warnings.append(f"Parts of the sound are damaged and were left out: {damaged}.")


def _resample(resampler: Any, frame: Any) -> list[NDArray[np.float32]]:
    import av

    with suppress(av.FFmpegError, ValueError):
        return [out.to_ndarray().reshape(-1) for out in resampler.resample(frame)]
    return []


def _silence(seconds: float) -> list[NDArray[np.float32]]:
    """Return silence a second apiece, so that a long gap takes no more memory at once than sound does."""
    import numpy as np

    samples = int(seconds * RATE)
    return [np.zeros(min(RATE, samples - at), np.float32) for at in range(0, samples, RATE)]


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error)).strip().rstrip(".")
