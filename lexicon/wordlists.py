"""Reads and checks the lists beside the exercises: closed vocabulary, activities, modifiers, phrases."""

from __future__ import annotations

from collections.abc import Container, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from lexicon.entries import Activity, LexiconError, Modifier
from lexicon.fields import cells_of, one_of

HOME = Path(__file__).parent
MODIFIER_KINDS = ("stance", "grip", "side", "implement", "tempo", "range", "support")
MODIFIER_FIELDS = {"name", "other_names", "equipment", "position", "after", "everyday"}
WORD_LISTS = ("base_words", "clear_words")


def read_vocabulary(problems: list[LexiconError]) -> Mapping[str, tuple[str, ...]]:
    """Return the closed lists of ``vocabulary.yaml``; what is wrong is appended to ``problems``."""
    data = _own_yaml("vocabulary.yaml", problems)
    for key in ("muscles", "joint_actions", "patterns", "equipment", "positions"):
        if not isinstance(data.get(key), list):
            problems.append(LexiconError("vocabulary.yaml", "", key, "is not a list", "a list of words"))
            data[key] = []
    lists = {key: words for key, words in data.items() if isinstance(words, list)}
    return MappingProxyType({str(key): tuple(map(str, words)) for key, words in lists.items()})


def read_muscle_words(muscles: Container[str], problems: list[LexiconError]) -> Mapping[str, tuple[str, ...]]:
    """Return what coaches call muscles, with the muscles meant; what is wrong is appended to ``problems``."""
    file, found = "vocabulary.yaml", dict[str, tuple[str, ...]]()
    for word, meant in dict(_own_yaml(file, problems).get("muscle_words") or {}).items():
        found[str(word)] = cells_of(meant)
        for muscle in found[str(word)]:
            if muscle not in muscles:
                problem = f"{muscle!r} is not in the list muscles"
                problems.append(LexiconError(file, "muscle_words", str(word), problem, "a muscle of that list"))
    return MappingProxyType(found)


def read_activities(problems: list[LexiconError]) -> Mapping[str, Activity]:
    """Return the activities of ``activities.yaml`` by code; what is wrong is appended to ``problems``."""
    file, found = "activities.yaml", dict[str, Activity]()
    data = _own_yaml(file, problems)
    for code, entry in dict(data.get("activities") or {}).items():
        if isinstance(entry, dict) and isinstance(entry.get("met"), float) and entry.get("activity"):
            found[str(code)] = Activity(str(code), int(data["year"]), entry["met"], str(entry["activity"]))
        else:
            remedy = "met (a number with a point, such as 3.8) and activity"
            problems.append(LexiconError(file, "activities", str(code), "is no activity", remedy))
    return MappingProxyType(found)


def read_modifiers(
    vocabulary: Mapping[str, tuple[str, ...]], problems: list[LexiconError]
) -> tuple[tuple[Modifier, ...], list[tuple[str, ...]]]:
    """Return the modifiers, and the two lists of words that stand beside them."""
    file, found = "modifiers.yaml", list[Modifier]()
    data = _own_yaml(file, problems)
    words = [cells_of(data.pop(name, None)) for name in WORD_LISTS]
    for kind, entries in data.items():
        if kind not in MODIFIER_KINDS or not isinstance(entries, list):
            problems.append(LexiconError(file, "", kind, "no such group", one_of(kind, MODIFIER_KINDS)))
            continue
        for entry in entries:
            if not isinstance(entry, dict) or not entry.get("name") or set(entry) - MODIFIER_FIELDS:
                remedy = f"a name, and if need be {', '.join(sorted(MODIFIER_FIELDS - {'name'}))}"
                problems.append(LexiconError(file, kind, str(entry), "is no modifier", remedy))
                continue
            for field, group in (("equipment", "equipment"), ("position", "positions")):
                if (word := entry.get(field, "")) and word not in vocabulary[group]:
                    problem = f"{word!r} is not in the list {group} of vocabulary.yaml"
                    remedy = one_of(str(word), vocabulary[group])
                    problems.append(LexiconError(file, f"{kind} {entry['name']}", field, problem, remedy))
            rest = {field: entry[field] for field in MODIFIER_FIELDS - {"name", "other_names"} if field in entry}
            found.append(Modifier(kind, str(entry["name"]), cells_of(entry.get("other_names")), **rest))
    return tuple(found), words


def read_phrases(problems: list[LexiconError]) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Return the phrases of ``phrases.yaml`` by group and kind."""
    file, groups = "phrases.yaml", {}
    for group, kinds in _own_yaml(file, problems).items():
        if not isinstance(kinds, dict):
            problems.append(LexiconError(file, "", str(group), "is not a group", "kinds, each with its phrases"))
            continue
        for kind, phrases in kinds.items():
            if not isinstance(phrases, list):
                remedy = "a list of phrases ('- drop your shoulders')"
                problems.append(LexiconError(file, str(group), str(kind), "is not a list", remedy))
        lists = {str(k): tuple(map(str, v)) for k, v in kinds.items() if isinstance(v, list)}
        groups[str(group)] = MappingProxyType(lists)
    return MappingProxyType(groups)


def read_paraphrases(
    exercises: Container[str], problems: list[LexiconError]
) -> tuple[Mapping[str, tuple[str, ...]], Mapping[str, tuple[str, ...]]]:
    """Return the paraphrases by exercise id, and what is said for words of names."""
    file, found = "paraphrases.yaml", list[Mapping[str, tuple[str, ...]]]()
    data = _own_yaml(file, problems)
    for group in ("exercises", "words"):
        entries = data.get(group)
        if not isinstance(entries, dict):
            problems.append(LexiconError(file, "", group, "is not a group", "entries, each with its list"))
            entries = {}
        for key, phrases in entries.items():
            if group == "exercises" and key not in exercises:
                remedy = "an id of exercises/*.csv"
                problems.append(LexiconError(file, group, str(key), "is no exercise's id", remedy))
            elif not isinstance(phrases, list):
                problems.append(LexiconError(file, group, str(key), "is not a list", "a list of phrases"))
        lists = {str(k): tuple(map(str, v)) for k, v in entries.items() if isinstance(v, list)}
        found.append(MappingProxyType(lists))
    return found[0], found[1]


def _own_yaml(name: str, problems: list[LexiconError]) -> dict[Any, Any]:
    data = parse_yaml(HOME / name, (HOME / name).read_text(encoding="utf-8"), problems)
    if isinstance(data, dict):
        return data
    if data is not None:
        problems.append(LexiconError(name, "", "", "is not a mapping", "groups, each with its entries"))
    return {}


def parse_yaml(file: Path, text: str, problems: list[LexiconError]) -> Any:
    """Return what a YAML text holds; ``None``, and a problem appended, where it cannot be read."""
    import yaml

    try:
        # The parser in C reads some seven times as fast; a wheel without it still reads.
        return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        place = f"line {mark.line + 1}" if mark else ""
        problem = getattr(error, "problem", None) or "cannot be read"
        problems.append(LexiconError(file.name, place, "", str(problem), "YAML, indented with blanks"))
        return None
