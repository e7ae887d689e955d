"""What may stand in each field of an exercise, and what to say where it does not."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

COLUMNS = (
    *("id", "name", "other_names", "pattern", "prime_movers", "helpers", "joint_actions", "equipment", "position"),
    *("sides", "unit", "seconds_low", "seconds_high", "easier", "harder", "caution"),
)
OPTIONAL_COLUMNS = ("told_apart_by", "activity_codes")
MAY_BE_EMPTY = {"other_names", "helpers", "joint_actions", "easier", "harder", "caution", *OPTIONAL_COLUMNS}
LISTS = {
    *("other_names", "pattern", "prime_movers", "helpers", "joint_actions", "equipment", "position"),
    *("easier", "harder", "activity_codes"),
}
CLOSED = {
    "pattern": "patterns",
    "prime_movers": "muscles",
    "helpers": "muscles",
    "joint_actions": "joint_actions",
    "equipment": "equipment",
    "position": "positions",
    "activity_codes": "activities",
}
CHOICES = {"sides": ("yes", "no", "alternating"), "unit": ("reps", "seconds", "breaths")}
LONGEST_SECONDS = 600.0
"""No single rep or hold of a class is longer, in seconds; a bigger figure is a slip of the key."""


def fault(field: str, cell: str, vocabulary: Mapping[str, tuple[str, ...]]) -> tuple[str, str]:
    """Return (what is wrong, what would be accepted) of one cell, or two empty strings."""
    if field == "id" and not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", cell):
        return f"{cell!r} is no id", "small letters, digits and single hyphens, such as goblet-squat"
    if field in CLOSED and cell not in vocabulary.get(CLOSED[field], ()):
        accepted = vocabulary.get(CLOSED[field], ())
        return f"{cell!r} is not in the list {CLOSED[field]} of {_file_of(CLOSED[field])}", one_of(cell, accepted)
    if field in CHOICES and cell not in CHOICES[field]:
        return f"{cell!r} is not known", one_of(cell, CHOICES[field])
    if field in {"seconds_low", "seconds_high"} and not _is_seconds(cell):
        return (
            f"{cell!r} is no number of seconds",
            f"a number above 0 and up to {LONGEST_SECONDS:g}, such as 2.5",
        )
    return "", ""


def _file_of(group: str) -> str:
    return "activities.yaml" if group == "activities" else "vocabulary.yaml"


def mended(field: str, cell: str) -> str:
    """Return a cell without what spreadsheets do to figures: a decimal comma, a code that lost its leading zeros."""
    if field in {"seconds_low", "seconds_high"}:
        return cell.replace(",", ".")
    return cell.zfill(5) if field == "activity_codes" and cell.isdigit() else cell


def cells_of(raw: Any) -> tuple[str, ...]:
    """Return the parts of a list cell: text with semicolons, or a YAML list."""
    parts = raw if isinstance(raw, list) else text_of(raw).split(";")
    return tuple(filter(None, (text_of(part) for part in parts)))


def text_of(raw: Any) -> str:
    """Return a cell as text. YAML reads a bare yes and no as true and false, and figures as numbers."""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    return "" if raw is None else " ".join(str(raw).split())


def _is_seconds(cell: str) -> bool:
    try:
        return 0 < float(cell) <= LONGEST_SECONDS
    except ValueError:
        return False


def wanted(field: str) -> str:
    """Return what an empty field should hold."""
    if field in CHOICES:
        return one_of("", CHOICES[field])
    if field in CLOSED:
        return f"at least one word of the list {CLOSED[field]} in vocabulary.yaml"
    return "a number of seconds" if field.startswith("seconds") else "fill it in"


def one_of(word: str, accepted: Iterable[str]) -> str:
    """Return what would be accepted in a few words: the nearest ones, or all of a short list."""
    from difflib import get_close_matches

    words: Sequence[str] = list(accepted)
    near = get_close_matches(word, words, n=3, cutoff=0.7)
    if near:
        return f"did you mean {' or '.join(repr(one) for one in near)}?"
    if len(words) <= 20:
        return f"accepted: {', '.join(words)}"
    return f"accepted: {', '.join(words[:8])} … ({len(words)} in all)"
