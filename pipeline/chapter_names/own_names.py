"""Names that a class has for itself: "Locust lifts:", "we'll do a puppy", "a frogger is a plank and you hop"."""

from __future__ import annotations

from pipeline.chapter_names.lead_in import is_own_word
from pipeline.chapter_names.naming import Candidate
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH
from pipeline.mentions.slots import find_slots
from pipeline.mentions.tokens import fold, tokens_of

#: Utterances of a chapter in which a name of its own is looked for.
HEAD = 4
#: What "locust lifts" at the start of a sentence scores, and what an announced noun scores where nothing else is known.
WITH_BASE, NOUN = 0.6, 0.34
#: Words that a noun announced has at most.
LONGEST_NOUN = 2
_NO_NOUN_WORDS = """
thing one way bit move block round set side minute second class plan time exercise circuit warm-up finisher pair end
start top bottom middle rest break work weight weights mat floor wall bench chair band job kind sort place part half
rung station superset ladder pyramid burn idea trick day week morning last first next question reason secret deal
"""
_NO_NOUN = frozenset(_NO_NOUN_WORDS.split()) | PLAIN_SPEECH | NUMBERS


def own_names(room: NamingRoom, talk: ChapterTalk) -> list[Candidate]:
    """Return what a chapter's first sentences may call an exercise that no list holds."""
    found = []
    mentions = room.mentions
    for at in range(talk.opening.first, min(talk.opening.first + HEAD, talk.work + 1, talk.opening.stop)):
        utterance = mentions.utterances[at]
        for k in range(utterance.first + 1, utterance.stop):
            token = mentions.tokens[k]
            if token != fold(token) and fold(token) in room.bases and is_own_word(mentions, k - 1, room.modifier_words):
                starts = k - 1 == utterance.first or mentions.transcript.words[k - 2].text[-1:] in ",.!?;:"
                if starts:
                    found.append(Candidate(None, f"{mentions.tokens[k - 1]} {fold(token)}", WITH_BASE, own=True))
        found += _announced(room, utterance.first, utterance.stop)
    return found


def _announced(room: NamingRoom, first: int, stop: int) -> list[Candidate]:
    words = room.mentions.transcript.words
    tokens = tokens_of([word.text for word in words[first:stop]])
    found = []
    for start, end in find_slots(tokens, 0, len(tokens)):
        noun = tokens[start:end]
        ends = end == len(tokens) or noun[-1].pause
        article = start > 0 and tokens[start - 1].plain in {"a", "an", "the", "our", "some"}
        if not ends or not article or len(noun) > LONGEST_NOUN:
            continue
        if any(token.plain in _NO_NOUN or not token.plain.isalpha() for token in noun):
            continue
        if len(noun) > 1 and noun[-1].text in room.bases and room.sounds.is_foreign(noun[0]):
            found.append(Candidate(None, " ".join(token.text for token in noun), WITH_BASE, own=True))
        elif room.sounds.is_foreign(noun[-1]) and not noun[-1].plain.endswith(("ing", "ly", "ed")):
            found.append(Candidate(None, " ".join(token.text for token in noun), NOUN, own=True))
    return found
