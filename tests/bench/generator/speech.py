"""Words with number tags, the lines that they are spoken in, and the stage on which a script is written.

A line's words share its span by their length, as ``tests/bench/compile.py`` lays them out; that is what lets
a line be placed so that the number in it falls on the rep.
"""

from __future__ import annotations

import random
import re
from dataclasses import dataclass, replace
from itertools import pairwise

from tests.bench.generator.phrases import SMALL, TENS, Slots, expand, phrases

TAGGED = re.compile(r"\{(?P<role>[a-z]+)(?:\s+(?P<n>\d+))?\}\s*(?P<word>\S+)")
BARE_NUMBER = re.compile(
    r"(?:single|half|one|two|three|four|five|six|eight|ten)-.+|both|twice|once|couple|single|pairs?|first|second|third|fourth|"
    r"fifth|sixth|half|halfway|hundred|\d+(?:st|nd|rd|th|s|kg)?"
)
DRESSED = re.compile(r"cue|chat|setup|stop|rest_chat|turn|safety|stretch_out|target_none|absent")
LONGEST_LINE = 13
#: Seconds that even one short word takes.
SHORTEST_LINE = 0.5
#: Compile's own guess at the end of a line that names none: words a second, and the gap before the next line.
DEFAULT_RATE, DEFAULT_GAP = 2.6, 0.15
NUMBER_OF = {word: n for n, word in enumerate(SMALL)} | {word: 10 * n for n, word in enumerate(TENS) if n}


@dataclass(frozen=True)
class Token:
    """A word as written, with the role and number of its tag where it has one."""

    text: str
    role: str | None = None
    n: int | None = None

    def __str__(self) -> str:
        if self.role is None:
            return self.text
        return f"{{{self.role}}}{self.text}" if self.n is None else f"{{{self.role} {self.n}}}{self.text}"


@dataclass(frozen=True)
class Line:
    """One utterance, in seconds. A firm line is evidence for a finding: noise leaves its numbers alone."""

    start: float
    end: float
    tokens: tuple[Token, ...]
    firm: bool = False


Row = Line | str


def bare(text: str) -> str:
    """Return a word in lower case without the punctuation around it."""
    return text.lower().strip(".,!?;:'\"…")


def tokenize(text: str) -> tuple[Token, ...]:
    """Split a tagged text into words; numbers that carry no tag are {other}."""
    tokens: list[Token] = []
    position = 0
    for match in TAGGED.finditer(text):
        tokens += [_untagged(word) for word in text[position : match.start()].split()]
        tokens.append(Token(match["word"], match["role"], int(match["n"]) if match["n"] else None))
        position = match.end()
    return (*tokens, *(_untagged(word) for word in text[position:].split()))


def _untagged(word: str) -> Token:
    known = bare(word)
    number = BARE_NUMBER.fullmatch(known) or (known != "one" and known in NUMBER_OF) or "90/90" in known
    return Token(word, "other") if number else Token(word)


def offset(tokens: tuple[Token, ...], index: int) -> float:
    """Return the share of a line's span that goes by before the word at ``index`` starts."""
    weights = [len(token.text) + 1.5 for token in tokens]
    return sum(weights[:index]) / sum(weights)


@dataclass(frozen=True)
class Style:
    """How the words are written: rough (lower case, no punctuation) or not, and the share of figures."""

    rough: bool
    figures: float


