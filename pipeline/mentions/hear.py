"""Everything that was said, in one pass: three components over one spaCy Doc.

``Listener`` is built once for a lexicon and hears any number of transcripts. A component takes the Doc and
what was heard so far, as spaCy's own components take a Doc, and adds its mentions.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pipeline.mentions.exercises import ExerciseMatcher, ExerciseMention
from pipeline.mentions.numbers import UNITS, NumberMention, find_numbers
from pipeline.mentions.signs import build_sign_matcher, find_signs
from pipeline.mentions.utterances import Utterance, cut_utterances, normalise
from pipeline.model import Transcript

if TYPE_CHECKING:
    from spacy.tokens import Doc

    from lexicon import Lexicon

#: Patterns of the lexicon in which the position is kept, not moved through.
_STILL = frozenset({"isometric hold", "stretch", "balance"})


#: Signs hold small numbers in words ("round two"), and are heard in figures as well.
_IN_WORDS = {str(value): word for word, value in UNITS.items() if value <= 6}


@dataclass
class Mentions:
    """What was said in one transcript.

    ``tokens`` are the words in lower case without punctuation, one a word of the transcript. ``signs`` holds
    ``(label, first word, stop word)``; ``signs_at[k]`` the kinds of the talk signs that cover word ``k``.
    ``utterance_of[k]`` is the index of word ``k``'s utterance. ``usual_units`` says for the lexicon ids of the
    exercises mentioned what they are usually counted in: ``"reps"``, ``"seconds"`` or ``"breaths"``, or that
    the position is kept ``"still"``.
    """

    transcript: Transcript
    tokens: tuple[str, ...]
    utterances: list[Utterance] = field(default_factory=list)
    utterance_of: list[int] = field(default_factory=list)
    numbers: list[NumberMention] = field(default_factory=list)
    exercises: list[ExerciseMention] = field(default_factory=list)
    signs: list[tuple[str, int, int]] = field(default_factory=list)
    signs_at: list[set[str]] = field(default_factory=list)
    usual_units: dict[str, str] = field(default_factory=dict)


class Listener:
    """Finds numbers, exercises and signs; keeps the matchers, which are slow to build."""

    def __init__(self, lexicon: Lexicon) -> None:
        import spacy

        self._vocab = spacy.blank("en").vocab
        self._signs = build_sign_matcher(self._vocab, lexicon.phrases)
        self._exercises = ExerciseMatcher(lexicon)
        self._lexicon = lexicon
        self.components = (self._hear_numbers, self._hear_signs, self._hear_exercises)

    def hear(self, transcript: Transcript) -> Mentions:
        """Return all mentions of a transcript."""
        from spacy.tokens import Doc

        mentions = Mentions(transcript, tuple(normalise(word.text) for word in transcript.words))
        parts, word_of = [], []
        for k, token in enumerate(mentions.tokens):
            for part in token.replace("-", " ").split() or ["_"]:
                parts.append(_IN_WORDS.get(part, part))
                word_of.append(k)
        doc = Doc(self._vocab, words=parts)
        for component in self.components:
            component(doc, word_of, mentions)
        return mentions

    def _hear_numbers(self, doc: Doc, word_of: list[int], mentions: Mentions) -> None:
        transcript = mentions.transcript
        words = [word.text for word in transcript.words]
        times = [(word.start, word.end) for word in transcript.words]
        cut = cut_utterances(transcript)
        numbers = find_numbers(words, times, frozenset(one.first for one in cut))
        if transcript.source.timing == "coarse":
            sure = frozenset(n.words[0] for n in numbers if n.form in {"word", "figure", "last"})
            cut = cut_utterances(transcript, sure)
            numbers = find_numbers(words, times, frozenset(one.first for one in cut))
        mentions.utterances, mentions.numbers = cut, numbers
        mentions.utterance_of = [i for i, one in enumerate(cut) for _ in range(one.first, one.stop)]

    def _hear_signs(self, doc: Doc, word_of: list[int], mentions: Mentions) -> None:
        mentions.signs = find_signs(self._signs, doc, word_of)
        mentions.signs_at = [set() for _ in mentions.tokens]
        for label, first, stop in mentions.signs:
            if label.startswith("talk/"):
                for k in range(first, stop):
                    mentions.signs_at[k].add(label[5:])

    def _hear_exercises(self, doc: Doc, word_of: list[int], mentions: Mentions) -> None:
        mentions.exercises = self._exercises.find([word.text for word in mentions.transcript.words])
        known = self._lexicon.exercises
        mentions.usual_units = {
            one.exercise: "still" if _STILL & set(known[one.exercise].pattern) else known[one.exercise].unit
            for one in mentions.exercises
            if one.exercise is not None and one.exercise in known
        }
