"""Chapter names: what the exercise of each chapter is called, from all that was said while turning to it.

Rarely does one sentence say the whole name. "Come into half-kneeling, one dumbbell … it's an overhead press" is a
half-kneeling single-arm press; "back to the row" is the row of round one; and in a circuit the third time round
the presenter may name nothing at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lexicon import Lexicon, Modifier
from pipeline.counting.sets import Draft
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.hear import Mentions
from pipeline.model import ChapterKind

#: A name surer than this needs no help from the order of the block.
SURE = 0.55
#: What the name of the chapter that came next last time is worth where this one is not named.
BY_ORDER = 0.5
#: What a word shared with an earlier exercise of the class is worth ("back to the row").
BY_BASE = 0.62
#: A name said this many seconds after the chapter starts or later counts less, a little a second.
PROMPT, LATE = 14.0, 0.008
#: A name said once the set is going, or in the sentence before the chapter, counts this share.
IN_SET, JUST_BEFORE = 0.45, 0.5
#: Each further word makes a name more telling ("goblet squat" against "squat").
TELLING = 0.05
#: At most so many composed other names are kept, so that a record stays readable.
MOST_ALIASES = 40
UNNAMED = "Exercise"
_COMPOSED = ("stance", "grip", "support", "side", "implement", "tempo")
_TITLED = frozenset({"stance", "grip", "side"})
_SIDES = frozenset({"right-arm", "left-arm", "right-leg", "left-leg", "right-side", "left-side", "side-to-side", "double"})


@dataclass(frozen=True)
class Opening:
    """A chapter before it has a name: utterances ``first`` to ``stop``, its kind, how sure its start is."""

    first: int
    stop: int
    kind: ChapterKind
    chance: float


@dataclass(frozen=True)
class Naming:
    """What a chapter's exercise is called, and how sure that is."""

    exercise: str | None
    name: str
    aliases: tuple[str, ...]
    score: float
    equipment: tuple[str, ...] = ()
    muscles: tuple[str, ...] = ()


NOTHING = Naming(None, "", (), 1.0)


def name_chapters(
    openings: Sequence[Opening], mentions: Mentions, drafts: Sequence[Draft], lexicon: Lexicon
) -> list[Naming]:
    """Name the exercise of every chapter, in order; chapters of other kinds get :data:`NOTHING`."""
    room = _NamingRoom(mentions, lexicon)
    namings: list[Naming] = []
    for c, opening in enumerate(openings):
        if opening.kind != "exercise":
            namings.append(NOTHING)
            continue
        work = min((d.span[0] for d in drafts if d.chapter == c), default=opening.stop)
        named = room.best(opening, work, namings)
        follower = _by_order(openings, namings, c)
        if follower is not None and (named is None or named.score < SURE):
            named = follower if named is None or named.score < BY_ORDER else named
        namings.append(named or Naming(None, UNNAMED, (), 0.1))
    return _known_again(namings)


