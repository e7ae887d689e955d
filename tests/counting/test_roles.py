"""Roles: what a number means is read from the words around it, the other numbers and the clock."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.analyze import listener
from pipeline.counting.buckets import GAPS, bucket
from pipeline.counting.chain import Reading
from pipeline.counting.decode import decode, hindsight
from pipeline.counting.hindsight import look_again
from pipeline.counting.roles import ROLES, NumberView
from pipeline.model import Transcript
from tests.building import heard, reading, transcript

SQUATS = """
    0.0   Hello and welcome, I'm Ottilie, this is day four of our week.
    6.0   You need a mat and two dumbbells, ten kilos if you have them.
    14.0  First up is the goblet squat, hold the bell at your chest.
    20.0  We're doing eight of these, nice and slow.
    25.0  Three, two, one, and go.
    30.0  Down and up, that's one.
    33.0  Two.
    36.0  Three, chest tall.
    39.0  Halfway there.
    42.0  Five.
    45.0  Six.
    46.5  Two more.
    48.0  Seven.
    51.0  And eight. Lovely, set it down.
    57.0  Next up is the plank, come down onto your elbows.
    63.0  We'll hold it for twenty seconds.
    67.0  Lift up, and hold.
    77.0  Ten seconds to go.
    85.9  Three, two, one.
    88.0  And relax, knees down, well done.
    95.0  Thank you so much for joining me, see you next time.
"""


def roles(text: str) -> list[tuple[str, str]]:
    mentions = heard(text)
    found = decode(mentions).roles
    return [(one.text.strip(".,"), role) for one, role in zip(mentions.numbers, found, strict=True) if role != "none"]


def test_every_number_of_a_short_class_has_its_role() -> None:
    assert roles(SQUATS) == [
        ("four", "other"), ("two", "other"), ("ten", "load"), ("First", "other"), ("eight", "target"),
        ("Three", "countin"), ("two", "countin"), ("one", "countin"),
        ("one", "rep"), ("Two", "rep"), ("Three", "rep"), ("Halfway", "half"), ("Five", "rep"), ("Six", "rep"),
        ("Two", "left"), ("Seven", "rep"), ("eight", "rep"),
        ("twenty", "target"), ("Ten", "clock"), ("Three", "hold"), ("two", "hold"), ("one", "hold"),
    ]  # fmt: skip


def test_a_class_that_starts_later_in_the_film_has_the_same_roles() -> None:
    early = transcript(SQUATS)
    assert features(moved(early, 250.0)) == features(early)


def test_a_number_in_figures_looks_like_the_same_number_in_words() -> None:
    words, figures = "0.0 One.\n3.0 Two.\n6.0 Three.", "0.0 1.\n3.0 2.\n6.0 3."
    assert features(transcript(words)) == features(transcript(figures))


def moved(one: Transcript, seconds: float) -> Transcript:
    words = tuple(replace(word, start=word.start + seconds, end=word.end + seconds) for word in one.words)
    pieces = tuple(replace(piece, start=piece.start + seconds, end=piece.end + seconds) for piece in one.pieces)
    return replace(one, words=words, pieces=pieces)


def features(one: Transcript) -> list[list[str]]:
    return [sorted(row) for row in NumberView(listener().hear(one)).items()]


def test_a_second_reading_adds_to_the_first_and_leaves_it_as_it_was() -> None:
    one = reading(
        "0.0 setup | Give me {target}three.\n4.0 begin | {rep}One.\n7.0 work | {rep}Two.\n10.0 work | {rep}Three."
    )
    view = NumberView(one.mentions)
    first = view.items()
    chances = one.decoded.role_chances
    seen = hindsight(one.mentions, Reading(one.roles, chances), Reading(one.phases, chances))
    second = look_again(view, seen)
    assert view.items() == first
    assert all(set(before) < set(after) for before, after in zip(first, second, strict=True))
    assert "phase=work" in second[-1]
    assert "r-1=rep" in second[-1]


def test_a_count_shows_as_a_run_with_its_pace() -> None:
    rows = NumberView(heard("0.0 One.\n3.0 Two.\n6.0 Three.")).items()
    assert "up after=3" in rows[0]
    assert "up before=3" in rows[2]
    assert "down total=1" in rows[1]


def test_a_number_taken_back_at_once_shows() -> None:
    rows = NumberView(heard("0.0 That's six, no, seven.")).items()
    assert "corrected" in rows[0]
    assert "corrects" in rows[1]


@pytest.mark.parametrize(
    ("value", "place"), [(0.0, 0), (0.45, 1), (0.4499999, 1), (0.44, 0), (60.0, len(GAPS)), (1e9, len(GAPS))]
)
def test_a_bucket_counts_the_edges_reached_and_no_noise_of_the_clock(value: float, place: int) -> None:
    assert bucket(value, GAPS) == place


def test_the_roles_are_those_of_the_benchmark() -> None:
    """``tests/bench/FORMAT.md``, "Number tags"; a word that is no number at all is none of them."""
    tags = "rep left half target rounds tempo hold clock countin load degrees other"
    assert set(ROLES) == {*tags.split(), "none"}
