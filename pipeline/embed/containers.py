"""The two containers that a film is copied into, and how each holds chapters and captions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pipeline.model import InputError


@dataclass(frozen=True, slots=True)
class Container:
    """A container: FFmpeg's name for it, and how it holds captions.

    ``captions`` is the codec of the caption track, ``payload`` makes a caption's bytes of its text, and
    ``keeps`` are the codecs of caption tracks that can be copied into it (``None``: whatever it takes).
    ``starts_at_zero``: all times are moved so that the earliest is not below 0, but not those of chapters.
    ``repeats_times``: two packets of a picture or sound stream may be decoded at one time.
    """

    name: str
    captions: str
    payload: Callable[[str], bytes]
    keeps: frozenset[str] | None
    starts_at_zero: bool
    repeats_times: bool


def _timed_text(text: str) -> bytes:
    """Return a 3GPP timed text sample (3GPP TS 26.245, 5.17): its length in two bytes, and the text."""
    data = text.encode("utf-8", "replace")
    return len(data).to_bytes(2, "big") + data


def _plain_text(text: str) -> bytes:
    """Return a sample of Matroska's ``S_TEXT/UTF8``: the text of a SubRip cue."""
    return text.encode("utf-8", "replace")


MP4 = Container("mp4", "mov_text", _timed_text, frozenset({"mov_text"}), starts_at_zero=False, repeats_times=False)
# ``S_TEXT/UTF8`` is what Matroska players show; FFmpeg would write WebVTT in the older form of WebM.
MATROSKA = Container("matroska", "subrip", _plain_text, None, starts_at_zero=True, repeats_times=True)

BY_ENDING = {".mp4": MP4, ".m4v": MP4, ".mkv": MATROSKA}


def container_of(path: Path) -> Container:
    """Return the container that a file's ending stands for.

    Raises :class:`~pipeline.model.InputError` for an ending of neither.
    """
    try:
        return BY_ENDING[path.suffix.lower()]
    except KeyError:
        problem = "has an ending that stands for neither MP4 nor Matroska"
        raise InputError(str(path), None, problem, f"one of {', '.join(BY_ENDING)}") from None
