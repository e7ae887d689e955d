"""Finds exercise mentions in a list of words: named exactly, put together from parts, heard alike, or
announced.

:class:`ExerciseMatcher` is built once from a lexicon; its ``find`` works on words as spoken, with
punctuation or without. Names come from ``names.py``, likeness of sound from ``sounds.py``, and whether the
exercise is done or merely spoken of from ``doing.py``.
"""

from __future__ import annotations

import gc
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from lexicon import Lexicon
from pipeline.mentions import announcing, doing
from pipeline.mentions.hearing import Heard, SoundIndex
from pipeline.mentions.name_sounds import HEARD_RIGHT, name_sounds
from pipeline.mentions.names import Core, NameIndex, Span, sentence_case
from pipeline.mentions.slots import expectation, find_slots, is_firm
from pipeline.mentions.tokens import Token, key_of, tokens_of

Hearing = Literal["exact", "spelling", "sound", "announced"]

EVERYDAY_KEPT = 0.35
"""An everyday word ("bridge", "press") that scores below this as an exercise is ordinary talk: no mention."""
EVERYDAY_SCORE, ONE_WORD_SCORE, ANNOUNCED_SCORE = 0.5, 0.85, 0.6
"""How sure it is that these words are that name: an everyday word, one plain word, a name no list holds."""
TAKEN_BACK = 0.15
"""What is left of ``doing`` for a name that is corrected at once ("hammer curl, sorry, reverse curl")."""
LONGEST_CORRECTION = 6
"""How many tokens may stand between a name and the name that replaces it."""
HALF_HEARD, HALF_HEARD_SURE = 0.48, 0.76
"""A name of which only one word was heard right, and the rest is no more alike than the second, is done no
more surely than the first: whoever names the chapter decides."""
SURE_AT_PLACE, SURE_OF_OWN_WORDS = 0.88, 0.96
"""From this score on, a name is heard where one is announced; the same where every word is a coach's own, and so
likelier meant as it stands. Chosen on half of the talk in annotated classes and half of Python's reference topics (less
than one false name in 10,000 words), and on what lower ones took for names within the exercises of those classes."""
SURE_BY_EAR = 0.86
"""From this likeness of sound on, a name needs no announcement to count as done."""


@dataclass(frozen=True, slots=True)
class ExerciseMention:
    """An exercise that was named.

    ``words`` indexes the words given (stop exclusive), ``text`` is what was said, cleaned, ``name`` the
    same as a good chapter name. ``exercise`` is a lexicon id, ``None`` where no entry fits. ``heard`` tells
    how it was recognised, ``score`` (0 to 1) how surely, ``doing`` (0 to 1) whether it is done now: below
    0.5 it is merely mentioned, an option, a comparison, denied, past, later, or a call inside a set.
    """

    words: tuple[int, int]
    text: str
    exercise: str | None
    name: str
    aliases: tuple[str, ...]
    equipment: tuple[str, ...]
    muscles: tuple[str, ...]
    heard: Hearing
    score: float
    doing: float


