"""The listed names that sound like what stands where one is announced in the head of a chapter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.chapter_names.circumstances import EARLY, prior
from pipeline.chapter_names.naming import Candidate
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.mentions.name_sounds import HEARD_RIGHT, Sounding
from pipeline.mentions.slots import expectation, find_slots
from pipeline.mentions.tokens import tokens_of

# Judgement, fitted by eye on annotated classes.
#: Utterances of a chapter in which a misheard name is looked for; names kept of each place.
SLOTS, SHORTLIST = 6, 5
#: How a likeness (0 to 1) becomes a score: what a unit of it counts, and from which likeness on.
SLOT_SCALE, SLOT_LEAST = 1.5, 0.37
#: How alike a fuller name has to sound than what was named plainly, and by how much it then wins, though the plain one
#: may have been told in other words as well.
FULLER, FULLER_WINS = 0.8, 0.25


@dataclass(frozen=True, slots=True)
class Place:
    """Where a name is announced, in utterance ``at``: the names likeliest heard, each with its words."""

    at: int
    nearest: tuple[tuple[tuple[int, int], Sounding], ...]


def places_of(room: NamingRoom, talk: ChapterTalk) -> list[Place]:
    """Return where names are announced in the head of a chapter, with those that sound like what stands there."""
    mentions = room.mentions
    stop = min(talk.opening.first + SLOTS, talk.work + 1, talk.opening.stop)
    last = mentions.utterances[max(talk.opening.first, stop - 1)].stop
    found = []
    for at in range(talk.opening.first, max(stop, talk.opening.first + 1)):
        utterance = mentions.utterances[at]
        tokens = tokens_of(
            [word.text for word in mentions.transcript.words[utterance.first : min(last, utterance.stop)]]
        )
        for first, end in find_slots(tokens, 0, len(tokens)):
            nearest = room.sounds.nearest(tokens, first, end, expectation(tokens, first))
            placed = (
                ((utterance.first + tokens[one.first].word, utterance.first + tokens[one.stop - 1].word + 1), one)
                for one in nearest[:SHORTLIST]
            )
            found.append(Place(at, tuple(placed)))
    return found


def sounding(
    room: NamingRoom, talk: ChapterTalk, places: Sequence[Place], plainest: Candidate | None
) -> list[Candidate]:
    """Return the names that sound like what stands where one is announced.

    Beside what was named plainly, only a name counts that is likelier heard, in its words and more ("clamshell hold" in
    "clamshell fold").
    """
    found = []
    for place in places:
        if not place.nearest or place.nearest[0][1].score == HEARD_RIGHT:
            continue
        for words, one in place.nearest:
            if plainest is not None and plainest.mention is not None:
                named = plainest.mention.words
                fuller = words[0] <= named[0] and named[1] <= words[1] and words != named
                if one.exercise == plainest.exercise or not fuller or one.score < FULLER:
                    break
            exercise = room.lexicon.exercises[one.exercise]
            weight = SLOT_SCALE * (one.score - SLOT_LEAST) + prior(room, talk, exercise)
            if place.at - talk.opening.first < len(EARLY):
                weight += EARLY[place.at - talk.opening.first] / 2
            if plainest is not None:
                weight = plainest.score + FULLER_WINS
            found.append(Candidate(one.exercise, one.name, weight))
    return found
