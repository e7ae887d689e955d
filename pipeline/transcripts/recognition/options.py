"""How a recording is recognised: what a user chooses, and what was chosen by measurement."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class SoundOptions:
    """What a user may choose.

    ``model`` is a name or a folder (``None``: the default of :func:`resolve_model`). ``device`` and
    ``compute_type`` are CTranslate2's words. ``threads`` is of the processor, 0 the library's own choice.
    ``cache`` is the folder of what was recognised before; ``None`` the user's cache folder.
    """

    model: str | None = None
    device: str = "auto"
    compute_type: str = "default"
    threads: int = 0
    cache: Path | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """How the recogniser reads a window (the names are faster-whisper's).

    ``prompt`` is text that it is told came before: it goes on in that manner.
    """

    prompt: str
    beam_size: int = 5
    without_timestamps: bool = False
    no_speech_threshold: float = 0.6


MANNER = "Right, eight of these. One, two, three, and four. Five. That's six. Seven, last one, and eight. Good."
"""How a class sounds, for the recogniser to go on from: bare numbers, each a sentence."""

FIRST_LOOK = Reading(MANNER)

SECOND_LOOK = Reading(MANNER, without_timestamps=True, no_speech_threshold=0.9)
"""Over a few seconds that are known to hold speech, read in one piece."""
