"""What a speech recogniser does to the words: lost words and counts, split, joined and sound-alike words.

Tags stay right. A number that is lost just vanishes; the lines that a set or chapter starts and ends with, the
last call of a set, which says how many were done, and the lines that a finding rests on keep their numbers, so the
gold still says what the words tell.
"""

from __future__ import annotations

import random
import re
from dataclasses import dataclass, replace

from tests.bench.generator.speech import BARE_NUMBER, NUMBER_OF, Line, Row, Token, bare, offset

#: Roles of the numbers that call a set's reps.
CALLED = frozenset({"rep", "left"})
#: A split that would make more words a second than this is left whole.
MOST_WORDS_A_SECOND = 4.5
SOUND_ALIKE = {
    "one": ["won"],
    "two": ["to", "too"],
    "four": ["for"],
    "eight": ["ate"],
    "ten": ["tan"],
    "six": ["sicks"],
    "five": ["fife"],
    "for": ["four"],
    "to": ["two", "too"],
    "too": ["two"],
    "curl": ["girl"],
    "curls": ["girls"],
    "raise": ["race"],
    "raises": ["races"],
    "fly": ["flight"],
    "lunge": ["lunch"],
    "lunges": ["lunches"],
    "row": ["roe"],
    "rows": ["rose"],
    "squat": ["squad"],
    "squats": ["squads"],
    "plank": ["blank"],
    "plié": ["plea", "plie"],
    "triceps": ["try steps"],
    "toe": ["tow"],
    "heel": ["heal"],
    "knees": ["niece"],
    "breathe": ["breath"],
    "lateral": ["ladder all"],
    "hinge": ["hinch"],
    "press": ["dress"],
    "down": ["town"],
    "core": ["corps"],
}
SPLITS = {
    "halfway": "half way",
    "dumbbell": "dumb bell",
    "dumbbells": "dumb bells",
    "kettlebell": "kettle bell",
    "barbell": "bar bell",
    "overhead": "over head",
    "forearm": "fore arm",
    "everyone": "every one",
    "everybody": "every body",
    "alright": "all right",
    "into": "in to",
    "onto": "on to",
    "another": "an other",
}
JOINS = {
    ("a", "lot"): "alot",
    ("going", "to"): "gonna",
    ("want", "to"): "wanna",
    ("kind", "of"): "kinda",
    ("come", "on"): "cmon",
    ("give", "me"): "gimme",
}


@dataclass(frozen=True)
class Noise:
    """How often each error happens, from 0 to 1: a word, a mark, a pair of words, a counted number."""

    dropped_word: float = 0.0
    lost_punctuation: float = 0.0
    split: float = 0.0
    merged: float = 0.0
    sound_alike: float = 0.0
    missing_count: float = 0.0

    @classmethod
    def usual(cls, share: float = 1.0) -> Noise:
        """Return a share of what a middling recogniser does over music (judgement, no source).

        Measured for scale (``tests/bench/SOUND.md``): of a synthesiser's voice over music a small model misses 0.02 of
        the called reps and 0.05 of the words; these rates miss 0.04 and change 0.03.
        """
        return cls(0.015 * share, 0.2 * share, 0.3 * share, 0.1 * share, 0.06 * share, 0.04 * share)


def disturb(rows: list[Row], noise: Noise, rng: random.Random) -> list[Row]:
    """Return the rows as a recogniser with these errors would have heard them."""
    if noise == Noise():
        return rows
    last_calls = _last_calls(rows)
    out: list[Row] = []
    for k, row in enumerate(rows):
        if isinstance(row, str):
            out.append(row)
            continue
        edge = k == 0 or isinstance(rows[k - 1], str) or k + 1 == len(rows) or isinstance(rows[k + 1], str)
        for part in _drop(row, noise, rng, keep=edge or row.firm or k in last_calls):
            heard = tuple(_join([t for token in part.tokens for t in _mishear(token, noise, rng)], noise, rng))
            fits = len(heard) <= MOST_WORDS_A_SECOND * (part.end - part.start - 0.15)
            out.append(replace(part, tokens=heard if fits else part.tokens))
    return out


def _last_calls(rows: list[Row]) -> set[int]:
    """Return which rows are the last of their set that call a rep, or what is left."""
    found: set[int] = set()
    last: int | None = None
    for k, row in enumerate(rows):
        if isinstance(row, Line):
            last = k if any(token.role in CALLED for token in row.tokens) else last
        elif row == "<" and last is not None:
            found.add(last)
            last = None
    return found


def _drop(line: Line, noise: Noise, rng: random.Random, keep: bool) -> list[Line]:
    """Return the line without the words that were lost, in pieces that keep the others where they were."""
    runs: list[list[int]] = [[]]
    for k, token in enumerate(line.tokens):
        counted = token.role in CALLED
        lost = rng.random() < (noise.missing_count if counted else noise.dropped_word)
        spared = (keep and token.role) or (token.role and not counted) or bare(token.text) == "no"
        if lost and not spared and (not keep or len(line.tokens) - k + len(runs[-1]) > 1):
            if counted:
                runs.append([])
        else:
            runs[-1].append(k)
    if len(runs) == 1:
        return [replace(line, tokens=tuple(line.tokens[k] for k in runs[0]))] if runs[0] else []
    span = line.end - line.start
    pieces = []
    for run in filter(None, runs):
        start = line.start + span * offset(line.tokens, run[0])
        end = line.start + span * offset(line.tokens, run[-1] + 1)
        pieces.append(replace(line, start=start, end=end, tokens=tuple(line.tokens[k] for k in run)))
    return pieces


def _mishear(token: Token, noise: Noise, rng: random.Random) -> list[Token]:
    word = bare(token.text)
    if word in SPLITS and token.role in {None, "half"} and rng.random() < noise.split:
        first, *others = re.sub(re.escape(word), SPLITS[word], token.text.lower()).split()
        return [replace(token, text=first), *(_plain(text) for text in others)]
    if "-" in token.text and token.role in {None, "other"} and not any(c.isdigit() for c in token.text):
        pieces = token.text.split("-")
        number = all(bare(piece) in NUMBER_OF for piece in pieces)
        if all(pieces) and not number and rng.random() < noise.split:
            return [
                replace(token, text=pieces[0]) if token.role else _plain(pieces[0]),
                *(_plain(text) for text in pieces[1:]),
            ]
    if word in SOUND_ALIKE and rng.random() < noise.sound_alike:
        heard = rng.choice(SOUND_ALIKE[word])
        first, *others = re.sub(re.escape(word), heard, token.text.lower()).split()
        new = replace(token, text=first) if token.role else _plain(first)
        return [new, *(_plain(text) for text in others)]
    if rng.random() < noise.lost_punctuation:
        stripped = token.text.rstrip(".,!?;:")
        return [replace(token, text=stripped or token.text)]
    return [token]


def _plain(text: str) -> Token:
    word = bare(text)
    number = BARE_NUMBER.fullmatch(word) or (word in NUMBER_OF and word != "one")
    return Token(text, "other") if number else Token(text)


def _join(tokens: list[Token], noise: Noise, rng: random.Random) -> list[Token]:
    out: list[Token] = []
    for token in tokens:
        pair = (bare(out[-1].text), bare(token.text)) if out else None
        if pair in JOINS and out[-1].role is None and token.role is None and rng.random() < noise.merged:
            out[-1] = Token(JOINS[pair] + token.text[len(bare(token.text)) :])
        else:
            out.append(token)
    return out