class ExerciseMatcher:
    """Finds the exercises of a lexicon in words; building it takes some tenths of a second."""

    def __init__(self, lexicon: Lexicon) -> None:
        with _no_collection():
            self._build(lexicon)

    def _build(self, lexicon: Lexicon) -> None:
        self._names = NameIndex(lexicon)
        self._placed = name_sounds(lexicon)
        self._sounds = SoundIndex(self._names.names_to_hear(), _coaching(lexicon), _loose_words(lexicon))

    def find(self, words: Sequence[str]) -> list[ExerciseMention]:
        """Return the mentions in order of place, none overlapping another."""
        with _no_collection():
            return self._find(tokens_of(words))

    def _find(self, tokens: list[Token]) -> list[ExerciseMention]:
        found = list[tuple[Span, ExerciseMention]]()
        spans = self._names.find(tokens)
        for span, heard in self._with_heard(tokens, spans):
            mention = self._mention(tokens, span, heard)
            if mention is not None:
                found.append((span, mention))
        sure = [pair for pair in found if pair[0].stop - pair[0].first > 1]
        for first, stop in announcing.find_names(
            tokens, self._names.bases, [(span.first, span.stop) for span, _ in sure]
        ):
            found = [pair for pair in found if not first <= pair[0].first < stop]
            found.append((Span(first, stop, Core(first, stop, "", False), ()), _announced(tokens, first, stop)))
        found.sort(key=lambda pair: pair[0].first)
        return _weigh_neighbours(tokens, found)

    def _with_heard(self, tokens: list[Token], spans: list[Span]) -> list[tuple[Span, Heard | None]]:
        """Return the spans, and what was heard where no sure name of two words or more stands.

        The first word of a sure name may still end a misheard one ("farm a" + "march on the spot"), but what is only
        half alike hides no name of two words ("rest" + "plank hold" is no raised plank).
        """
        sure = [one for one in spans if self._names.is_sure(tokens, one)]
        heard = self._sounds.find(tokens, [(span.first + 1, span.stop) for span in sure])
        placed = [one for one in self._at_places(tokens, spans) if not _is_heard_better(one, heard)]
        heard = placed + [one for one in heard if not any(a.first < one.stop and one.first < a.stop for a in placed)]
        exact = {span.core[:2] for span in spans if span.core.listed}
        named = [span for span in spans if span.core.listed and span.core.stop - span.core.first > 1]
        starts = {span.first for span in sure}
        both: list[tuple[Span, Heard | None]] = []
        covered = set[int]()
        for one in heard:
            if (one.first, one.stop) in exact or (one.first in starts and one not in placed):
                continue
            if _is_doubtful(one) and any(span.first < one.stop and one.first < span.stop for span in named):
                continue
            span = self._names.extend(tokens, Core(one.first, one.stop, key_of(one.name), True))
            if not one.faint or doing.read(tokens, span.first, span.stop, doing.HEARD, verb=False).placed:
                covered.update(range(one.first, one.stop))
                both.append((span, one))
        both += [(span, None) for span in spans if covered.isdisjoint(range(span.first, span.stop))]
        return both

    def _at_places(self, tokens: list[Token], spans: list[Span]) -> list[Heard]:
        """Return the names likeliest heard where one is announced, and what is written is no name altogether."""
        owners = [self._names.resolve(span) if span.core.listed else None for span in spans]
        named = Counter(one.id for one in owners if one is not None)
        firsts = [span.first for span in spans]
        found, free = list[Heard](), 0
        for first, stop in find_slots(tokens, 0, len(tokens)):
            if first < free or not is_firm(tokens, first) or _is_within(spans, firsts, first, stop):
                continue
            inside = range(bisect_left(firsts, first), bisect_left(firsts, stop))
            if len(inside) < 2 and not any(map(self._placed.is_foreign, tokens[first:stop])):
                continue
            here = Counter(one.id for one in owners[inside.start : inside.stop] if one is not None)
            known = named.keys() - {one for one, times in here.items() if times == named[one]}
            expected = min(0.0, expectation(tokens, first))
            best = next(iter(self._placed.nearest(tokens, first, stop, expected, known)), None)
            if best is None or best.score == HEARD_RIGHT or _is_within(spans, firsts, best.first, best.stop):
                continue
            covered = owners[bisect_left(firsts, best.first) : bisect_left(firsts, best.stop)]
            foreign = any(map(self._placed.is_foreign, tokens[best.first : best.stop]))
            same = any(one is not None and one.id == best.exercise for one in covered)
            if not same and best.score >= (SURE_AT_PLACE if foreign else SURE_OF_OWN_WORDS):
                found.append(Heard(best.first, best.stop, best.name, best.score, "sound"))
                free = best.stop
        return found

    def _mention(self, tokens: list[Token], span: Span, heard: Heard | None) -> ExerciseMention | None:
        one_word = span.stop - span.first == 1
        everyday = heard is None and self._names.is_everyday(tokens, span)
        base = doing.EVERYDAY if everyday else doing.CLEAR
        if heard is not None and heard.score < SURE_BY_EAR:
            base = doing.HEARD
        bare = not span.said and tokens[span.stop - 1].plain == tokens[span.stop - 1].text
        verb = bare and (one_word or everyday) and not self._names.is_pose(span)
        reading = doing.read(tokens, span.first, span.stop, base, verb=verb)
        if everyday and reading.doing < EVERYDAY_KEPT and not reading.calling:
            return None
        exercise = self._names.resolve(span)
        if exercise is None and not span.said and not reading.calling and not _is_counted(tokens, span, reading):
            return None
        faintly = heard is not None and _is_doubtful(heard)
        score = EVERYDAY_SCORE if everyday and not reading.placed else ONE_WORD_SCORE if one_word else 1.0
        return ExerciseMention(
            words=(tokens[span.first].word, tokens[span.stop - 1].word + 1),
            text=_text(tokens, span.first, span.stop),
            exercise=exercise.id if exercise else None,
            name=self._names.write(span),
            aliases=self._names.aliases(span, exercise),
            equipment=self._names.implied_equipment(span, exercise),
            muscles=exercise.muscles if exercise else (),
            heard=heard.how if heard else "exact",
            score=heard.score if heard else score,
            doing=min(reading.doing, HALF_HEARD) if faintly else reading.doing,
        )