class Stage:
    """Where the script is written: rows in order, the clock in seconds, the phrases lately used."""

    def __init__(self, rng: random.Random, style: Style, rate: float) -> None:
        self.rng, self.style, self.rate = rng, style, rate
        self.rows: list[Row] = []
        self.clock = 0.8 + rng.random()
        self._recent: dict[str, list[str]] = {}
        self._sentence_ended = True
        self._wait: float | None = None

    def phrase(self, act: str, **slots: str | int) -> str:
        """Choose a phrase of an act, not one of those last said, and fill it in."""
        pool = phrases()[act]
        recent = self._recent.setdefault(act, [])
        chosen = self.rng.choice([one for one in pool if one not in recent] or list(pool))
        recent.append(chosen)
        del recent[: max(0, len(recent) - len(pool) // 2)]
        return self._dress(act, expand(chosen, slots, self.rng))

    def act(self, act: str, **slots: str | int) -> None:
        """Say a phrase of an act; `` / `` in it parts two voices."""
        for text in self.phrase(act, **slots).split(" / "):
            self.say(text)

    def wait(self, seconds: float) -> None:
        """Let this much time go by before the next text."""
        self._wait = seconds

    def say(self, text: str) -> None:
        """Say a text after a pause, in lines of caption length."""
        pause = self.rng.uniform(0.35, 1.3) if self._wait is None else self._wait
        self._wait = None
        for tokens in _caption_lengths(self.write(text)):
            start = round(self.clock + pause, 1)
            self.put(Line(start, start + self.duration(tokens), tokens))
            pause = 0.15

    def write(self, text: str) -> tuple[Token, ...]:
        """Tokenize a text in the class's style of writing."""
        tokens = [self._figure(token) for token in tokenize(text)]
        if self.style.rough:
            stripped = [replace(t, text=re.sub(r"[.,!?;:…]", "", t.text).lower()) for t in tokens]
            return tuple(t for t in stripped if t.text)
        if tokens and (self._sentence_ended or self.rng.random() < 0.5):
            tokens[0] = replace(tokens[0], text=tokens[0].text[:1].upper() + tokens[0].text[1:])
        if tokens and tokens[-1].text[-1] not in ".,!?":
            tokens[-1] = replace(tokens[-1], text=tokens[-1].text + self.rng.choice([".", ".", ".", ","]))
        for i in range(1, len(tokens)):
            if tokens[i - 1].text[-1] in ".!?":
                tokens[i] = replace(tokens[i], text=tokens[i].text[:1].upper() + tokens[i].text[1:])
        self._sentence_ended = bool(tokens) and tokens[-1].text[-1] in ".!?"
        return tuple(tokens)

    def duration(self, tokens: tuple[Token, ...]) -> float:
        """Return the seconds that the words take at the presenter's rate."""
        return max(SHORTEST_LINE, len(tokens) / self.rate)

    def put(self, line: Line) -> None:
        """Add a line whose times are fixed; the clock goes to its end."""
        self.rows.append(line)
        self.clock = line.end

    def mark(self, row: str) -> None:
        """Add a structure line, which takes the time of the next spoken line."""
        self.rows.append(row)

    def _dress(self, act: str, text: str) -> str:
        """Put an opener before, or a tail behind, some phrases of talk: nobody says a thing twice alike."""
        if not DRESSED.match(act) or " / " in text:
            return text
        opens = not act.startswith("turn") and text[0].isupper() and text.split()[0].partition("'")[0] != "I"
        if opens and self.rng.random() < 0.16:
            text = f"{self.rng.choice(phrases()['opener'])} {text[0].lower()}{text[1:]}"
        if text[-1] not in "?!" and self.rng.random() < 0.12:
            text = text.rstrip(".") + self.rng.choice(phrases()["tail"])
        return text

    def _figure(self, token: Token) -> Token:
        word = bare(token.text)
        if token.role in {None, "half"} or self.rng.random() >= self.style.figures:
            return token
        value = _value(word)
        if value is None or (token.role == "other" and value < 3):
            return token
        return replace(token, text=re.sub(re.escape(word), str(value), token.text, flags=re.IGNORECASE))


def script_text(header: dict[str, str], rows: list[Row]) -> str:
    """Write the rows as an annotated class script."""
    out = [f"@{key} {value}" for key, value in header.items()]
    lines = [row for row in rows if isinstance(row, Line)]
    following = {id(a): b.start for a, b in pairwise(lines)}
    for row in rows:
        if isinstance(row, str):
            out.append(row)
            continue
        after = following.get(id(row), row.start + 6.0)
        guess = min(
            row.start + max(SHORTEST_LINE, len(row.tokens) / DEFAULT_RATE),
            max(row.start + 0.3, after - DEFAULT_GAP),
        )
        end = min(row.end, after - 0.05)
        times = stamp(row.start) if abs(end - guess) < 0.1 else f"{stamp(row.start)}-{stamp(end)}"
        out.append(f"[{times}] " + " ".join(map(str, row.tokens)))
    return "\n".join(out) + "\n"


def stamp(at: float) -> str:
    """Write a time in seconds as minutes and seconds, to a tenth."""
    tenths = round(at * 10)
    return f"{tenths // 600}:{tenths % 600 // 10:02}.{tenths % 10}"


def _value(word: str) -> int | None:
    whole, _, unit = word.partition("-")
    if unit:
        return NUMBER_OF[whole] + NUMBER_OF[unit] if whole in TENS and unit in NUMBER_OF else None
    return NUMBER_OF.get(word)


def _caption_lengths(tokens: tuple[Token, ...]) -> list[tuple[Token, ...]]:
    if len(tokens) <= LONGEST_LINE:
        return [tokens]
    breaks = [i for i in range(3, len(tokens) - 2) if tokens[i - 1].text[-1] in ".,!?"]
    middle = len(tokens) / 2
    at = min(breaks, key=lambda i: abs(i - middle)) if breaks else round(middle)
    return _caption_lengths(tokens[:at]) + _caption_lengths(tokens[at:])


__all__ = ["Line", "Row", "Slots", "Stage", "Style", "Token", "bare", "offset", "script_text", "tokenize"]
