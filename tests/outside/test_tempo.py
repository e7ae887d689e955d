"""A tempo of 3-1-1 (three seconds down, one at the bottom, one up) takes five seconds a rep.

That a tempo's seconds add up to the rep is common practice, no source. The class is made up.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.analyze import analyze
from pipeline.model import Record
from tests.outside.scripts import load_script, spoken

TEMPO = (3.0, 1.0, 1.0)
REPS = 8
NAMES = ["one", "two", "three", "four", "five", "six", "seven", "eight"]
FIRST = 50.0
COACHING = {2: "Elbows under the weight.", 5: "Long spine, steady feet."}


def script(seconds_a_rep: float) -> list[str]:
    rows = [
        "@id built",
        "@title One slow squat",
        "@style tempo strength, one presenter",
        "= intro",
        spoken(1.0, "Good morning, I'm Casimir, welcome to the shed."),
        spoken(5.5, "You need a dumbbell you can hold for a while, and that is all."),
        spoken(12.0, "If anything hurts, put it down and have a rest."),
        "= exercise goblet squat | dumbbell goblet squat",
        spoken(18.0, "We start with a goblet squat, dumbbell close to your chest."),
        spoken(
            24.0,
            "The tempo is {tempo 3}three seconds down, {tempo 1}one at the bottom, {tempo 1}one to stand.",
        ),
        spoken(32.0, "{target 8}Eight reps of those, feet where you like them."),
        spoken(38.0, "Stand tall, big breath."),
        spoken(46.5, "{countin 3}Three, {countin 2}two, {countin 1}one.", 49.5),
        f"> set unit=reps target={REPS} performed={REPS} tempo=3-1-1",
        spoken(FIRST, "And down we go."),
    ]
    for n, name in enumerate(NAMES, 1):
        at = FIRST + n * seconds_a_rep
        if n == REPS and seconds_a_rep != sum(TEMPO):
            rows.append("! tempo-off-clock five seconds announced")
        rows.append(spoken(at, f"{{rep {n}}}{name.capitalize()}."))
        if n in COACHING:
            rows.append(spoken(at + 0.8, COACHING[n], at + 2.2))
    end = FIRST + REPS * seconds_a_rep
    return [
        *rows,
        "<",
        spoken(end + 2.0, "Lovely, put it down and shake your arms out."),
        "= outro",
        spoken(end + 12.0, "That is all for today, thank you for coming."),
        spoken(end + 17.0, "Have a good week and see you next time."),
    ]


def read(seconds_a_rep: float, folder: Path) -> Record:
    return analyze(load_script(script(seconds_a_rep), folder).forms["captions"])


@pytest.mark.parametrize("seconds_a_rep", [5.0, 2.5])
def test_the_announced_tempo_is_read(seconds_a_rep: float, tmp_path: Path) -> None:
    record = read(seconds_a_rep, tmp_path)
    assert [(one.tempo, one.target, one.performed) for one in record.sets] == [(TEMPO, REPS, REPS)]


def test_reps_of_the_tempos_own_length_are_nothing_to_find_fault_with(tmp_path: Path) -> None:
    assert sum(TEMPO) == 5.0
    assert [one.kind for one in read(5.0, tmp_path).findings] == []


def test_reps_of_half_the_tempos_length_are_off_the_clock(tmp_path: Path) -> None:
    assert [one.kind for one in read(2.5, tmp_path).findings] == ["tempo-off-clock"]
