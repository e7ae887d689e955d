"""Exercise names as coaches build them: spoken words as tokens, and stance + side + implement + … + base.

:class:`NameIndex` knows every name of a lexicon by its joined tokens ("push up", "push-up" and "pushup" are
one key), takes a name apart into modifiers and base, and puts what was said together again as a
well-written name with its other names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lexicon import Exercise, Lexicon
from pipeline.mentions.modifiers import Modifiers, Said
from pipeline.mentions.tokens import Token, key_of, name_tokens

LONGEST_NAME = 8
"""Tokens that a name without its modifiers has at most."""
HEAD = 3
"""So many letters of a word are looked at first: where no name begins with them, none is looked for."""
MOST_ALIASES = 80
"""Enough for the other names of an exercise with one or two modifiers; a record stays readable."""

PARTICLES = {"up", "down", "out", "in", "over", "on", "off", "back", "through", "away", "around", "forward"}
OWN_CORE = 0.5
"""What speaks for the exercise that lists the core itself, against one that shares as many modifiers."""
SHARED_MODIFIER, UNSAID_USUAL, UNSAID_MODIFIER, UNLISTED_MODIFIER = 2.0, -0.4, -2.0, -0.3
"""What each modifier speaks for or against a listed name: unsaid, an implement or the usual stance is taken for
granted; any other modifier of a listed name has to be said to match it."""
LEAST_AGREEMENT = -2.0
"""A base that is no exercise by itself means the listed name that agrees best, and more than this: a shared modifier
makes up for one that was not said, not for two."""


@dataclass(frozen=True, slots=True)
class Name:
    """One listed name of an exercise, taken apart. ``main``: it is the exercise's chief name."""

    exercise: Exercise
    text: str
    modifiers: frozenset[str]
    base: str
    main: bool


class Core(NamedTuple):
    """A name without its modifiers: ``first`` to ``stop`` (exclusive) in a list of tokens, and its joined tokens.

    ``listed``: the lexicon lists it.
    """

    first: int
    stop: int
    key: str
    listed: bool


@dataclass(frozen=True, slots=True)
class Span:
    """A name found in a list of tokens: ``first`` to ``stop`` (exclusive), its core and its modifiers."""

    first: int
    stop: int
    core: Core
    said: tuple[Said, ...]


def sentence_case(name: str) -> str:
    """Return a name with its first letter as a capital, the rest as it is ("Romanian" keeps its own)."""
    return name[:1].upper() + name[1:]


