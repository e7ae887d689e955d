"""What was said in a chapter, as its naming needs it: mentions, sentences, posture, equipment, modifiers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from lexicon import Lexicon, Modifier
from pipeline.chapter_names.naming import Opening, words_of
from pipeline.chapter_names.stems import stem, stems_of
from pipeline.counting.draft import Draft
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.hear import Mentions
from pipeline.mentions.name_sounds import name_sounds
from pipeline.mentions.tokens import FIGURES

#: The equipment that a class may be about, by the words for it.
_IMPLEMENTS = {
    "dumbbell": "dumbbell", "kettlebell": "kettlebell", "barbell": "barbell", "band": "band", "bench": "bench",
    "chair": "chair", "wall": "wall", "step": "step", "ball": "ball", "belt": "strap", "strap": "strap",
    "towel": "towel", "weight": "dumbbell", "barre": "barre",
}  # fmt: skip
_AT_HAND = {"dumbbell", "kettlebell", "barbell", "band"}
#: An implement spoken of so often belongs to the class.
OFTEN = 2
_COMPOSED = ("stance", "grip", "support", "side", "implement", "tempo")
_SIDES = frozenset(
    {"right-arm", "left-arm", "right-leg", "left-leg", "right-side", "left-side", "side-to-side", "double"}
)
_PLAIN = frozenset(
    {"that's", "this", "with", "your", "have", "just", "like", "here", "more", "them", "keep", "nice", "good"}
)
#: Sentences after the set began that may still tell what it is.
INTO_SET = 2


@dataclass
class ChapterTalk:
    """What was said in one chapter. ``work`` is the utterance with which its first set begins.

    ``sentences`` are the stems of what was said up to and just into the first set, ``sentence_at`` the
    utterance of each; ``told`` are the stems of the whole chapter.
    """

    opening: Opening
    work: int
    units: frozenset[str]
    sentences: list[tuple[str, ...]] = field(default_factory=list)
    sentence_at: list[int] = field(default_factory=list)
    told: frozenset[str] = frozenset()
    posture: str = ""


class NamingRoom:
    """Looks up what was said in the chapters of one class."""

    def __init__(self, mentions: Mentions, lexicon: Lexicon) -> None:
        self.mentions, self.lexicon = mentions, lexicon
        self.sounds = name_sounds(lexicon)
        self.said: dict[int, list[ExerciseMention]] = {}
        for one in mentions.exercises:
            self.said.setdefault(mentions.utterance_of[one.words[0]], []).append(one)
        self.modifier_words, self.modifiers = _modifiers(lexicon)
        self.bases = frozenset(lexicon.base_words) - frozenset(lexicon.clear_words) | frozenset({"squat", "lunge"})
        counts = Counter(token.removesuffix("s") for token in mentions.tokens)
        self.implements = [
            name
            for name, _ in counts.most_common()
            if name in _IMPLEMENTS and name != "weight" and counts[name] >= OFTEN
        ][:2]
        self.equipment = {_IMPLEMENTS[name] for name in _IMPLEMENTS if counts[name] >= OFTEN}
        if counts["bell"]:
            self.equipment |= {"dumbbell", "kettlebell"} - (
                {"kettlebell"} if counts["dumbbell"] and not counts["kettlebell"] else set()
            )
        if counts["bar"] or counts["barre"]:
            self.equipment |= {"barbell", "bar", "barre", "pull-up bar"}
        if "band" in self.equipment:
            self.equipment.add("loop band")

    def talk(self, opening: Opening, own: Sequence[Draft]) -> ChapterTalk:
        """Return what was said in a chapter, with the sets ``own`` that start in it."""
        mentions = self.mentions
        work = min((draft.span[0] for draft in own), default=opening.stop)
        talk = ChapterTalk(opening, work, frozenset(draft.unit for draft in own))
        words = mentions.transcript.words
        stop = mentions.utterances[min(work + INTO_SET, opening.stop) - 1].stop
        sentence: list[str] = []
        for k in range(mentions.utterances[opening.first].first, stop):
            sentence.append(mentions.tokens[k])
            at = mentions.utterance_of[k]
            ends = words[k].text[-1:] in ".!?" or k + 1 == stop or mentions.utterance_of[k + 1] != at
            if ends and sentence:
                talk.sentences.append(stems_of(" ".join(sentence)))
                talk.sentence_at.append(at)
                sentence = []
        last = mentions.utterances[opening.stop - 1].stop
        talk.told = frozenset(
            stem(token)
            for token in mentions.tokens[mentions.utterances[opening.first].first : last]
            if len(token) >= 4 and token not in _PLAIN
        )
        setup = mentions.utterances[max(opening.first, min(work, opening.stop - 1))].stop
        postures = [label[8:] for label, first, _ in mentions.signs if label.startswith("posture/") and first < setup]
        talk.posture = postures[-1] if postures else ""
        return talk

    def modifiers_in(self, opening: Opening, stop: int) -> list[Modifier]:
        """Find the modifiers said in a chapter's set-up, in the order in which a name carries them."""
        first = self.mentions.utterances[opening.first].first
        last = self.mentions.utterances[max(opening.first, stop - 1)].stop
        tokens = [part for k in range(first, last) for part in words_of(_as_word(self.mentions.tokens[k]))]
        found: dict[str, Modifier] = {}
        k = 0
        while k < len(tokens):
            step = 1
            for words, modifier in self.modifiers.get(tokens[k], ()):
                if tuple(tokens[k : k + len(words)]) == words:
                    found.setdefault(modifier.name, modifier)
                    step = len(words)
                    break
            k += step
        kinds = {kind: i for i, kind in enumerate(_COMPOSED)}
        kept = [m for m in found.values() if m.kind in kinds and m.name not in _SIDES]
        return sorted(kept, key=lambda m: kinds[m.kind])[:6]

    def given(self, talk: ChapterTalk) -> frozenset[str]:
        """Return the stems that the circumstances answer for: the posture and the equipment."""
        given = {stem(name) for name in self.equipment & _AT_HAND}
        if talk.posture:
            given |= set(stems_of(talk.posture))
        if talk.posture == "lying":
            given.add(stem("supine"))
        return frozenset(given)


def _as_word(token: str) -> str:
    return FIGURES.get(token, token)


@lru_cache(maxsize=4)
def _modifiers(lexicon: Lexicon) -> tuple[frozenset[str], dict[str, list[tuple[tuple[str, ...], Modifier]]]]:
    """Return all words of modifiers, and the modifiers by their first word, the longest first."""
    pairs = [(words_of(name), modifier) for modifier in lexicon.modifiers for name in modifier.names]
    by_first: dict[str, list[tuple[tuple[str, ...], Modifier]]] = {}
    for words, modifier in sorted(pairs, key=lambda pair: -len(pair[0])):
        if words:
            by_first.setdefault(words[0], []).append((words, modifier))
    return frozenset(word for words, _ in pairs for word in words), by_first
