"""Activity codes and intensities against the Adult Compendium of Physical Activities, edition of 2011.

Source: B. E. Ainsworth and others, "2011 Compendium of Physical Activities: a second update of codes and MET values",
Medicine and Science in Sports and Exercise 43(8), 2011, pages 1575 to 1581, major headings 02 (conditioning exercise),
03 (dancing), 12 (running) and 15 (sports). Codes, figures and the exercises that the source names as examples are from
memory, not checked against the publication. They stand here once more, apart from ``lexicon/activities.yaml``, so that
a slip in one of the two shows.
"""

from __future__ import annotations

import pytest

import lexicon

# Code, MET, exercises that the activity names or plainly is ("-": a whole session, no exercise named).
PUBLISHED = """
02020 | 8.0  | push-up, sit-up, pull-up, jumping-jack
02022 | 3.8  | push-up, sit-up, pull-up, lunge
02024 | 2.8  | sit-up, crunch
02052 | 5.0  | back-squat, front-squat, goblet-squat
02054 | 3.5  | -
02101 | 2.3  | hamstring-stretch, quad-stretch
02105 | 3.0  | pilates-hundred
02150 | 2.5  | tree-pose
02180 | 3.3  | sun-salutation
03010 | 5.0  | plie, tendu
03016 | 7.5  | basic-step
03018 | 5.5  | basic-step
03020 | 5.0  | grapevine
12025 | 8.0  | jog-on-the-spot
15550 | 12.3 | jump-rope
15551 | 11.8 | jump-rope
15552 | 8.8  | jump-rope
"""


def published() -> list[tuple[str, float, list[str]]]:
    """Return the table above as (code, MET, exercises)."""
    rows = [[cell.strip() for cell in line.split("|")] for line in PUBLISHED.strip().splitlines()]
    return [(code, float(met), [] if named == "-" else named.split(", ")) for code, met, named in rows]


ROWS = pytest.mark.parametrize(("code", "met", "exercises"), published(), ids=[code for code, _, _ in published()])


@ROWS
def test_an_activity_has_the_published_intensity(code: str, met: float, exercises: list[str]) -> None:
    activity = lexicon.load().activities[code]
    assert (activity.code, activity.met, activity.year) == (code, met, 2011)


@ROWS
def test_an_exercise_that_an_activity_names_carries_its_code(code: str, met: float, exercises: list[str]) -> None:
    without = [one for one in exercises if code not in lexicon.load().exercises[one].activity_codes]
    assert without == []


def test_every_activity_is_in_the_published_table_and_belongs_to_an_exercise() -> None:
    one = lexicon.load()
    used = {code for exercise in one.exercises.values() for code in exercise.activity_codes}
    assert set(one.activities) == {code for code, _, _ in published()} == used


def test_codes_of_an_exercise_go_from_the_lightest_effort_to_the_hardest() -> None:
    one = lexicon.load()
    unordered = [
        exercise.id
        for exercise in one.exercises.values()
        if list(exercise.activity_codes) != sorted(exercise.activity_codes, key=lambda code: one.activities[code].met)
    ]
    assert unordered == []


def test_a_stretch_and_a_hold_have_no_code_of_exercise_against_resistance() -> None:
    odd = [
        exercise.id
        for exercise in lexicon.load().exercises.values()
        if {"02052", "02054"} & set(exercise.activity_codes)
        and ("stretch" in exercise.pattern or exercise.unit != "reps" or exercise.equipment == ("none",))
    ]
    assert odd == []
