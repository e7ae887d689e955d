"""Which of many names share most of their sounds with what was heard: a quick look, before they are compared."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pipeline.mentions.sounds import consonants, skeleton

if TYPE_CHECKING:
    from pipeline.mentions.mishearing import Array

PARTS = (3, 2)
"""Two names share sounds that have so many in a row alike, and so many consonants."""
SHORTLIST = 200
"""How many names are left to be compared: those that share the largest part of their sounds, and of those heard."""


class SharedSounds:
    """The parts of many strings of sounds, each with the strings that hold it."""

    def __init__(self, sounds: Sequence[str]) -> None:
        import numpy as np

        self._lengths = np.array([len(one) for one in sounds], dtype=np.intp)
        self._sharing = _sharing(sounds)

    def most(self, sound: str) -> list[int]:
        """Return the strings, by their indices, that share most of their sounds, and of those heard; the most first."""
        import numpy as np

        parts = [self._sharing[part] for part in set(_parts(sound)) if part in self._sharing]
        if not parts:
            return []
        shared = np.bincount(np.concatenate(parts), minlength=len(self._lengths)) / (self._lengths + len(sound))
        most = np.argpartition(-shared, min(SHORTLIST, len(shared) - 1))[:SHORTLIST]
        found: list[int] = most[np.lexsort((most, -shared[most]))].tolist()
        return found


def _parts(sound: str) -> list[str]:
    """Return three sounds in a row, vowels made equal, and two consonants in a row, with the edges as sounds."""
    return [
        text[at : at + length]
        for text, length in zip(_with_edges(sound), PARTS, strict=True)
        for at in range(len(text) - length + 1)
    ]


def _with_edges(sound: str) -> tuple[str, str]:
    return f"^{skeleton(sound)}$", f"^{consonants(sound)}$"


def _sharing(sounds: Sequence[str]) -> dict[str, Array]:
    """Return for each part, as :func:`_parts` gives them, the strings of sounds that hold it, by their indices."""
    import numpy as np

    found: dict[str, Array] = {}
    for texts, length in zip(zip(*map(_with_edges, sounds), strict=True), PARTS, strict=True):
        longest = max(map(len, texts))
        letters = np.frombuffer(
            "".join([text.ljust(longest, "\0") for text in texts]).encode("ascii", "replace"), dtype=np.uint8
        )
        windows = np.lib.stride_tricks.sliding_window_view(letters.reshape(len(texts), longest), length, axis=1)
        code = windows.astype(np.int64) @ (256 ** np.arange(length)[::-1])
        owner, _ = np.nonzero(windows[:, :, -1])
        pairs = np.sort(code[windows[:, :, -1] != 0] * len(texts) + owner)
        pairs = pairs[np.diff(pairs, prepend=-1) != 0]
        codes = pairs // len(texts)
        first = np.flatnonzero(np.diff(codes, prepend=-1))
        parts = [code.to_bytes(length, "big").decode("ascii") for code in codes[first].tolist()]
        found |= dict(zip(parts, np.split(pairs % len(texts), first[1:]), strict=True))
    return found