class NameIndex:
    """Every name of a lexicon, ready to be found in tokens and to be put together anew."""

    def __init__(self, lexicon: Lexicon) -> None:
        self.bases = {key_of(word): word for word in lexicon.base_words}
        clear = [name_tokens(word) for word in lexicon.clear_words]
        self._clear = {"".join(token.plain for token in tokens) for tokens in clear}
        self._modifiers = Modifiers(lexicon.modifiers)
        self._keys: dict[str, list[tuple[Exercise, str]]] = {}
        for exercise in lexicon.exercises.values():
            for text in exercise.names:
                owners = self._keys.setdefault(key_of(text), [])
                if all(owner.id != exercise.id for owner, _ in owners):
                    owners.append((exercise, text))
        self._heads = {key[:HEAD] for key in (*self._keys, *self.bases)}
        self._poses = {key.removesuffix("pose") for key in self._keys if key.endswith("pose")}
        self._poses &= set(self._keys) - set(self.bases)
        self._by_base: dict[str, list[Name]] = {}
        self._parsed: dict[str, tuple[frozenset[str], str]] = {}
        for key, owners in self._keys.items():
            modifiers, base = self._modifiers.take_apart(name_tokens(owners[0][1]), self._is_base)
            self._parsed[key] = modifiers, base
            for exercise, text in owners:
                one = Name(exercise, text, modifiers, base, key_of(exercise.name) == key)
                self._by_base.setdefault(base, []).append(one)

    def names_to_hear(self) -> Iterable[str]:
        """Yield one spelling of every listed name that has to be known by ear.

        One that is a modifier and another listed name of two words or more ("banded" + "side leg lift") is
        left out: its parts are found by themselves.
        """
        for key, owners in self._keys.items():
            modifiers, base = self._parsed[key]
            if not modifiers or base not in self._keys or len(self.spelling(base).split()) < 2:
                yield owners[0][1]

    def spelling(self, key: str) -> str:
        """Return the written form of a core, listed or a base word."""
        return self._keys[key][0][1] if key in self._keys else self.bases[key]

    def find(self, tokens: Sequence[Token]) -> list[Span]:
        """Return the names in the tokens from left to right, the longest first, none overlapping."""
        spans, at, free = list[Span](), 0, 0
        while at < len(tokens):
            core = self._core_at(tokens, at)
            if core is None or core.stop - at < self._modifiers.length_at(tokens, at) > 1:
                at += 1
                continue
            spans.append(self.extend(tokens, core, free))
            at = free = spans[-1].stop
        return spans

    def extend(self, tokens: Sequence[Token], core: Core, free: int = 0) -> Span:
        """Return a core with the modifiers that stand around it, none of them before the token ``free``."""
        first, stop, said = core.first, core.stop, list[Said]()
        while (found := self._modifiers.before(tokens, first, free)) is not None:
            first, one = found
            said.insert(0, one)
        while (after := self._modifiers.after(tokens, stop)) is not None:
            stop, one = after
            said.append(one)
        return Span(first, stop, core, tuple(said))

    def resolve(self, span: Span) -> Exercise | None:
        """Return the listed exercise that a span means, or ``None`` where none shares its base."""
        inner, base = self._parsed.get(span.core.key, (frozenset(), span.core.key))
        said = inner | {one.modifier.name for one in span.said}
        if span.core.listed and said == inner:
            return self._owner(span.core.key)
        if not span.core.listed and not said:
            return None
        best, best_score = None, 0.0 if span.core.listed else LEAST_AGREEMENT
        for name in self._by_base.get(base, ()):
            if not span.core.listed and not said & name.modifiers:
                continue
            score = self._agreement(said, name)
            if span.core.listed and name.exercise.id == self._owner(span.core.key).id:
                score += OWN_CORE
            if score > best_score:
                best, best_score = name.exercise, score
        return best or (self._owner(span.core.key) if span.core.listed else None)

    def write(self, span: Span) -> str:
        """Return the name as said, well written: "Split-stance single-arm row", "Squat with a pause"."""
        before = [one.text for one in span.said if not one.after]
        moved = [one.modifier.name for one in span.said if one.after and not one.stays_after]
        tail = [one.text for one in span.said if one.after and one.stays_after]
        return sentence_case(" ".join([*moved, *before, self.spelling(span.core.key), *tail]))

    def aliases(self, span: Span, exercise: Exercise | None) -> tuple[str, ...]:
        """Return the other right names: those listed, and those put together from what was said."""
        if exercise is None:
            return (self.write(span),)
        said = [one.modifier for one in span.said]
        listed = list(exercise.names)
        cores = [self.spelling(span.core.key), *listed] if span.core.listed else [*listed, self.spelling(span.core.key)]
        made: list[str] = []
        for core in cores:
            have, base = self._parsed.get(key_of(core), (frozenset(), key_of(core)))
            new = [one.name for one in said if one.name not in have]
            if new:
                made.append(" ".join([*new, core]))
                made += [f"{one} {core}" for one in new if len(new) > 1]
            if base in self.bases:
                every = [one.name for one in said]
                tools = [tool for tool in exercise.equipment if tool in {"dumbbell", "kettlebell", "band", "barbell"}]
                made += [" ".join([*every, tool, self.bases[base]]) for tool in tools if tool not in every]
                made += [f"{one} {self.bases[base]}" for one in every]
        whole = dict.fromkeys([*listed, *made]) if span.core.listed else dict.fromkeys([*made[:4], *listed, *made])
        return tuple(whole)[:MOST_ALIASES]

    def implied_equipment(self, span: Span, exercise: Exercise | None) -> tuple[str, ...]:
        """Return the equipment: what the modifiers say, then what the exercise lists."""
        said = [one.modifier.equipment for one in span.said if one.modifier.equipment]
        listed = exercise.equipment if exercise else ()
        return tuple(dict.fromkeys([*said, *(tool for tool in listed if not said or tool != "none")]))

    def is_pose(self, span: Span) -> bool:
        """Return whether a name is short for a pose ("pigeon"): a noun, so that alone it is no call."""
        return span.core.key in self._poses

    def is_sure(self, tokens: Sequence[Token], span: Span) -> bool:
        """Return whether the core alone leaves no doubt: two tokens or more, or a word of exercise only."""
        core = tokens[span.core.first : span.core.stop]
        return (len(core) > 1 and not self.is_everyday(tokens, span)) or (
            span.stop - span.first > 1 and span.core.key in self._clear
        )

    def is_everyday(self, tokens: Sequence[Token], span: Span) -> bool:
        """Return whether these words are also said of everyday things, and so need to be announced."""
        core = tokens[span.core.first : span.core.stop]
        subject = core[-1].plain != core[-1].text and len(core) == 1
        strong = any(
            not one.modifier.everyday and not (subject and one.text.startswith(_SUBJECTS)) for one in span.said
        )
        written = "".join(token.plain for token in core)
        # "Push up", in two words, is a direction as well; "push-up" and "scapular push up" are not.
        direction = len(core) == 2 and core[0].word != core[1].word and core[1].plain in PARTICLES
        if strong or direction or span.core.key in self._clear or written in self._clear:
            return direction and not strong
        if len(core) == 1:
            return not (span.core.listed and len(name_tokens(self.spelling(span.core.key))) > 1)
        return (len(core) == 2 and not span.core.listed) or span.core.key in _EVERYDAY

    def _core_at(self, tokens: Sequence[Token], at: int) -> Core | None:
        head = tokens[at].text[:HEAD]
        if len(head) == HEAD and head not in self._heads:
            return None
        key, best = "", None
        if tokens[at].plain == "a" and at + 1 < len(tokens) and tokens[at + 1].word != tokens[at].word:
            return None
        for stop in range(at + 1, min(at + LONGEST_NAME, len(tokens)) + 1):
            key += tokens[stop - 1].text
            if key in self._keys:
                best = Core(at, stop, key, True)
            elif best is None and key in self.bases:
                best = Core(at, stop, key, False)
            if tokens[stop - 1].pause:
                break
        return best

    def _is_base(self, key: str, last: Token) -> bool:
        return key in self.bases or (key in self._keys and last.plain not in PARTICLES)

    def _owner(self, key: str) -> Exercise:
        """Return the exercise of a listed name: of several, the one whose chief name it is, or the first."""
        owners = [exercise for exercise, _ in self._keys[key]]
        return next((one for one in owners if key_of(one.name) == key), owners[0])

    @staticmethod
    def _agreement(said: frozenset[str], name: Name) -> float:
        score = SHARED_MODIFIER * len(said & name.modifiers) + UNLISTED_MODIFIER * len(said - name.modifiers)
        for unsaid in name.modifiers - said:
            score += UNSAID_USUAL if unsaid in _GRANTED else UNSAID_MODIFIER
        return score + (0.1 if name.main else 0.0)


_GRANTED = {"dumbbell", "kettlebell", "barbell", "weighted", "bodyweight", "banded", "bent-over", "standing"}
# Listed names of two or three words that are greetings, directions or plain speech as well.
_EVERYDAY = {"goodmorning", "highfive", "sidestep", "backstep", "shakeitout"}


# "One arm curls": who does it and a verb, not a name and its plural.
_SUBJECTS = ("one-", "left-", "right-", "two-")
