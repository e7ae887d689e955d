"""From bytes to text: byte-order marks, UTF-8, UTF-16, Windows-1252, and the three kinds of line end."""

from __future__ import annotations

import codecs

from pipeline.model import InputError
from pipeline.transcripts.media import looks_binary, looks_like_media

BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
ACCEPTED = (
    "accepted are WebVTT, SubRip, a recogniser's JSON, text with [m:ss] stamps, or a table (CSV, TSV) with "
    "start and text columns"
)


def decode(data: bytes, name: str) -> tuple[str, str | None]:
    """Return the text, its lines ended by ``\\n`` alone, and a warning where the encoding had to be guessed.

    Raise :class:`InputError` where the bytes are no text, or nothing at all.
    """
    if not data.strip():
        raise InputError(name, None, "the file is empty", ACCEPTED)
    if looks_like_media(data):
        raise InputError(name, None, "not a transcript but a recording", ACCEPTED)
    text, warning = _decode_marked(data, name) or _decode_unmarked(data, name)
    if "\0" in text:
        raise InputError(name, None, "not a transcript: it holds NUL characters", ACCEPTED)
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if not text.strip():
        raise InputError(name, None, "the file is empty", ACCEPTED)
    return text, warning


def _decode_marked(data: bytes, name: str) -> tuple[str, str | None] | None:
    for mark, encoding in BYTE_ORDER_MARKS:
        if data.startswith(mark):
            text = data[len(mark) :].decode(encoding, errors="replace")
            broken = text.count("\ufffd")
            if broken > len(text) / 10:
                raise InputError(name, None, f"not a transcript: marked as {encoding}, but is not", ACCEPTED)
            warning = f"{broken} characters are not {encoding} and were left out." if broken else None
            return text.replace("\ufffd", ""), warning
    return None


def _decode_unmarked(data: bytes, name: str) -> tuple[str, str | None]:
    if looks_binary(data):
        raise InputError(name, None, "not a transcript but a binary file", ACCEPTED)
    try:
        return data.decode("utf-8"), None
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        text = data.decode("cp1252", errors="replace").replace("\ufffd", "")
        return text, f"line {line}: not UTF-8, so the file was read as Windows-1252."
