"""The registry of readers, and the way from a path to a :class:`Transcript`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pipeline.model import InputError, SourceKind, Transcript
from pipeline.transcripts import recognizer, stamped, subrip, table, webvtt
from pipeline.transcripts.assemble import assemble
from pipeline.transcripts.base import Draft
from pipeline.transcripts.decode import ACCEPTED, decode
from pipeline.transcripts.media import looks_like_media

STANDARD_INPUT = "-"
HEAD = 4096
"""Bytes that tell a recording from a text, so that a film of gigabytes is not read to be refused."""


@dataclass(frozen=True, slots=True)
class Reader:
    """One format: ``matches`` tells it by its content, ``parse`` reads it (recipe: ``base.py``)."""

    matches: Callable[[str], bool]
    parse: Callable[[str, str], Draft]


READERS: dict[SourceKind, Reader] = {
    "webvtt": Reader(webvtt.matches, webvtt.parse),
    "recognizer": Reader(recognizer.matches, recognizer.parse),
    "subrip": Reader(subrip.matches, subrip.parse),
    "table": Reader(table.matches, table.parse),
    "stamped": Reader(stamped.matches, stamped.parse),
}


def read(path: str | Path) -> Transcript:
    """Read a transcript file of any known format; ``"-"`` is standard input.

    Times are seconds from the start of the recording. Raise :class:`InputError` where there is no such file,
    or nothing in it that can be used; what was mended or left out is in ``Transcript.warnings``.
    """
    if str(path) == STANDARD_INPUT:
        return read_bytes(sys.stdin.buffer.read(), STANDARD_INPUT)
    path = Path(path)
    try:
        with path.open("rb") as file:
            head = file.read(HEAD)
            data = head if looks_like_media(head) else head + file.read()
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(str(path), None, f"cannot be read ({reason})", "give the path of a file") from error
    return read_bytes(data, path.name)


def read_bytes(data: bytes, name: str) -> Transcript:
    """Read a transcript from bytes. ``name`` is for ``Source.name`` and messages; nothing is told by it."""
    text, warning = decode(data, name)
    for reader in READERS.values():
        if reader.matches(text):
            return assemble(reader.parse(text, name), name, first_warning=warning)
    raise InputError(name, 1, "no times that belong to words were found", ACCEPTED)
