"""Names that a class has for itself: "Locust lifts:", "we'll do a puppy", "a frogger is a plank and you hop"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from pipeline.chapter_names.lead_in import is_own_word
from pipeline.chapter_names.naming import Candidate, words_of
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH
from pipeline.mentions.slots import find_slots
from pipeline.mentions.tokens import fold, tokens_of

#: Utterances of a chapter in which a name of its own is looked for.
HEAD = 4
#: What "locust lifts" at the start of a sentence scores, and what an announced noun scores where nothing else is known.
WITH_BASE, NOUN = 0.6, 0.34
#: What a name scores of which it is said that it is one ("we call it …"), and how many words it has at most.
CALLED, LONGEST_CALLED = 1.2, 3
#: Words that a noun announced has at most.
LONGEST_NOUN = 2
_CALLS = re.compile(
    r"\b(?:(?:we|i|they|people|you|who) (?:(?:like to|always|sometimes|just|can) )?call(?: it| this| these| them)"
    r"|(?:it's|it is|this is|this one's|one's|one is|that's|they're|these are|move|exercise) called"
    r"|(?:known|goes by the name|by the name) (?:as|of))(?: (?:a|an|the|our|my))? $"
)
_NO_NOUN_WORDS = """
thing one way bit move block round set side minute second class plan time exercise circuit warm-up finisher pair end
start top bottom middle rest break work weight weights mat floor wall bench chair band job kind sort place part half
rung station superset ladder pyramid burn idea trick day week morning last first next question reason secret deal
"""
_ARTICLES = frozenset({"a", "an", "the", "our", "my"})
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
        found += _called(room, utterance.first, utterance.stop)
    return found


def _called(room: NamingRoom, first: int, stop: int) -> Iterator[Candidate]:
    """Yield what it is said that the exercise is called, up to the next pause."""
    words, tokens = room.mentions.transcript.words, room.mentions.tokens
    for k in range(first + 2, stop):
        if tokens[k] in _ARTICLES or not _CALLS.search("".join(f"{token} " for token in tokens[first:k])):
            continue
        end = k + 1
        while end < stop and words[end - 1].text[-1:] not in ",.!?;:":
            end += 1
        name = [part for token in tokens[k:end] for part in words_of(token)]
        if len(name) <= LONGEST_CALLED and not any(part in _NO_NOUN or not part.isalpha() for part in name):
            yield Candidate(None, " ".join([*name[:-1], fold(name[-1])]), CALLED, own=True)


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
        elif len(noun) > 1 and noun[-1].plain != noun[-1].text and room.sounds.is_foreign(noun[-1]):
            # In the plural and in two words ("the towel snatchers") it is rather a name than talk.
            found.append(Candidate(None, " ".join(token.text for token in noun), WITH_BASE, own=True))
        elif room.sounds.is_foreign(noun[-1]) and not noun[-1].plain.endswith(("ing", "ly", "ed")):
            found.append(Candidate(None, " ".join(token.text for token in noun), NOUN, own=True))
    return found
