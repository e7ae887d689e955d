"""What a chapter may be about: every exercise named or told while turning to it, with what speaks for it."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass, replace

from lexicon import Exercise
from pipeline.chapter_names import lead_in
from pipeline.chapter_names.naming import Candidate, words_of
from pipeline.chapter_names.own_names import NOUN, own_names
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.chapter_names.stems import stem, stems_of
from pipeline.chapter_names.told import GIVEN, ToldIndex
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.name_sounds import HEARD_RIGHT, Sounding
from pipeline.mentions.slots import expectation, find_slots
from pipeline.mentions.tokens import fold, tokens_of

# Judgement, fitted by eye on annotated classes; a score is from 0 to about 1.2.
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
#: "Hands under shoulders, mountain climbers": in the plural, or alone at a sentence's end, it is a name.
PLURAL = 0.1
#: "A row and a press": the first of two comes first; "move two is a press", "and then a press" is not yet.
AFTER_ANOTHER, NOT_YET = 0.08, 0.65
#: Reps of what is usually held speak against a name.
WRONG_UNIT = 0.2
#: A name whose equipment the class never speaks of, or whose posture is another one.
WRONG_EQUIPMENT, WRONG_POSTURE, RIGHT_POSTURE = 0.12, 0.06, 0.04
#: Sentences told later in the chapter, and in the set, count this share.
TOLD_LATER, TOLD_IN_SET = 0.92, 0.7
#: How many candidates of a chapter are weighed against its neighbours, and the least that one has to score.
MOST, LEAST = 7, 0.16
#: A bare base word ("hold", "bend") is no name on its own below ``WEAK``; "three lifts" speaks of three exercises.
WEAK, BARE, BARE_COUNTED = 0.3, 0.12, 0.35
#: "Pull-through: high plank, feet wide": a heading.
HEADING = 0.25
#: "Fingers spread", "the other arm curls", "like a rocking horse": told to a part of the body, or a comparison.
INSTRUCTION = 0.45
#: A base word that was named plainly, and a fuller name of it that was told: what each is worth for the fuller one.
SPECIAL_NAMED, SPECIAL_TOLD, TOLD_ENOUGH, NAMED_IN_FULL = 0.8, 0.45, 0.42, 0.5
#: What the further words of a fuller name have to weigh.
TELLS_MORE = 2.0
#: Beside a name that scores this, what is told of another exercise counts this share: it explains the name.
PLAIN, EXPLAINS, HEARD_WELL = 0.7, 0.6, 0.9
#: Utterances of a chapter in which a misheard name is looked for; names kept of each place; how a likeness (0 to 1)
#: becomes a score.
SLOTS, SHORTLIST = 6, 5
#: How alike a fuller name has to sound than what was named plainly, and by how much it then wins, though the plain one
#: may have been told in other words as well.
FULLER, FULLER_WINS = 0.8, 0.25
SLOT_SCALE, SLOT_LEAST = 1.5, 0.37
#: From this likeness on, what stands there is rather the name misheard than a name of the class's own.
LIKELY = 0.8
#: What a second mention of a name adds, and being told or heard in another way as well.
REPEATED, BOTH_WAYS = 0.03, 0.1
#: "Goddess squats": a base word with a word of its own before it is a name of its own.
OWN_NAME, MOST_OWN = 0.15, 0.72

_SIDED = frozenset({"single", "one", "right", "left", "double", "two", "alternating"})
_LIMBS = frozenset({"arm", "leg", "hand"})
_ARTICLES = frozenset({"a", "an", "the", "our", "your", "for", "into", "some", "these"})
_POSTURES = {
    "seated": {"seated"}, "standing": {"standing", "bent over", "supported"}, "lying": {"supine"},
    "side-lying": {"side-lying", "side plank"}, "prone": {"prone", "plank"},
    "kneeling": {"kneeling", "half-kneeling", "hands and knees"}, "half-kneeling": {"half-kneeling"},
    "bent-over": {"bent over", "standing"},
}  # fmt: skip


def candidates_of(room: NamingRoom, talk: ChapterTalk, index: ToldIndex) -> list[Candidate]:
    """Return what a chapter may be about, the likeliest first, one candidate an exercise."""
    best: dict[str, Candidate] = {}
    named = _named(room, talk)
    whole = [one for one in named if not one.generic and not one.own]
    plainest = max(whole, key=lambda one: one.score, default=None)
    surest = plainest.score if plainest else 0.0
    exactly = plainest is not None and plainest.mention is not None and plainest.mention.heard == "exact"
    places = _places(room, talk)
    sounding = _sounding(room, talk, places, plainest if exactly and surest >= PLAIN else None)
    misheard = {
        word
        for place in places
        for words, one in place.nearest[:1]
        if LIKELY <= one.score < HEARD_RIGHT
        for word in range(*words)
    }
    named = [one for one in named if not _is_unlisted(one, misheard)]
    for source in (named, sounding, _told(room, talk, index)):
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
    heard = one.mention is not None and (one.mention.heard == "exact" or one.mention.score >= HEARD_WELL)
    return heard and one.score >= PLAIN


def _tells_more(base: str, name: str, index: ToldIndex) -> bool:
    """Return whether a name holds the base word and, with it, more than posture, equipment or directions."""
    stems = set(stems_of(name))
    return base in stems and sum(map(index.weight, stems - {base, "arm", "leg", "grip"} - GIVEN)) >= TELLS_MORE


def _named(room: NamingRoom, talk: ChapterTalk) -> list[Candidate]:
    found = []
    opening, mentions = talk.opening, room.mentions
    begins = mentions.utterances[opening.first].start
    for at in range(max(0, opening.first - 1), opening.stop):
        for one in room.said.get(at, []):
            late = max(0.0, mentions.utterances[at].start - begins - PROMPT)
            weight = one.score * one.doing - LATE * min(late, 30.0)
            if at >= talk.work:
                weight *= IN_SET if at > talk.work else AT_START
            if at < opening.first:
                weight *= JUST_BEFORE
            elif at - opening.first < len(EARLY):
                weight += EARLY[at - opening.first]
            if one.heard == "sound":
                weight *= BY_SOUND
            before = set(mentions.tokens[max(0, one.words[0] - 2) : one.words[0]])
            lead = lead_in.lead_in(room.mentions, one)
            if lead_in.is_start(lead):
                weight *= STARTING_POSITION
            if one.exercise is not None and one.heard == "exact":
                weight += TELLING * min(3, len(words_of(one.text)) - 1)
            if _ARTICLES & before:
                weight += ARTICLE
            earlier = sum(1 for other in room.said.get(at, []) if other.words[0] < one.words[0] and other.doing >= 0.5)
            weight -= AFTER_ANOTHER * min(2, earlier)
            if lead_in.is_later(lead):
                weight *= NOT_YET
            if one.heard == "announced":
                weight *= BY_SOUND
            if lead_in.is_instruction(one, lead) or lead_in.is_comparison(lead):
                weight *= INSTRUCTION
            if lead_in.is_plural(room.mentions, one) and one.doing >= 0.5:
                weight += PLURAL
            if one.exercise is not None:
                weight += _prior(room, talk, room.lexicon.exercises[one.exercise], one)
            generic = _is_generic(room, one)
            own = lead_in.own_name(room.mentions, one, room.modifier_words) if generic and one.doing >= 0.5 else None
            if own is not None:
                found.append(Candidate(None, own, min(MOST_OWN, weight + OWN_NAME), one, own=True))
                continue
            if one.words[1] > one.words[0] and _heads(room, one):
                weight += HEADING
            if one.exercise is None and one.heard != "announced":
                weight -= BARE_COUNTED if lead_in.is_counted(lead) else BARE
            found.append(Candidate(one.exercise, one.name, weight, one, generic))
    return found


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


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a name is announced, in utterance ``at``: the names likeliest heard, each with its words."""

    at: int
    nearest: tuple[tuple[tuple[int, int], Sounding], ...]


