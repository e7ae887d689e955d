"""What a chapter is called: facts about classes, each a few sentences long."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

import lexicon
from pipeline.chapter_names import UNNAMED, Naming, Opening, name_chapters
from pipeline.chapter_names.stems import stems_of
from pipeline.chapter_names.told import told_index
from pipeline.counting.draft import Draft
from pipeline.mentions.hear import Listener, Mentions
from pipeline.mentions.tokens import key_of
from pipeline.model import Source, Transcript, Word

LEXICON = lexicon.load()
MISHEARD = Path(__file__).with_name("misheard.csv")
#: Seconds a word takes, and the pause between two captions.
A_WORD, A_PAUSE = 0.4, 0.5


@pytest.fixture(scope="module")
def listener() -> Listener:
    return Listener(LEXICON)


def hear(listener: Listener, *captions: str) -> Mentions:
    """Hear captions, each an utterance of its own."""
    words, time = list[Word](), 0.0
    for caption in captions:
        for text in caption.split():
            words.append(Word(text, time, time + A_WORD - 0.01))
            time += A_WORD
        time += A_PAUSE
    source = Source("class.vtt", "webvtt", "cue", time)
    return listener.hear(Transcript(source, tuple(words), ()))


def name(listener: Listener, *chapters: tuple[str, ...], drafts: tuple[Draft, ...] = ()) -> list[Naming]:
    """Name chapters that follow one another, each a few captions."""
    mentions = hear(listener, *(caption for chapter in chapters for caption in chapter))
    starts = [0]
    for chapter in chapters:
        starts.append(starts[-1] + len(chapter))
    assert len(mentions.utterances) == starts[-1]
    openings = [Opening(a, b, "exercise", 1.0) for a, b in pairwise(starts)]
    return name_chapters(openings, mentions, drafts, LEXICON)


@pytest.mark.parametrize(
    ("exercise", "captions"),
    [
        ("band-pull-apart", ("Pick up your band.", "We're pulling the band apart at chest height.")),
        ("shoulder-press", ("Third lift.", "We press the bar overhead, nice and strict.")),
        ("seated-leg-extension", ("Staying seated, we're going to straighten one leg at a time.",)),
        ("glute-bridge", ("Onto your back, feet flat.", "Lift your hips up to the ceiling.")),
        ("shoulder-blade-squeeze", ("Arms by your sides.", "Draw the shoulder blades towards each other.")),
        ("reverse-lunge", ("Step back and drop the knee to the floor.",)),
    ],
)
def test_an_exercise_told_in_other_words_is_known(listener: Listener, exercise: str, captions: tuple[str, ...]) -> None:
    (naming,) = name(listener, captions)
    assert naming.exercise == exercise


@pytest.mark.parametrize(
    ("exercise", "captions"),
    [
        ("push-up", ("Hands wider than the shoulders, fingers spread.", "It's the ordinary press-up now.")),
        ("mountain-climber", ("Down to the floor, mountain climbers.", "Knees to chest, drive, drive.")),
        ("plank-shoulder-tap", ("Next up, shoulder taps.", "From a high plank, feet wide.")),
        ("goblet-squat", ("Move one is the goblet squat.", "Move two is a floor press, but that's later.")),
    ],
)
def test_an_instruction_or_a_plan_does_not_outdo_the_name(
    listener: Listener, exercise: str, captions: tuple[str, ...]
) -> None:
    (naming,) = name(listener, captions)
    assert naming.exercise == exercise


def test_a_round_in_which_nothing_is_named_goes_on_as_the_one_before(listener: Listener) -> None:
    namings = name(
        listener,
        ("Round one, goblet squats.", "Ten of them."),
        ("Now it's the floor press.", "Eight of these."),
        ("Round two, back to the goblet squats.", "Same ten."),
        ("And round two of the other one.", "Same again."),
    )
    assert [one.exercise for one in namings] == ["goblet-squat", "floor-press", "goblet-squat", "floor-press"]


def test_a_bare_word_goes_back_to_the_exercise_whose_name_holds_it(listener: Listener) -> None:
    namings = name(
        listener,
        ("Here come the renegade rows.", "Eight of them."),
        ("Next up, jumping jacks.", "Twenty."),
        ("Back to the rows.", "Another eight."),
    )
    assert namings[2].exercise == "renegade-row"
    assert namings[2].name == namings[0].name


def test_a_name_that_no_list_holds_is_kept_in_its_own_words(listener: Listener) -> None:
    (naming,) = name(listener, ("Lie down on your front.", "Now for the harbour lifts.", "Ten lifts in all."))
    assert naming.exercise is None
    assert key_of("harbour lift") in map(key_of, (naming.name, *naming.aliases))


@pytest.mark.parametrize(
    ("exercise", "captions"),
    [
        ("assisted-pistol-squat", ("Next up, assisted distal squats.",)),
        ("teaser", ("On your back, knees bent, it's the tees her.",)),
        ("hip-circle", ("Hands on your waist.", "Next are the hip circuses.")),
        ("windshield-wiper", ("Knees up, these are windy wipers.",)),
    ],
)
def test_a_misheard_name_is_known_where_it_is_announced(
    listener: Listener, exercise: str, captions: tuple[str, ...]
) -> None:
    (naming,) = name(listener, captions)
    assert exercise == naming.exercise or key_of(LEXICON.exercises[exercise].name) in map(key_of, naming.aliases)


def test_where_nothing_is_understood_nothing_is_claimed(listener: Listener) -> None:
    (naming,) = name(listener, ("Have a look out of the window.", "It has stopped raining."))
    assert naming.name == UNNAMED
    assert naming.score < 0.2


def test_a_squat_held_for_seconds_may_be_called_a_hold(listener: Listener) -> None:
    held = Draft((1, 2), (0, 1), 2.0, 20.0, 0, (), unit="seconds")
    (naming,) = name(listener, ("Next up, a goblet squat for twenty seconds.", "And sink."), drafts=(held,))
    assert "goblet squat hold" in naming.aliases


def test_other_names_stay_readable(listener: Listener) -> None:
    (naming,) = name(listener, ("Next up, a split-stance single-arm dumbbell row on the bench.",))
    assert len(naming.aliases) <= 40
    assert len({alias.lower() for alias in naming.aliases}) > 3


def test_speech_that_two_synthesisers_spoke_is_recovered_in_part(listener: Listener) -> None:
    """Names as a small speech model wrote them (``speak_names.py``): most cannot be told even by a person."""
    with MISHEARD.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    right = 0
    for row in rows:
        mentions = hear(listener, row["heard"])
        opening = Opening(0, len(mentions.utterances), "exercise", 1.0)
        (naming,) = name_chapters([opening], mentions, (), LEXICON)
        named = {key_of(alias) for alias in (naming.name, *naming.aliases)}
        right += naming.exercise == row["exercise"] or key_of(row["name"]) in named
    assert len(rows) == 100
    assert {row["synthesiser"] for row in rows} == {"flite", "espeak-ng"}
    assert right / len(rows) >= 0.4


def test_numbers_that_count_are_no_part_of_a_name(listener: Listener) -> None:
    """The "one" and "five" beside a squat are reps of it: it is no "1.5 squat"."""
    (naming,) = name(listener, ("Down into the squat, five of them.", "One.", "Two, knees over the toes."))
    assert naming.exercise != "one-and-a-half-squat"
    assert "squat" in naming.name.lower()


def test_words_in_the_order_of_a_paraphrase_win_over_words_that_only_meet(listener: Listener) -> None:
    """The floor is spoken of, and a dip; but it is told that the legs go long."""
    (naming,) = name(
        listener,
        (
            "Hands on the bench, fingers over the edge of the bench.",
            "The same dip, but your legs go long.",
            "Heels on the floor, more weight in the arms.",
        ),
    )
    assert naming.exercise == "straight-leg-bench-dip"


def test_a_comparison_names_nothing(listener: Listener) -> None:
    (naming,) = name(listener, ("Stay there, and the knee comes in.", "Round your back up like an angry cat."))
    assert naming.exercise != "cat-cow"


def test_a_fuller_name_told_in_a_later_round_is_the_exercise_of_the_first(listener: Listener) -> None:
    first, _, again = name(
        listener,
        ("First the sit to stand.",),
        ("Now the seated leg extension.",),
        ("Round two again.", "We sit, and stand, with the arms crossed this time."),
    )
    assert (first.exercise, again.exercise) == ("sit-to-stand", "sit-to-stand")


def test_a_chapter_that_names_and_tells_nothing_goes_on_with_the_exercise_before(listener: Listener) -> None:
    before, untold = name(listener, ("Next up, goblet squats.",), ("That rain is loud.",))
    assert untold.exercise == before.exercise == "goblet-squat"


def test_an_action_is_known_by_its_noun_too(listener: Listener) -> None:
    (naming,) = name(listener, ("We begin and pedal the feet.",))
    assert "Foot pedal" in naming.aliases


@pytest.mark.parametrize(
    ("said", "exercise"),
    [
        ("Okay, back to the single-land hip thrust. Here we go.", "single-leg-hip-thrust"),
        ("Next up, under hand and pull apart, ten of them.", "underhand-band-pull-apart"),
    ],
)
def test_a_name_misheard_in_part_beats_the_plain_name_inside_it(listener: Listener, said: str, exercise: str) -> None:
    """Only "hip thrust" was heard right; but the words before it are another name's, and no talk."""
    (naming,) = name(listener, (said,))
    assert naming.exercise == exercise


def test_the_plain_name_stands_where_what_is_before_it_sounds_like_nothing(listener: Listener) -> None:
    (naming,) = name(listener, ("Okay, back to the lovely hip thrust. Here we go.",))
    assert naming.exercise == "hip-thrust"


def test_seconds_are_a_time_and_no_position() -> None:
    """A wide second is a stance; "knees wide, twenty seconds" has only both of its words."""
    index = told_index(LEXICON)
    (told, *_) = index.find([stems_of("a wide second and hold")], frozenset())
    assert "second" in told.text.lower()
    assert not index.find([stems_of("knees wide twenty seconds")], frozenset())
    assert not index.find([stems_of("knees wide 20 seconds")], frozenset())
