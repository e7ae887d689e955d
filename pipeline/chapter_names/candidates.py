"""What a chapter may be about: every exercise named, told or misheard while turning to it, weighed together."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

from pipeline.chapter_names import lead_in
from pipeline.chapter_names.circumstances import EARLY, prior
from pipeline.chapter_names.named import named
from pipeline.chapter_names.naming import Candidate, words_of
from pipeline.chapter_names.own_names import NOUN, own_names
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.chapter_names.sounding import places_of, sounding
from pipeline.chapter_names.stems import stem, stems_of
from pipeline.chapter_names.told import GIVEN, ToldIndex
from pipeline.mentions.name_sounds import HEARD_RIGHT
from pipeline.mentions.tokens import fold

# Judgement, fitted by eye on annotated classes; a score is from 0 to about 1.2.
#: A name that scores less is no name plainly said: one of the class's own may stand beside it.
WEAK = 0.3
#: Sentences told later in the chapter, and in the set, count this share.
TOLD_LATER, TOLD_IN_SET = 0.92, 0.7
#: How many candidates of a chapter are weighed against its neighbours, and the least that one has to score.
MOST, LEAST = 7, 0.16
#: A base word that was named plainly, and a fuller name of it that was told: what each is worth for the fuller one.
SPECIAL_NAMED, SPECIAL_TOLD, TOLD_ENOUGH, NAMED_IN_FULL = 0.8, 0.45, 0.42, 0.5
#: What the further words of a fuller name have to weigh.
TELLS_MORE = 2.0
#: Beside a name that scores this, what is told of another exercise counts this share: it explains the name.
PLAIN, EXPLAINS, HEARD_WELL, ANNOUNCED = 0.7, 0.6, 0.9, 0.5
#: From this likeness on, what stands there is rather the name misheard than a name of the class's own.
LIKELY = 0.8
#: What a second mention of a name adds, and being told or heard in another way as well.
REPEATED, BOTH_WAYS = 0.03, 0.1


def candidates_of(room: NamingRoom, talk: ChapterTalk, index: ToldIndex) -> list[Candidate]:
    """Return what a chapter may be about, the likeliest first, one candidate an exercise."""
    best: dict[str, Candidate] = {}
    said = named(room, talk)
    whole = [one for one in said if not one.generic and not one.own]
    plainest = max(whole, key=lambda one: one.score, default=None)
    surest = plainest.score if plainest else 0.0
    exactly = plainest is not None and plainest.mention is not None and plainest.mention.heard == "exact"
    places = places_of(room, talk)
    heard = sounding(room, talk, places, plainest if exactly and surest >= PLAIN else None)
    misheard = {
        word
        for place in places
        for words, one in place.nearest[:1]
        if LIKELY <= one.score < HEARD_RIGHT
        for word in range(*words)
    }
    said = [one for one in said if not _is_unlisted(one, misheard)]
    for source in (said, heard, _told(room, talk, index)):
        fresh = dict[str, Candidate]()
        for one in sorted(source, key=lambda one: -one.score):
            known = fresh.get(one.key)
            fresh[one.key] = one if known is None else replace(known, score=known.score + REPEATED)
        for key, one in fresh.items():
            known = best.get(key)
            if known is not None:
                # Named and told in other words as well: both speak for it.
                kept = known if known.mention is not None else one
                one = replace(kept, score=max(known.score, one.score) + BOTH_WAYS)
            best[key] = one
    told = {room.mentions.tokens[word] for word in misheard}
    for one in own_names(room, talk):
        if told and {fold(word) for word in told}.issuperset(map(fold, words_of(one.text))):
            continue
        if one.key not in best and (one.score > NOUN or surest < WEAK):
            best[one.key] = one
    _specialise(room, best, index)
    _list_own(room, best)
    _explain(room, best)
    found = sorted(best.values(), key=lambda one: -one.score)
    return [one for one in found if one.score >= LEAST][:MOST]


def _is_unlisted(one: Candidate, misheard: Set[int]) -> bool:
    """Return whether misheard words were taken for a name that no list holds."""
    if one.mention is None or not (one.own or one.mention.heard == "announced"):
        return False
    return misheard >= set(range(*one.mention.words))


def _specialise(room: NamingRoom, best: dict[str, Candidate], index: ToldIndex) -> None:
    """Lift what was told in full where a base word of it was named ("this is our row" with a band, seated)."""
    bare = [one for one in best.values() if one.generic and one.mention is not None]
    plain = {
        stem(part)
        for one in best.values()
        if not one.generic and one.mention is not None and one.score >= NAMED_IN_FULL
        for part in words_of(one.text)
    }
    for key, told in best.items():
        if told.mention is not None or told.score < TOLD_ENOUGH or told.exercise is None:
            continue
        for one in bare:
            base = stem(fold(words_of(one.text)[-1]))
            if base not in plain and _tells_more(base, told.told, index):
                score = SPECIAL_NAMED * one.score + SPECIAL_TOLD * told.score
                if score > best[key].score:
                    best[key] = replace(told, score=score)


def _list_own(room: NamingRoom, best: dict[str, Candidate]) -> None:
    """Take a name that no list holds for the listed one that was told in the same words, or in these and more.

    "It's a cushion squeeze bridge" beside what is told of a bridge with a cushion squeeze.
    """
    for one in list(best.values()):
        announced = one.mention is not None and one.mention.heard == "announced"
        if not announced and (not one.own or one.mention is not None or one.score <= NOUN):
            continue
        stems = set(stems_of(one.text))
        fuller = [
            known
            for known in best.values()
            if known.told and known.exercise is not None
            if any(stems <= set(stems_of(name)) for name in room.lexicon.exercises[known.exercise].names)
        ]
        if fuller:
            known = max(fuller, key=lambda each: each.score)
            best[known.key] = replace(known, score=max(known.score, one.score) + BOTH_WAYS)
            del best[one.key]


def _explain(room: NamingRoom, best: dict[str, Candidate]) -> None:
    """Lower what was told beside a plain name: it explains that name, but for a fuller name of the same."""
    plain = [
        one
        for one in best.values()
        if (one.own and one.score > NOUN) or (one.mention is not None and not one.generic and _is_plain(one))
    ]
    if not plain:
        return
    surest = max(plain, key=lambda one: one.score)
    whole = set() if surest.own else set(map(fold, words_of(surest.text)))
    for key, told in best.items():
        if told.mention is None and told.exercise is not None and not told.own:
            names = room.lexicon.exercises[told.exercise].names[:4]
            if not any(whole and whole <= set(map(fold, words_of(name))) for name in names):
                best[key] = replace(told, score=told.score * EXPLAINS)


def _is_plain(one: Candidate) -> bool:
    if one.mention is None:
        return False
    if one.mention.heard == "announced":
        return one.score >= ANNOUNCED and lead_in.is_announced(one.mention)
    return one.score >= PLAIN and (one.mention.heard == "exact" or one.mention.score >= HEARD_WELL)


def _tells_more(base: str, name: str, index: ToldIndex) -> bool:
    """Return whether a name holds the base word and, with it, more than posture, equipment or directions."""
    stems = set(stems_of(name))
    return base in stems and sum(map(index.weight, stems - {base, "arm", "leg", "grip"} - GIVEN)) >= TELLS_MORE


def _told(room: NamingRoom, talk: ChapterTalk, index: ToldIndex) -> list[Candidate]:
    found = []
    instructions = {
        one.exercise
        for at in range(talk.opening.first, talk.opening.stop)
        for one in room.said.get(at, [])
        for lead in [lead_in.lead_in(room.mentions, one)]
        if lead_in.is_instruction(one, lead) or lead_in.is_comparison(lead)
    }
    for told in index.find(talk.sentences, room.given(talk)):
        if told.exercise in instructions and not told.paraphrase:
            continue
        exercise = room.lexicon.exercises[told.exercise]
        at = talk.sentence_at[told.sentence]
        weight = told.score
        if at >= talk.work:
            weight *= TOLD_IN_SET
        elif at - talk.opening.first < len(EARLY):
            weight += EARLY[at - talk.opening.first] / 2
        else:
            weight *= TOLD_LATER
        weight += prior(room, talk, exercise)
        found.append(Candidate(told.exercise, exercise.name, weight, told=told.text))
    return found
