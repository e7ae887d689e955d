"""What was recognised before: kept by content and settings, window by window, in the user's cache folder.

A recording's file is JSON Lines: a line a window as soon as it is recognised, and a last line once all are.
A run that is stopped leaves the lines it came to, and the next one goes on after them.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from pipeline.model import Word

FORM = 4
"""Of the files and of the way to recognise: another number, and what older versions kept is recognised anew."""

ENDING, UNFINISHED = ".words.jsonl", ".part.jsonl"
CHUNK = 1 << 20


def cache_folder(chosen: Path | None = None) -> Path:
    """Return the folder that recognised words are kept in: the one chosen, or the user's."""
    from platformdirs import user_cache_path

    return chosen if chosen is not None else user_cache_path("repslate") / "recognition"


def clear_cache(chosen: Path | None = None) -> int:
    """Delete all that is kept; return how many recordings it was of."""
    cleared = set()
    for path in sorted(cache_folder(chosen).glob("*.jsonl")):
        if path.name.endswith((ENDING, UNFINISHED)):
            path.unlink(missing_ok=True)
            cleared.add(path.name.split("-")[0])
    return len(cleared)


def content_key(path: Path, settings: Mapping[str, Any]) -> str:
    """Return what stands for a file's bytes, a hyphen, and what for the settings (values that JSON can hold)."""
    content = hashlib.blake2b(digest_size=20)
    with path.open("rb") as file:
        while chunk := file.read(CHUNK):
            content.update(chunk)
    how = hashlib.blake2b(json.dumps({"form": FORM, **settings}, sort_keys=True).encode(), digest_size=12)
    return f"{content.hexdigest()}-{how.hexdigest()}"


class Store:
    """The kept words of one recording.

    A folder that cannot be written to keeps nothing; recognising works all the same.
    """

    def __init__(self, folder: Path, key: str) -> None:
        self._done, self._part = folder / f"{key}{ENDING}", folder / f"{key}{UNFINISHED}"
        self.finished: dict[str, Any] | None = None
        self._windows: dict[str, list[Word]] = {}
        lines = _read_lines(self._done)
        if lines and "finished" in lines[-1]:
            self.finished = lines.pop()["finished"]
        else:
            lines = _read_lines(self._part)
            self._start_part(lines)
        for line in lines:
            self._windows[line["window"]] = [
                Word(text, start, end, probability=chance) for text, start, end, chance in line["words"]
            ]

    @property
    def windows(self) -> list[list[Word]]:
        """The words of every window kept, in the order in which they were recognised."""
        return list(self._windows.values())

    def get(self, start: float, end: float) -> list[Word] | None:
        """Return the words kept of a window, or ``None``; times are seconds of the recording."""
        return self._windows.get(_name(start, end))

    def add(self, start: float, end: float, words: Sequence[Word]) -> None:
        """Keep the words of a window."""
        kept = [[word.text, word.start, word.end, word.probability] for word in words]
        self._windows[_name(start, end)] = list(words)
        self._append({"window": _name(start, end), "words": kept})

    def finish(self, about: dict[str, Any]) -> None:
        """Keep what there is to say of the whole recording: from now on it need not be opened again."""
        self.finished = about
        self._append({"finished": about})
        with suppress(OSError):
            os.replace(self._part, self._done)

    def _start_part(self, lines: list[dict[str, Any]]) -> None:
        """Leave only whole lines in the unfinished file, as a kill may have broken off the last."""
        with suppress(OSError):
            self._part.parent.mkdir(parents=True, exist_ok=True)
            if not self._part.exists() and not lines:
                return
            staging = self._part.with_suffix(f".{os.getpid()}.tmp")
            staging.write_text("".join(f"{json.dumps(line)}\n" for line in lines), "utf-8")
            os.replace(staging, self._part)

    def _append(self, line: dict[str, Any]) -> None:
        with suppress(OSError), self._part.open("a", encoding="utf-8") as file:
            file.write(f"{json.dumps(line)}\n")


def _read_lines(path: Path) -> list[dict[str, Any]]:
    """Return the whole lines of a file up to the first that is none; nothing where there is no such file."""
    lines: list[dict[str, Any]] = []
    with suppress(OSError, UnicodeDecodeError):
        for text in path.read_text("utf-8").splitlines(keepends=True):
            try:
                line: Any = json.loads(text) if text.endswith("\n") else None
            except json.JSONDecodeError:
                break
            if not _is_whole(line):
                break
            lines.append(line)
    return lines


def _is_whole(line: Any) -> bool:
    """Tell a line that this module wrote from one that somebody, or a failing disk, has changed."""
    if not isinstance(line, dict):
        return False
    if "finished" in line:
        about = line["finished"]
        return isinstance(about, dict) and {"duration", "warnings"} <= about.keys()
    words = line.get("words")
    return (
        isinstance(line.get("window"), str)
        and isinstance(words, list)
        and all(isinstance(word, list) and list(map(type, word)) == [str, float, float, float] for word in words)
    )


def _name(start: float, end: float) -> str:
    return f"{start:.3f}-{end:.3f}"
