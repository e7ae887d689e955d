"""Phases: which utterances turn to an exercise, set it up, are its sets, and rest or close the class."""

from __future__ import annotations

import pytest

from pipeline.analyze import listener
from pipeline.counting.chain import load_models
from pipeline.counting.decode import decode
from pipeline.counting.phases import PHASES, UtteranceView
from pipeline.counting.roles import NumberView
from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions
from tests.building import Reading, heard, reading
from tests.counting.test_roles import SQUATS, moved


def phases_of(text: str) -> dict[str, str]:
    mentions = heard(text)
    found = decode(mentions).phases
    lines = [mentions.transcript.text((one.first, one.stop)) for one in mentions.utterances]
    return dict(zip(lines, found, strict=True))


def test_a_short_class_turns_and_works_where_it_is_said() -> None:
    phases = phases_of(SQUATS)
    assert phases["Hello and welcome, I'm Ottilie, this is day four of our week."] == "intro"
    assert phases["First up is the goblet squat, hold the bell at your chest."] == "turn"
    assert phases["We're doing eight of these, nice and slow."] == "setup"
    assert phases["Down and up, that's one."] == "begin"
    assert {phases[line] for line in ("Two.", "Three, chest tall.", "Halfway there.", "Seven.")} == {"work"}
    assert phases["Next up is the plank, come down onto your elbows."] == "turn"
    assert phases["Ten seconds to go."] == "work"


def test_a_long_announced_rest_is_a_rest() -> None:
    phases = phases_of(
        SQUATS.replace("57.0  Next", "57.0  Take forty seconds, grab some water.\n    99.0  Next")
        .replace("63.0", "105.0").replace("67.0", "109.0").replace("77.0", "119.0").replace("85.9", "127.9")
        .replace("88.0", "130.0").replace("    95.0", "    139.0")
        .replace("    99.0  Th", "    143.0  Th").replace("    104.0", "    148.0")
    )  # fmt: skip
    assert phases["Take forty seconds, grab some water."] == "rest"


def test_working_stretches_begin_and_go_on() -> None:
    assert work_spans(["intro", "turn", "begin", "work", "after", "begin", "begin", "work"]) == [(2, 4), (5, 6), (6, 8)]


def test_work_without_a_beginning_is_a_stretch_too() -> None:
    assert work_spans(["after", "work", "work", "after", "work"]) == [(1, 3), (4, 5)]


def test_nothing_is_no_stretch() -> None:
    assert work_spans([]) == work_spans(["intro", "close"]) == []


TEN = """
    0.0   turn  | Next up, the goblet squat.
    4.0   setup | {target}Four of these.
    8.0   begin | {rep}One.
    11.0  work  | {rep}Two.
    14.0  work  | {rep}Three.
    17.0  work  | {rep}Four.
    20.0  after | Lovely.
"""


def rows(one: Reading) -> list[list[str]]:
    return UtteranceView(one.mentions, NumberView(one.mentions), one.roles).items()


def test_an_utterance_knows_how_far_off_the_count_is() -> None:
    shown = rows(reading(TEN))
    assert "ahead rep|after=2" in shown[0]
    assert "behind rep|after=1" in shown[-1]
    assert "ahead first=target" in shown[0]


def test_an_utterance_knows_that_the_target_is_reached() -> None:
    assert [at for at, row in enumerate(rows(reading(TEN))) if "target reached by rep" in row] == [5]


def test_an_utterance_shows_nothing_of_roles_that_no_number_has() -> None:
    silent = reading(TEN.replace("{rep}", "").replace("{target}", ""))
    assert not any(name.startswith(("ahead rep", "behind rep", "role rep")) for row in rows(silent) for name in row)
    assert all(set(row) >= {"bias"} for row in rows(silent))


def test_a_second_view_of_the_same_class_with_other_roles_is_its_own() -> None:
    one, other = reading(TEN), reading(TEN.replace("{rep}", "{left}"))
    view = NumberView(one.mentions)
    before = UtteranceView(one.mentions, view, one.roles).items()
    assert UtteranceView(one.mentions, view, other.roles).items() != before
    assert UtteranceView(one.mentions, view, one.roles).items() == before


def test_a_class_that_starts_later_in_the_film_shows_the_same() -> None:
    one = reading(TEN)
    later = Reading(heard_later(one, 500.0), one.roles, one.phases)
    assert [sorted(row) for row in rows(later)] == [sorted(row) for row in rows(one)]


def heard_later(one: Reading, seconds: float) -> Mentions:
    return listener().hear(moved(one.mentions.transcript, seconds))


@pytest.mark.parametrize("phase", PHASES)
def test_the_shipped_weights_know_every_phase(phase: str) -> None:
    models = load_models()
    assert phase in models["phases"].labels
    assert phase in models["phases again"].labels