def _is_doubtful(heard: Heard) -> bool:
    """Return whether only one word of a name was heard right, and the rest is not much alike."""
    return heard.faint and heard.score < HALF_HEARD_SURE


def _is_within(spans: Sequence[Span], firsts: Sequence[int], first: int, stop: int) -> bool:
    """Return whether one of the spans, which stand in order, holds all tokens from ``first`` to ``stop``."""
    at = bisect_right(firsts, first)
    return at > 0 and stop <= spans[at - 1].stop


def _is_heard_better(placed: Heard, heard: Sequence[Heard]) -> bool:
    """Return whether a name was heard without the help of its place in all the words, or in some and others."""
    return any(
        one.first < placed.stop
        and placed.first < one.stop
        and not one.faint
        and not (
            placed.first <= one.first and one.stop <= placed.stop and placed.stop - placed.first > one.stop - one.first
        )
        for one in heard
    )


@contextmanager
def _no_collection() -> Iterator[None]:
    """Leave the garbage collector out while some 100,000 small objects are made, of which none is part of a circle."""
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            if not gc.get_freeze_count():
                # Puts what was made with what is old already, so that it is not all looked through at once.
                gc.freeze()
                gc.unfreeze()
            gc.enable()


def _coaching(lexicon: Lexicon) -> Iterator[str]:
    """Yield text in the words of the trade: names, modifiers, muscles, cues."""
    for exercise in lexicon.exercises.values():
        yield from exercise.names
    for modifier in lexicon.modifiers:
        yield from modifier.names
    for words in lexicon.vocabulary.values():
        yield from words
    for phrases in lexicon.phrases.get("cues", {}).values():
        yield from phrases


def _loose_words(lexicon: Lexicon) -> Iterator[str]:
    return (key_of(name) for one in lexicon.modifiers if one.everyday for name in one.names)


def _announced(tokens: Sequence[Token], first: int, stop: int) -> ExerciseMention:
    text = _text(tokens, first, stop)
    reading = doing.read(tokens, first, stop, doing.CLEAR, verb=False)
    return ExerciseMention(
        words=(tokens[first].word, tokens[stop - 1].word + 1),
        text=text,
        exercise=None,
        name=sentence_case(text),
        aliases=(text,),
        equipment=(),
        muscles=(),
        heard="announced",
        score=ANNOUNCED_SCORE,
        doing=reading.doing,
    )


def _text(tokens: Sequence[Token], first: int, stop: int) -> str:
    """Return the tokens as said, the parts of a hyphened word joined again."""
    text = tokens[first].plain
    for before, token in zip(tokens[first : stop - 1], tokens[first + 1 : stop], strict=True):
        text += ("-" if token.word == before.word else ", " if before.pause else " ") + token.plain
    return text


def _is_counted(tokens: Sequence[Token], span: Span, reading: doing.Reading) -> bool:
    """Return whether a bare base word stands as "twelve presses" or "the next presses" do."""
    last = tokens[span.stop - 1]
    return reading.placed and last.plain != last.text


def _weigh_neighbours(tokens: Sequence[Token], found: list[tuple[Span, ExerciseMention]]) -> list[ExerciseMention]:
    """Return the mentions, those taken back at once or strung together in a plan counted as less done."""
    kept = [mention for _, mention in found]
    for at, ((one, mention), (other, after)) in enumerate(pairwise(found)):
        if other.first - one.stop <= LONGEST_CORRECTION and doing.is_correction(tokens, one.stop, other.first):
            kept[at] = replace(kept[at], doing=round(mention.doing * TAKEN_BACK, 3))
        elif (
            min(mention.doing, after.doing) > doing.INSTRUCTION
            and mention.name != after.name
            and doing.is_list(tokens, one.stop, other.first)
        ):
            for place in (at, at + 1):
                listed = min(kept[place].doing, found[place][1].doing * doing.LISTED)
                kept[place] = replace(kept[place], doing=round(listed, 3))
    return kept