def _places(room: NamingRoom, talk: ChapterTalk) -> list[_Place]:
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
            found.append(_Place(at, tuple(placed)))
    return found


def _sounding(
    room: NamingRoom, talk: ChapterTalk, places: Sequence[_Place], plainest: Candidate | None
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
            weight = SLOT_SCALE * (one.score - SLOT_LEAST) + _prior(room, talk, exercise, None)
            if place.at - talk.opening.first < len(EARLY):
                weight += EARLY[place.at - talk.opening.first] / 2
            if plainest is not None:
                weight = plainest.score + FULLER_WINS
            found.append(Candidate(one.exercise, one.name, weight))
    return found


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
        weight += _prior(room, talk, exercise, None)
        found.append(Candidate(told.exercise, exercise.name, weight, told=told.text))
    return found


def _prior(room: NamingRoom, talk: ChapterTalk, exercise: Exercise, one: ExerciseMention | None) -> float:
    """Return what unit, equipment and posture add to or take from an exercise."""
    prior = 0.0
    if "reps" in talk.units and exercise.unit != "reps":
        prior -= WRONG_UNIT
    loose = {"none", "mat", "cushion", "block"}
    if not loose & set(exercise.equipment) and not room.equipment & set(exercise.equipment):
        prior -= WRONG_EQUIPMENT
    expected = _POSTURES.get(talk.posture)
    if expected:
        prior += RIGHT_POSTURE if expected & set(exercise.position) else -WRONG_POSTURE
    return prior
