"""Calls written as words that sound like them: "one, do, three" is put right where the count leaves one number.

A recogniser writes what is common, and "do" is commoner than a bare "two". Whether it was a call is told by what
surrounds it alone: it stands as a sentence by itself, its neighbours in the count are called, and it comes when
the pace of the count has it come. Where any of these is missing, the word stays as it was heard. What is put
right is said in a note, with the word that was heard.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.model import Word
from pipeline.transcripts.counts import CLAUSE_ENDS, LEAD_INS, SENTENCE_ENDS, VALUES, lowered

NUMBERS = {2: "two", 3: "three", 4: "four", 6: "six"}
SOUNDS_LIKE = {"do": 2, "due": 2, "to": 2, "too": 2, "free": 3, "for": 4, "fore": 4, "see": 6, "sea": 6, "sick": 6}
"""Words that the small model wrote for calls of spoken classes (``tests/bench/SOUND.md``), and their spellings."""

NO_SENTENCE = frozenset({"do"})
"""Of these the words that nobody says as a sentence by themselves ("See, it is easier now" somebody may): one
neighbour in the count is enough."""

PAUSE = 0.3
"""Seconds. A silence this long parts a call from other words as a full stop would."""

FARTHEST = 15.0
"""Seconds from a call to the next. Slow reps with their tempo counted aloud take ten."""

MOST_UNEVEN = 2.0
"""Times that one of two gaps between calls may be as long as the other."""


@dataclass(frozen=True, slots=True)
class Correction:
    """A call that was put right: when it was made (in seconds), the word heard, and what is written for it."""

    time: float
    heard: str
    written: str


def put_right(words: Sequence[Word]) -> tuple[list[Word], list[Correction]]:
    """Return the words with misheard calls put right, and what was."""
    kept, corrections = list(words), []
    calls = [_number(word) for word in words]
    for i, word in enumerate(words):
        number = SOUNDS_LIKE.get(_bare(word))
        if number is None or not _stands_alone(words, i) or not _is_due(words, calls, i, number):
            continue
        written = word.text.lower().replace(_bare(word), NUMBERS[number])
        written = written.capitalize() if word.text[0].isupper() else written
        kept[i], calls[i] = replace(word, text=written), number
        corrections.append(Correction(word.start, word.text, written))
    return kept, corrections


def note(corrections: Sequence[Correction]) -> list[str]:
    """Return a sentence for a person that says what was put right, and when it was called; none if nothing was."""
    if not corrections:
        return []
    calls = ", ".join(
        f'"{_plain(one.heard)}" to "{_plain(one.written)}" at {int(one.time) // 60}:{int(one.time) % 60:02}'
        for one in corrections
    )
    return [f"Calls heard as words that sound like them were put right: {calls}."]


def _bare(word: Word) -> str:
    return _plain(word.text)


def _plain(text: str) -> str:
    return lowered(text).strip(SENTENCE_ENDS + CLAUSE_ENDS)


def _stands_alone(words: Sequence[Word], i: int) -> bool:
    ends = SENTENCE_ENDS + CLAUSE_ENDS
    opens = i == 0 or words[i - 1].text[-1] in ends or words[i].start - words[i - 1].end >= PAUSE
    closes = i + 1 == len(words) or words[i].text[-1] in ends or words[i + 1].start - words[i].end >= PAUSE
    return closes and (opens or _bare(words[i - 1]) in LEAD_INS)


def _is_due(words: Sequence[Word], calls: Sequence[int | None], i: int, number: int) -> bool:
    """Tell whether its neighbours in the count are called about as long before and after, and it is not itself."""
    here = words[i].start
    near = [(words[j].start - here, call) for j, call in enumerate(calls) if abs(words[j].start - here) <= FARTHEST]
    alone = _bare(words[i]) in NO_SENTENCE
    if not alone and any(call == number and abs(away) <= FARTHEST / 2 for away, call in near):
        return False
    for step in (1, -1):
        before = [-away for away, call in near if call == number - step and away < 0]
        after = [away for away, call in near if call == number + step and away > 0]
        if alone and (before or after):
            return True
        if any(max(a, b) <= MOST_UNEVEN * min(a, b) for a in before for b in after):
            return True
    return False


def _number(word: Word) -> int | None:
    bare = _bare(word)
    return int(bare) if bare.isdecimal() else VALUES.get(bare)
