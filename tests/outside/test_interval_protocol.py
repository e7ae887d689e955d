"""Eight efforts of 20 s with 10 s of rest between them last 230 s from the first second to the last.

The protocol is that of Tabata and others, "Effects of moderate-intensity endurance and high-intensity
intermittent training on anaerobic capacity and VO2max" (Medicine and Science in Sports and Exercise 28,
1996; from memory): 8 x 20 s of work and the 7 x 10 s between them. The class around it is made up.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.analyze import analyze
from pipeline.model import Record
from tests.outside.scripts import load_script, spoken

EFFORTS, WORK, REST = 8, 20, 10
BLOCK = 230
#: How far a caption may be from what it tells, in seconds: a start is known no better than the word that
#: gives it.
CAPTION_SLACK = 1.5
FIRST = 60.0

STARTS = [
    "And go, squat jumps, sit low and spring.",
    "Go, up we pop, soft landings.",
    "And go, arms can help you here.",
    "Go again, keep the chest proud.",
    "And go, over the middle now.",
    "Go, land like a cat.",
    "And go, nearly at the end of this.",
    "Last round, and go, everything you have.",
]
MIDDLES = [
    "Knees follow the toes all the way.",
    "Step it instead of jumping if you like.",
    "Breathe out as you leave the floor.",
    "Heels kiss the ground each time.",
    "Small jumps are fine, keep moving.",
    "Shoulders away from the ears.",
    "Find your own rhythm and stay with it.",
    "Look at a spot on the wall.",
]
RESTS = [
    "And rest, walk it about.",
    "Rest, shake the legs.",
    "And rest, deep breath in.",
    "Rest, hands on your hips.",
    "And rest, sip of water.",
    "Rest, let the shoulders drop.",
    "And rest, only a little more.",
]


def script() -> list[str]:
    rows = [
        "@id built",
        "@title Short and springy",
        "@style timed intervals, one presenter",
        "= intro",
        spoken(1.0, "Hello and welcome, I'm Petronella, and this is a short one."),
        spoken(5.5, "You need a mat, some space above your head and a drink."),
        spoken(11.0, "Stop if anything hurts, and take every easier version you want."),
        spoken(18.0, "March on the spot with me while I explain."),
        "= exercise squat jump | jump squat | jumping squat",
        spoken(24.0, "Our move is the squat jump, feet as wide as your hips."),
        spoken(30.0, "We do {rounds 8}eight rounds of it."),
        spoken(34.0, "Each is {target 20}twenty seconds of work, then {other}ten seconds of rest."),
        spoken(41.0, "Sit back, press through the whole foot and leave the floor."),
        spoken(48.0, "Get ready, toes a little out."),
        spoken(56.6, "{countin 3}Three, {countin 2}two, {countin 1}one.", 59.6),
    ]
    for i in range(EFFORTS):
        begins = FIRST + i * (WORK + REST)
        rows += [
            f"> set unit=seconds target={WORK} performed={WORK} round={i + 1}",
            spoken(begins, STARTS[i]),
            spoken(begins + 7.0, MIDDLES[i]),
            spoken(begins + 12.0, "{clock 8}Eight seconds left." if i % 2 else "Keep going, stay light."),
            spoken(begins + 16.6, "{clock 3}Three, {clock 2}two, {clock 1}one.", begins + WORK),
            "<",
        ]
        if i + 1 < EFFORTS:
            rows.append(spoken(begins + WORK + 0.2, RESTS[i]))
            rows.append(spoken(begins + WORK + 6.6, "{countin 3}Three, {countin 2}two, {countin 1}one.", begins + 29.6))
    end = FIRST + BLOCK
    return [
        *rows,
        "= outro",
        spoken(end + 0.5, "And stop, that is the whole class, well done."),
        spoken(end + 6.0, "Walk around until your breath comes back."),
        spoken(end + 12.0, "Thank you for coming, see you next time."),
    ]


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    return analyze(load_script(script(), tmp_path_factory.mktemp("built")).forms["captions"])


def test_the_script_holds_the_published_protocol(tmp_path: Path) -> None:
    sets = load_script(script(), tmp_path).gold["sets"]
    assert len(sets) == EFFORTS
    assert EFFORTS * WORK + (EFFORTS - 1) * REST == BLOCK
    assert sets[-1]["end"] - sets[0]["start"] == pytest.approx(BLOCK)


def test_eight_efforts_are_eight_sets_of_twenty_seconds(record: Record) -> None:
    assert [one.unit for one in record.sets] == ["seconds"] * EFFORTS
    assert [one.target for one in record.sets] == [WORK] * EFFORTS
    assert [one.performed for one in record.sets] == pytest.approx([WORK] * EFFORTS, abs=CAPTION_SLACK)


def test_the_block_lasts_230_seconds(record: Record) -> None:
    lasted = record.sets[-1].end - record.sets[0].start
    assert lasted == pytest.approx(BLOCK, abs=2 * CAPTION_SLACK)


def test_intervals_by_the_clock_are_nothing_to_find_fault_with(record: Record) -> None:
    assert [one.kind for one in record.findings] == []
