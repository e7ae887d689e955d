"""Paraphrases: each leads to its exercise when said as it stands, and none of them is the name of another one."""

from __future__ import annotations

import pytest

import lexicon
from lexicon import name_key
from pipeline.chapter_names.stems import stems_of
from pipeline.chapter_names.told import told_index

LEXICON = lexicon.load()


def test_a_paraphrase_said_as_it_stands_leads_to_its_exercise() -> None:
    index, lost = told_index(LEXICON), []
    for exercise, phrases in LEXICON.paraphrases.items():
        for phrase in phrases:
            given = frozenset(part for part in stems_of(" ".join(LEXICON.exercises[exercise].equipment)))
            if exercise not in {told.exercise for told in index.find([stems_of(phrase)], given)}:
                lost.append((exercise, phrase))
    assert lost == []


def test_a_paraphrase_is_no_name_of_another_exercise() -> None:
    owners = {name_key(name): one.id for one in LEXICON.exercises.values() for name in one.names}
    taken = [
        (exercise, phrase, owners[name_key(phrase)])
        for exercise, phrases in LEXICON.paraphrases.items()
        for phrase in phrases
        if owners.get(name_key(phrase), exercise) != exercise
    ]
    assert taken == []


@pytest.mark.parametrize(
    ("words", "stems"),
    [
        ("we're pulling the band apart", ("pull", "band", "apart")),
        ("a band pull-apart", ("band", "pull", "apart")),
        ("raised, raises", ("rais", "rais")),
        ("two push-ups", ("two", "pushup")),
    ],
)
def test_words_meet_whatever_their_ending(words: str, stems: tuple[str, ...]) -> None:
    assert stems_of(words) == stems