class _NamingRoom:
    """Looks up what was said in a chapter."""

    def __init__(self, mentions: Mentions, lexicon: Lexicon) -> None:
        self.mentions, self.lexicon = mentions, lexicon
        self.said: dict[int, list[ExerciseMention]] = {}
        for one in mentions.exercises:
            self.said.setdefault(mentions.utterance_of[one.words[0]], []).append(one)
        self.modifiers = sorted(
            ((tuple(_words(name)), modifier) for modifier in lexicon.modifiers for name in modifier.names),
            key=lambda pair: -len(pair[0]),
        )
        self.first_words = {words[0] for words, _ in self.modifiers if words}

    def best(self, opening: Opening, work: int, before: Sequence[Naming]) -> Naming | None:
        """Return the best name of a chapter, composed with what its set-up says, or ``None``."""
        choices: list[tuple[float, ExerciseMention]] = []
        begins = self.mentions.utterances[opening.first].start
        for at in range(max(0, opening.first - 1), opening.stop):
            for one in self.said.get(at, []):
                late = max(0.0, self.mentions.utterances[at].start - begins - PROMPT)
                weight = one.score * one.doing - LATE * min(late, 30.0)
                if at >= work and (at > work or one.doing < 0.5):
                    weight *= IN_SET
                if at < opening.first:
                    weight *= JUST_BEFORE
                if one.exercise is not None:
                    weight += TELLING * min(3, len(one.text.split()) - 1)
                choices.append((weight, one))
        if not choices:
            return None
        weight, one = max(choices, key=lambda pair: (pair[0], -pair[1].words[0]))
        earlier = self._earlier(one, before)
        if earlier is not None:
            return replace(earlier, score=min(1.0, max(weight, BY_BASE if one.doing >= 0.35 else weight)))
        modifiers = self._modifiers(opening, min(work + 1, opening.stop))
        return self._compose(one, weight, modifiers)

    def _earlier(self, one: ExerciseMention, before: Sequence[Naming]) -> Naming | None:
        """Find the earlier exercise of the class that a short name means."""
        words = set(_words(one.text))
        for naming in reversed(before):
            if naming.exercise is not None and naming.exercise == one.exercise:
                return naming
        if len(words) > 2 or (one.exercise is not None and len(words) > 1):
            return None
        for naming in reversed(before):
            if naming.name and naming.name != UNNAMED and words <= set(_words(naming.name)):
                return naming
        return None

    def _modifiers(self, opening: Opening, stop: int) -> list[Modifier]:
        """Find the modifiers said in a chapter's set-up, in the order in which a name carries them."""
        first = self.mentions.utterances[opening.first].first
        last = self.mentions.utterances[max(opening.first, stop - 1)].stop
        tokens = [part for k in range(first, last) for part in _words(self.mentions.tokens[k])]
        found: dict[str, Modifier] = {}
        k = 0
        while k < len(tokens):
            step = 1
            if tokens[k] in self.first_words:
                for words, modifier in self.modifiers:
                    if tuple(tokens[k : k + len(words)]) == words:
                        found.setdefault(modifier.name, modifier)
                        step = len(words)
                        break
            k += step
        kinds = {kind: i for i, kind in enumerate(_COMPOSED)}
        kept = [m for m in found.values() if m.kind in kinds and m.name not in _SIDES]
        return sorted(kept, key=lambda m: kinds[m.kind])[:6]

    def _compose(self, one: ExerciseMention, weight: float, modifiers: Sequence[Modifier]) -> Naming:
        spoken = set(_words(one.name))
        fresh = [m for m in modifiers if not set(_words(m.name)) & spoken]
        titled = [m for m in fresh if m.kind in _TITLED and not m.everyday]
        name = one.name
        if titled and len(spoken) <= 3:
            name = _sentence(" ".join([*(m.name for m in titled), one.name]))
        aliases = [one.name, *one.aliases]
        bases = list(dict.fromkeys(aliases))[:4]
        for base in bases:
            own = set(_words(base))
            apt = [m for m in fresh if not set(_words(m.name)) & own]
            aliases += [f"{m.name} {base.lower()}" for m in apt]
            if len(apt) > 1:
                aliases.append(" ".join([*(m.name for m in apt[:3]), base.lower()]))
        kept = tuple(dict.fromkeys(a for a in aliases if a))[:MOST_ALIASES]
        equipment = tuple(dict.fromkeys([*one.equipment, *(m.equipment for m in modifiers if m.equipment)]))
        return Naming(one.exercise, name, kept, min(1.0, max(0.0, weight)), equipment, one.muscles)


def _by_order(openings: Sequence[Opening], namings: Sequence[Naming], c: int) -> Naming | None:
    """In a block done in rounds, the exercise that followed the previous one last time follows it again."""
    done = [i for i in range(c) if openings[i].kind == "exercise"]
    if not done:
        return None
    last = namings[done[-1]]
    for i in range(len(done) - 2, -1, -1):
        if same_exercise(namings[done[i]], last):
            return replace(namings[done[i + 1]], score=BY_ORDER)
    return None


def same_exercise(a: Naming, b: Naming) -> bool:
    """Tell whether two chapters are about one exercise."""
    return (a.exercise is not None and a.exercise == b.exercise) or a.name.lower() == b.name.lower()


def _known_again(namings: Sequence[Naming]) -> list[Naming]:
    """Give every chapter of one exercise the fullest name it was given, and all its other names."""
    fullest: dict[str, Naming] = {}
    for one in namings:
        if not one.name or one.name == UNNAMED:
            continue
        key = one.exercise or one.name.lower()
        known = fullest.get(key)
        if known is None:
            fullest[key] = one
        else:
            longer = one if len(one.name) > len(known.name) else known
            aliases = dict.fromkeys([*known.aliases, *one.aliases, known.name, one.name])
            fullest[key] = replace(longer, aliases=tuple(aliases)[:MOST_ALIASES])
    return [
        replace(fullest[key], score=one.score) if (key := one.exercise or one.name.lower()) in fullest else one
        for one in namings
    ]


def _words(text: str) -> list[str]:
    return [part for part in text.lower().replace("-", " ").replace("'", "").split() if part]


def _sentence(text: str) -> str:
    first, _, rest = text.partition(" ")
    words = [word if word.isupper() or not word[:1].isupper() else word[:1].lower() + word[1:] for word in rest.split()]
    return " ".join([first[:1].upper() + first[1:], *words])
