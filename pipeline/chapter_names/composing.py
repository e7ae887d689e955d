"""Chapter names put together: what was said, where, with what, and in which posture, as a name and other names."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.chapter_names.naming import Candidate, Naming, is_shorter, same_exercise, words_of
from pipeline.chapter_names.room import ChapterTalk, NamingRoom
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.tokens import fold

#: At most so many composed other names are kept, so that a record stays readable.
MOST_ALIASES = 40
_TITLED = frozenset({"stance", "grip", "side"})
_ARTICLES = frozenset({"the", "your", "a"})
_JOINERS = frozenset({"with", "a", "to", "into", "and", "plus", "the", "an", "then", "your", "our"})


def compose(room: NamingRoom, talk: ChapterTalk, candidate: Candidate) -> Naming:
    """Return the naming of a chapter that is about this candidate."""
    stop = min(talk.work + 1, talk.opening.stop)
    modifiers = room.modifiers_in(talk.opening, stop)
    contexts = [one for one in (talk.posture, *room.implements) if one]
    one = candidate.mention
    exercise = room.lexicon.exercises.get(candidate.exercise or "")
    name = one.name if one is not None and not candidate.own else sentence(candidate.text)
    listed: tuple[str, ...] = ()
    if not candidate.own:
        listed = one.aliases if one is not None else exercise.names if exercise else ()
    joined = _joined(room, one) if one is not None else []
    spoken = set(words_of(name))
    fresh = [m for m in modifiers if not set(words_of(m.name)) & spoken]
    titled = [m for m in fresh if m.kind in _TITLED and not m.everyday]
    title = name
    if titled and len(spoken) <= 3 and one is not None:
        title = sentence(" ".join([*(m.name for m in titled), name]))
    bare = name.split("-", 1)[1] if name.lower().startswith(("left-", "right-")) else name
    aliases = [name, *joined, *_turned(name), *listed[:12]]
    bases = list(dict.fromkeys([*joined[:1], bare, *listed]))[:5]
    held = "seconds" in talk.units and (exercise is None or exercise.unit == "reps")
    for base in bases:
        own = set(words_of(base))
        aliases += [f"{word} {base.lower()}" for word in contexts if word not in own]
        aliases += [f"{contexts[0]} {word} {base.lower()}" for word in contexts[1:] if not {word, contexts[0]} & own]
        if held and "hold" not in own:
            aliases.append(f"{base.lower()} hold")
        apt = [m for m in fresh if not set(words_of(m.name)) & own]
        aliases += [f"{m.name} {base.lower()}" for m in apt]
        if len(apt) > 1:
            aliases.append(" ".join([*(m.name for m in apt[:3]), base.lower()]))
    aliases += listed[12:]
    kept = tuple(dict.fromkeys(a for a in aliases if a))[:MOST_ALIASES]
    said = one.equipment if one is not None else exercise.equipment if exercise else ()
    equipment = tuple(dict.fromkeys([*said, *(m.equipment for m in modifiers if m.equipment)]))
    muscles = one.muscles if one is not None else exercise.muscles if exercise else ()
    return Naming(candidate.exercise, title, kept, min(1.0, max(0.0, candidate.score)), equipment, muscles)


def sentence(text: str) -> str:
    """Return a name with a capital at its start only, but for proper names written in capitals."""
    first, _, rest = text.partition(" ")
    words = [word if word.isupper() or not word[:1].isupper() else word[:1].lower() + word[1:] for word in rest.split()]
    return " ".join([first[:1].upper() + first[1:], *words])


def _turned(name: str) -> list[str]:
    """Return "foot pedal" for "pedal the feet": what is told as an action, as the noun that it is known by."""
    words = words_of(name)
    if len(words) != 3 or words[1] not in _ARTICLES:
        return []
    noun = "foot" if words[2] == "feet" else fold(words[2])
    return [sentence(f"{noun} {words[0]}")]


def _joined(room: NamingRoom, one: ExerciseMention) -> list[str]:
    """Return "squat with a reach", "clean, squat and press" where an exercise is said with what goes with it."""
    made = []
    tokens, words = room.mentions.tokens, room.mentions.transcript.words
    k = one.words[1]
    if k < len(tokens) and tokens[k] in {"with", "to", "into", "and", "plus"} and words[k - 1].text[-1:] not in ".!?;":
        while k < len(tokens) and tokens[k] in _JOINERS:
            k += 1
        stop = k
        while stop < min(k + 2, len(tokens)):
            stop += 1
            if words[stop - 1].text[-1:] in ",.!?;":
                break
            made.append(" ".join([one.text, *tokens[one.words[1] : stop]]))
        if stop > k:
            made.append(" ".join([one.text, *tokens[one.words[1] : stop]]))
    said = room.mentions.exercises
    at = said.index(one)
    first, last = at, at
    while first > 0 and _strung(room, said[first - 1], said[first]):
        first -= 1
    while last + 1 < len(said) and _strung(room, said[last], said[last + 1]):
        last += 1
    if last > first:
        parts = [each.text for each in said[first : last + 1]]
        made.append(f"{', '.join(parts[:-1])} and {parts[-1]}")
    return [sentence(text) for text in reversed(list(dict.fromkeys(made)))]


def _strung(room: NamingRoom, one: ExerciseMention, other: ExerciseMention) -> bool:
    """Return whether two names stand in one sentence with nothing but joining words between them."""
    between = room.mentions.tokens[one.words[1] : other.words[0]]
    ends = any(room.mentions.transcript.words[k].text[-1:] in ".!?" for k in range(one.words[1] - 1, other.words[0]))
    return len(between) <= 3 and not ends and all(token in _JOINERS for token in between)


def all_names(namings: Sequence[Naming]) -> Naming:
    """Return the fullest of the names that one exercise was given, with all its other names."""
    full = [one for one in namings if not any(is_shorter(one.name, other.name) for other in namings)]
    best = max(full, key=lambda one: (one.exercise is not None, one.score))
    longest = max(
        (one for one in namings if same_exercise(one, best) and one.score >= best.score / 2),
        key=lambda one: len(one.name),
    )
    aliases = dict.fromkeys(alias for one in namings for alias in (one.name, *one.aliases[:8]))
    aliases.update(dict.fromkeys(alias for one in namings for alias in one.aliases))
    return Naming(
        longest.exercise,
        longest.name,
        tuple(aliases)[:MOST_ALIASES],
        longest.score,
        longest.equipment,
        longest.muscles,
    )
