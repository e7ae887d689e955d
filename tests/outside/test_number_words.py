"""Spelled-out numbers mean to Repslate what they mean to text2num, a library that reads numbers in words.

text2num reads "one hundred five" and "one hundred and five", and tens with a hyphen or a blank; so must we.
It also reads numbers digit by digit ("zero five") and by hundreds over ten ("fourteen hundred"), which no
one counts reps by: there we give no number, and where either gives none there is nothing to compare.
"""

from __future__ import annotations

from itertools import product

import pytest
from text_to_num import text2num

from pipeline.mentions.numbers import TENS, UNITS, word_value

SMALL = {value: name for name, value in UNITS.items()}
TEN = {value: name for name, value in TENS.items()}


def below_hundred(n: int, joint: str) -> str:
    if n < 20:
        return SMALL[n]
    return TEN[n - n % 10] + (joint + SMALL[n % 10] if n % 10 else "")


def spelled(n: int, joint: str, link: str) -> str:
    """Spell 0 to 999; ``joint`` stands within tens and units, ``link`` after the hundreds."""
    if n < 100:
        return below_hundred(n, joint)
    rest = f"{link}{below_hundred(n % 100, joint)}" if n % 100 else ""
    return f"{SMALL[n // 100]} hundred{rest}"


def by_text2num(words: str) -> int | None:
    try:
        return int(text2num(words, "en"))
    except ValueError:
        return None


@pytest.mark.parametrize("joint", ["-", " "])
@pytest.mark.parametrize("link", [" ", " and "])
def test_every_number_to_999_is_read_as_text2num_reads_it(joint: str, link: str) -> None:
    names = [spelled(n, joint, link) for n in range(1000)]
    assert [word_value(name) for name in names] == [by_text2num(name) for name in names] == list(range(1000))


def test_rows_of_number_words_that_both_read_have_one_value() -> None:
    """Rows that begin with zero are left out: "zero hundred" is no number, and the two differ on it."""
    words = [*UNITS, *TENS, "hundred", "and"]
    rows = [" ".join(row) for length in (1, 2, 3) for row in product(words, repeat=length) if row[0] != "zero"]
    both = [(row, ours, theirs) for row in rows if (ours := word_value(row)) is not None
            and (theirs := by_text2num(row)) is not None]  # fmt: skip
    assert len(both) > 400
    assert [(row, ours) for row, ours, _ in both] == [(row, theirs) for row, _, theirs in both]


@pytest.mark.parametrize("words", ["three four", "twenty eleven", "forty thirty", "one more", "tenth", "ready", ""])
def test_words_that_make_no_single_number_have_no_value(words: str) -> None:
    assert word_value(words) is None
    assert by_text2num(words) is None
