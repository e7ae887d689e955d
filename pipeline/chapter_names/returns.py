"""Words that tell of a return: "again", "back to", "round two", "set three"; common practice, no source."""

from __future__ import annotations

import re
from dataclasses import dataclass

_ORDINALS = "second|third|fourth|fifth|last|final|other"
_COUNTS = "two|three|four|five|six|seven|eight|[2-9]"
_RETURN = re.compile(
    r"\b(?:again|back to|back at|back on|once more|one more|same|another|last time|final time|repeat"
    rf"|(?:round|lap|trip|visit|time|go|circuit) (?:{_COUNTS}|for|to)"
    rf"|(?:{_ORDINALS}) (?:round|time|trip|visit|lap|go|set|helping|one)|you know this)\b"
)
_SAME = re.compile(
    rf"\b(?:set (?:{_COUNTS}|to|for)|(?:second|third|fourth|last|final) (?:set|helping)"
    r"|same (?:again|thing|one|move)|new arm|other side|other arm|other leg|swap|switch)\b"
)
# "The same dip, but your legs go long" is another exercise.
_CHANGED = re.compile(r"\bsame (?:\S+ )?but\b")
_NUMBER = re.compile(rf"\b(?:round|set|lap|visit|time|trip) ({_COUNTS})\b|\b(second|third|fourth) round")
_NUMBERS = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "second": 2, "third": 3, "fourth": 4
}  # fmt: skip


@dataclass(frozen=True)
class Turn:
    """What a chapter's first words say: a return to something, the same once more, the number of the round."""

    returns: bool
    same: bool
    number: int | None


def read_turn(head: str) -> Turn:
    """Return what the first words of a chapter (lower case, no punctuation) say of a return."""
    found = _NUMBER.search(head)
    said = (found[1] or found[2]) if found else None
    number = None if said is None else int(said) if said.isdigit() else _NUMBERS[said]
    return Turn(_RETURN.search(_CHANGED.sub("", head)) is not None, _SAME.search(head) is not None, number)
