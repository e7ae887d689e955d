"""Chapter names: what the exercise of each chapter is called, from all that was said while turning to it.

Rarely does one sentence say the whole name. "Come into half-kneeling, one dumbbell … it's an overhead press" is a
half-kneeling single-arm press; "back to the row" is the row of round one; and in a circuit the third time round
the presenter may name nothing at all.
"""

from __future__ import annotations

from collections import Counter
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
#: How alike the words of two chapters must be (shared stems, rare ones counting more), and what it adds that a
#: chapter is the next of a block that is gone round.
LIKE, FOLLOWS = 0.3, 0.5
#: What a word shared with an earlier exercise of the class is worth ("back to the row").
BY_BASE = 0.62
#: A name said this many seconds after the chapter starts or later counts less, a little a second.
PROMPT, LATE = 14.0, 0.008
#: A name said as the set starts, once it is going, or in the sentence before the chapter, counts this share.
AT_START, IN_SET, JUST_BEFORE = 0.65, 0.4, 0.5
#: The naming sentence is usually the first or second of a chapter.
EARLY = (0.1, 0.08, 0.04)
#: "From a high plank": a position that the exercise starts from, not the exercise.
STARTING_POSITION = 0.5
#: A name known by its sound alone counts this share.
BY_SOUND = 0.9
#: Each further word makes a name more telling ("goblet squat" against "squat").
TELLING = 0.05
#: "A halo", "the ordinary press-up": an article before it shows a name, not an instruction.
ARTICLE = 0.12
#: Counting a hold, or timing what is usually counted, speaks against a name.
WRONG_UNIT = 0.2
#: An instruction word that no list holds ("hold", "bend") is no name on its own below this.
WEAK = 0.3
#: At most so many composed other names are kept, so that a record stays readable.
MOST_ALIASES = 40
UNNAMED = "Exercise"
_IMPLEMENTS = frozenset({"dumbbell", "kettlebell", "barbell", "band", "bench", "chair", "wall", "step", "ball", "belt", "towel"})
_FROM = frozenset({"from", "in", "through"})
_JOINERS = frozenset({"with", "a", "to", "into", "and", "plus", "the", "an"})
_ARTICLES = frozenset({"a", "an", "the", "our", "your", "for", "into", "some", "these"})
_PLAIN = frozenset({"that's", "this", "with", "your", "have", "just", "like", "here", "more", "them", "keep", "nice", "good"})
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
        own = [d for d in drafts if d.chapter == c]
        named = room.best(opening, own, namings)
        if named is None or named.score < SURE:
            again = room.again(openings, namings, c)
            if again is not None and (named is None or named.score < again.score):
                named = again
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
        self.implements = self._implements()
        self.first_words = {words[0] for words, _ in self.modifiers if words}

    def _implements(self) -> list[str]:
        """Return the equipment that the class speaks of again and again."""
        counts = Counter(token.rstrip("s") for token in self.mentions.tokens if token.rstrip("s") in _IMPLEMENTS)
        return [name for name, n in counts.most_common(2) if n >= 2]

    def best(self, opening: Opening, own: Sequence[Draft], before: Sequence[Naming]) -> Naming | None:
        """Return the best name of a chapter, composed with what its set-up says, or ``None``."""
        choices: list[tuple[float, ExerciseMention]] = []
        work = min((d.span[0] for d in own), default=opening.stop)
        units = {d.unit for d in own}
        begins = self.mentions.utterances[opening.first].start
        for at in range(max(0, opening.first - 1), opening.stop):
            for one in self.said.get(at, []):
                late = max(0.0, self.mentions.utterances[at].start - begins - PROMPT)
                weight = one.score * one.doing - LATE * min(late, 30.0)
                if at >= work:
                    weight *= IN_SET if at > work else AT_START
                if at < opening.first:
                    weight *= JUST_BEFORE
                elif at - opening.first < len(EARLY):
                    weight += EARLY[at - opening.first]
                if one.heard == "sound":
                    weight *= BY_SOUND
                if _FROM & set(self.mentions.tokens[max(0, one.words[0] - 2) : one.words[0]]):
                    weight *= STARTING_POSITION
                if one.exercise is not None:
                    if one.heard == "exact":
                        weight += TELLING * min(3, len(_words(one.text)) - 1)
                    usual = self.mentions.usual_units.get(one.exercise)
                    if units and usual is not None and ("reps" if usual == "reps" else "seconds") not in units:
                        weight -= WRONG_UNIT
                if _ARTICLES & set(self.mentions.tokens[max(0, one.words[0] - 2) : one.words[0]]):
                    weight += ARTICLE
                choices.append((weight, one))
        if not choices:
            return None
        weight, one = max(choices, key=lambda pair: (pair[0], -pair[1].words[0]))
        earlier = self._earlier(one, before)
        if earlier is not None:
            return replace(earlier, score=min(1.0, max(weight, BY_BASE if one.doing >= 0.35 else weight)))
        if one.exercise is None and one.heard != "announced" and weight < WEAK:
            return None
        stop = min(work + 1, opening.stop)
        return self._compose(one, weight, self._modifiers(opening, stop), self._contexts(opening, stop))

    def again(self, openings: Sequence[Opening], before: Sequence[Naming], c: int) -> Naming | None:
        """Find the earlier chapter that an unnamed one most likely returns to.

        What followed the previous exercise last time probably follows it again; and the same set-up is told in
        similar words, or at least with words that no other chapter shares.
        """
        done = [i for i in range(c) if openings[i].kind == "exercise" and before[i].name not in {"", UNNAMED}]
        if not done:
            return None
        follows = _follower(before, done)
        told = self._stems(openings[c])
        others = [self._stems(openings[i]) for i in done]
        shared = Counter(stem for stems in others for stem in stems)
        best: tuple[float, int] | None = None
        for i, stems in zip(done, others, strict=True):
            likeness = sum(1.0 / shared[stem] for stem in told & stems) / (1.0 + len(told)) ** 0.5
            if follows is not None and same_exercise(before[i], before[follows]):
                likeness += FOLLOWS
            if i == done[-1]:
                likeness -= FOLLOWS / 2
            if best is None or likeness > best[0]:
                best = (likeness, i)
        if best is None or (best[0] < LIKE and not self._returns(openings[c])):
            return None
        return replace(before[best[1]], score=BY_ORDER)

    def _stems(self, opening: Opening) -> set[str]:
        first, stop = self.mentions.utterances[opening.first].first, self.mentions.utterances[opening.stop - 1].stop
        return {token[:5] for token in self.mentions.tokens[first:stop] if len(token) >= 4 and token not in _PLAIN}

    def _returns(self, opening: Opening) -> bool:
        first = self.mentions.utterances[opening.first].first
        stop = self.mentions.utterances[min(opening.first + 2, opening.stop) - 1].stop
        return any("back" in self.mentions.signs_at[k] for k in range(first, stop))

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

    def _contexts(self, opening: Opening, stop: int) -> list[str]:
        """Return the posture that the class is in, and the equipment that it uses throughout, as words of a name."""
        last = self.mentions.utterances[max(opening.first, stop - 1)].stop
        posture = [label[8:] for label, first, _ in self.mentions.signs if label.startswith("posture/") and first < last]
        return [*posture[-1:], *self.implements]

    def _joined(self, one: ExerciseMention) -> str | None:
        """Return "squat with a reach" where an exercise is said together with what goes with it."""
        tokens, words = self.mentions.tokens, self.mentions.transcript.words
        k = one.words[1]
        if k >= len(tokens) or tokens[k] not in {"with", "to", "into"} or words[k - 1].text[-1:] in ",.!?;":
            return None
        while k < len(tokens) and tokens[k] in _JOINERS:
            k += 1
        stop = k
        while stop < min(k + 2, len(tokens)):
            stop += 1
            if words[stop - 1].text[-1:] in ",.!?;":
                break
        return " ".join([one.text, *tokens[one.words[1] : stop]]) if stop > k else None

    def _compose(
        self, one: ExerciseMention, weight: float, modifiers: Sequence[Modifier], contexts: Sequence[str]
    ) -> Naming:
        joined = self._joined(one)
        spoken = set(_words(one.name))
        fresh = [m for m in modifiers if not set(_words(m.name)) & spoken]
        titled = [m for m in fresh if m.kind in _TITLED and not m.everyday]
        name = one.name
        if titled and len(spoken) <= 3:
            name = _sentence(" ".join([*(m.name for m in titled), one.name]))
        aliases = [one.name, *one.aliases, *([_sentence(joined)] if joined else [])]
        bare = one.name.split("-", 1)[1] if one.name.lower().startswith(("left-", "right-")) else one.name
        bases = list(dict.fromkeys([*([joined] if joined else []), bare, *one.aliases]))[:4]
        for base in bases:
            own = set(_words(base))
            aliases += [f"{word} {base.lower()}" for word in contexts if word not in own]
            aliases += [f"{contexts[0]} {word} {base.lower()}" for word in contexts[1:] if not {word, contexts[0]} & own]
            apt = [m for m in fresh if not set(_words(m.name)) & own]
            aliases += [f"{m.name} {base.lower()}" for m in apt]
            if len(apt) > 1:
                aliases.append(" ".join([*(m.name for m in apt[:3]), base.lower()]))
        kept = tuple(dict.fromkeys(a for a in aliases if a))[:MOST_ALIASES]
        equipment = tuple(dict.fromkeys([*one.equipment, *(m.equipment for m in modifiers if m.equipment)]))
        return Naming(one.exercise, name, kept, min(1.0, max(0.0, weight)), equipment, one.muscles)


def _follower(before: Sequence[Naming], done: Sequence[int]) -> int | None:
    """Return the chapter that followed the previous exercise when it was done last, if it was done before."""
    last = before[done[-1]]
    for k in range(len(done) - 2, -1, -1):
        if same_exercise(before[done[k]], last):
            return done[k + 1]
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
