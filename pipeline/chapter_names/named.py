"""The exercises named while turning to a chapter, each with what speaks for it: a reason a line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from pipeline.chapter_names import lead_in
from pipeline.chapter_names.circumstances import EARLY, prior
from pipeline.chapter_names.naming import Candidate, words_of
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.tokens import fold

# Judgement, fitted by eye on annotated classes; a score is from 0 to about 1.2.
#: A name said this many seconds after the chapter starts or later counts less: so much a second, for so many seconds.
PROMPT, LATE, LATEST = 14.0, 0.008, 30.0
#: A name said as the set starts, once it is going, or in the sentence before the chapter, counts this share.
AT_START, IN_SET, JUST_BEFORE = 0.65, 0.4, 0.5
#: "From a high plank": a position that the exercise starts from, not the exercise.
STARTING_POSITION = 0.5
#: A name known by its sound alone counts this share.
BY_SOUND = 0.9
#: What it adds to a name that no list holds that it is announced in words of which none looks misheard.
ANNOUNCED = 0.1
#: Each further word makes a name more telling ("goblet squat" against "squat").
TELLING = 0.05
#: "A halo", "the ordinary press-up": an article before it shows a name, not an instruction.
ARTICLE = 0.12
#: "Hands under shoulders, mountain climbers": in the plural, or alone at a sentence's end, it is a name.
PLURAL = 0.1
#: "A row and a press": the first of two comes first; "move two is a press", "and then a press" is not yet.
AFTER_ANOTHER, NOT_YET = 0.08, 0.65
#: A bare base word ("hold", "bend") is no name on its own; "three lifts" speaks of three exercises.
BARE, BARE_COUNTED = 0.12, 0.35
#: "Pull-through: high plank, feet wide": a heading.
HEADING = 0.25
#: "Fingers spread", "the other arm curls", "like a rocking horse": told to a part of the body, or a comparison.
INSTRUCTION = 0.45
#: "Goddess squats": a base word with a word of its own before it is a name of its own.
OWN_NAME, MOST_OWN = 0.15, 0.72

_SIDED = frozenset({"single", "one", "right", "left", "double", "two", "alternating"})
_LIMBS = frozenset({"arm", "leg", "hand"})
_ARTICLES = frozenset({"a", "an", "the", "our", "your", "for", "into", "some", "these"})


class _Reason(NamedTuple):
    """What a circumstance does to the score of a name: it counts a ``share`` of it, and ``more`` or less."""

    holds: bool
    share: float = 1.0
    more: float = 0.0


def named(room: NamingRoom, talk: ChapterTalk) -> list[Candidate]:
    """Return a candidate for every name said in a chapter, or in the sentence before it."""
    first = max(0, talk.opening.first - 1)
    return [_candidate(room, talk, at, one) for at in range(first, talk.opening.stop) for one in room.said.get(at, [])]


def _candidate(room: NamingRoom, talk: ChapterTalk, at: int, one: ExerciseMention) -> Candidate:
    lead = lead_in.lead_in(room.mentions, one)
    score = one.score * one.doing
    for reason in (*_by_time(room, talk, at), *_by_words(room, at, one, lead)):
        if reason.holds:
            score = score * reason.share + reason.more
    if one.exercise is not None:
        score += prior(room, talk, room.lexicon.exercises[one.exercise])
    generic = _is_generic(room, one)
    own = lead_in.own_name(room.mentions, one, room.modifier_words) if generic and one.doing >= 0.5 else None
    if own is not None:
        return Candidate(None, own, min(MOST_OWN, score + OWN_NAME), one, own=True)
    if one.words[1] > one.words[0] and _heads(room, one):
        score += HEADING
    if one.exercise is None and one.heard != "announced":
        score -= BARE_COUNTED if lead_in.is_counted(lead) else BARE
    return Candidate(one.exercise, one.name, score, one, generic)


def _by_time(room: NamingRoom, talk: ChapterTalk, at: int) -> Iterator[_Reason]:
    """Yield what utterance ``at`` says for a name in it, by its place in the chapter."""
    first, utterances = talk.opening.first, room.mentions.utterances
    late = max(0.0, utterances[at].start - utterances[first].start - PROMPT)
    yield _Reason(late > 0, more=-LATE * min(late, LATEST))
    yield _Reason(at == talk.work, AT_START)
    yield _Reason(at > talk.work, IN_SET)
    yield _Reason(at < first, JUST_BEFORE)
    if 0 <= at - first < len(EARLY):
        yield _Reason(True, more=EARLY[at - first])


def _by_words(room: NamingRoom, at: int, one: ExerciseMention, lead: str) -> Iterator[_Reason]:
    """Yield what the words of a name and those before it (``lead``) say for it."""
    before = set(room.mentions.tokens[max(0, one.words[0] - 2) : one.words[0]])
    earlier = sum(1 for other in room.said.get(at, []) if other.words[0] < one.words[0] and other.doing >= 0.5)
    listed = one.exercise is not None and one.heard == "exact"
    yield _Reason(one.heard == "sound", BY_SOUND)
    yield _Reason(lead_in.is_start(lead), STARTING_POSITION)
    yield _Reason(listed, more=TELLING * min(3, len(words_of(one.text)) - 1))
    yield _Reason(not before.isdisjoint(_ARTICLES), more=ARTICLE)
    yield _Reason(earlier > 0, more=-AFTER_ANOTHER * min(2, earlier))
    yield _Reason(lead_in.is_later(lead), NOT_YET)
    yield _Reason(one.heard == "announced" and not lead_in.is_announced(one), BY_SOUND)
    yield _Reason(lead_in.is_plain_talk(one), INSTRUCTION)
    yield _Reason(lead_in.is_announced(one), more=ANNOUNCED)
    told = lead_in.is_action(room.mentions, one, lead) or lead_in.is_instruction(one, lead)
    yield _Reason(told or lead_in.is_comparison(lead), INSTRUCTION)
    yield _Reason(one.doing >= 0.5 and not told and lead_in.is_plural(room.mentions, one), more=PLURAL)


def _heads(room: NamingRoom, one: ExerciseMention) -> bool:
    """Return whether a name stands at the head of a sentence with a colon: "Pull-through: high plank …"."""
    words = room.mentions.transcript.words
    starts = one.words[0] == 0 or words[one.words[0] - 1].text[-1:] in {".", "!", "?"}
    return starts and words[one.words[1] - 1].text.endswith(":")


def _is_generic(room: NamingRoom, one: ExerciseMention) -> bool:
    """Return whether a name is but a base word, with nothing before it that tells ("slow press")."""
    words = words_of(one.name if one.heard == "spelling" else one.text)
    if one.exercise is None and one.heard != "announced":
        return True
    if fold(words[-1]) not in room.bases:
        return False
    return len(words) == 1 or (words[0] in _SIDED and all(word in _SIDED | _LIMBS for word in words[:-1]))
