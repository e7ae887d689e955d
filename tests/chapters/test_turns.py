"""Turns: where, between two sets, the class turns to another exercise, and where it only goes on.

The doubtful sentences are read as "after" a set; each test says how likely the phases take them for a turn.
"""

from __future__ import annotations

import json
from dataclasses import replace

from pipeline.chapters import open_chapters
from pipeline.counting.decode import Decoded
from pipeline.counting.phases import PHASES
from pipeline.turns import choose_turns
from pipeline.turns.happening import of_gap
from pipeline.turns.place import of_sentence
from pipeline.turns.scene import Scene
from tests.bench.fit_turns import WEIGHTS, fit_choice
from tests.building import Reading, reading

ROWS = """
    0.0  turn  | Single-arm row, the right arm first.
    4.0  setup | Hinge forward, ten of them.
    8.0  begin | {rep}One.
    10.0 work  | {rep}Two.
"""


def chapters(text: str, doubtful: str, chance: float) -> list[str]:
    """Return the first words of every chapter; each ``doubtful`` sentence is a turn with ``chance``."""
    one = reading(ROWS + text)
    return [_words(one, opening.first) for opening in open_chapters(_doubting(one, doubtful, chance), one.mentions)]


def _doubting(one: Reading, phase: str, chance: float) -> Decoded:
    chances = one.decoded.phase_chances.copy()
    for at, label in enumerate(one.phases):
        if label == phase:
            chances[at] = (1 - chance) / (len(PHASES) - 1)
            chances[at, PHASES.index("turn")] = chance
    return replace(one.decoded, phase_chances=chances)


def _words(one: Reading, at: int) -> str:
    first = one.mentions.utterances[at].first
    return " ".join(one.mentions.tokens[first : first + 2])


def test_what_looks_back_is_not_where_the_class_turns() -> None:
    found = chapters(
        """
        12.0 after | Lovely, dumbbell down, shake it out.
        16.0 after | Now take a lighter weight for the reverse fly.
        20.0 setup | Fold over, ten again.
        24.0 begin | {rep}One.
        26.0 work  | {rep}Two.
        """,
        "after",
        0.45,
    )
    assert found == ["single-arm row", "now take"]


def test_the_other_side_of_the_same_exercise_is_no_turn() -> None:
    found = chapters(
        """
        12.0 after | Same row, other side, left arm.
        16.0 begin | {rep}One.
        18.0 work  | {rep}Two.
        """,
        "after",
        0.4,
    )
    assert found == ["single-arm row"]


def test_a_new_exercise_that_is_named_is_a_turn() -> None:
    found = chapters(
        """
        12.0 after | Goblet squats, feet wide.
        16.0 begin | {rep}One.
        18.0 work  | {rep}Two.
        """,
        "after",
        0.4,
    )
    assert found == ["single-arm row", "goblet squats"]


def test_going_on_in_place_is_no_turn() -> None:
    found = chapters(
        """
        12.0 after | Stay there, tiny pulses.
        14.0 begin | {rep}One.
        16.0 work  | {rep}Two.
        """,
        "after",
        0.4,
    )
    assert found == ["single-arm row"]


def test_after_a_rest_the_class_turns_to_something() -> None:
    one = reading(
        ROWS
        + """
        12.0 rest    | Take thirty seconds, have a sip.
        38.0 resting | Same again, other side.
        42.0 begin   | {rep}One.
        44.0 work    | {rep}Two.
        """
    )
    kinds = [opening.kind for opening in open_chapters(_doubting(one, "resting", 0.02), one.mentions)]
    assert kinds == ["exercise", "rest", "exercise"]


def test_the_outro_opens_with_the_first_sentence_that_is_likely_to() -> None:
    one = reading(
        ROWS
        + """
        12.0 after | And stand! Jonas, are you crying?
        16.0 close | It's sweat.
        """
    )
    chances = one.decoded.phase_chances.copy()
    chances[-2, PHASES.index("close")] = 0.4
    openings = open_chapters(replace(one.decoded, phase_chances=chances), one.mentions)
    assert [(_words(one, opening.first), opening.kind) for opening in openings][1:] == [("and stand", "outro")]
    assert _words(one, open_chapters(one.decoded, one.mentions)[-1].first) == "it's sweat"


TURNED = """
    12.0 turn  | Same row again, other side, left arm.
    16.0 setup | Goblet squats.
    20.0 begin | {rep}One.
"""


def test_coarse_text_keeps_the_turns_of_the_phases() -> None:
    one = reading(ROWS + TURNED, timing="coarse")
    assert [opening.first for opening in open_chapters(one.decoded, one.mentions)][1:] == [_turn(one)]


def test_words_recognised_from_sound_keep_the_turns_of_the_phases() -> None:
    one = reading(ROWS + TURNED)
    transcript = one.mentions.transcript
    heard = replace(one.mentions, transcript=replace(transcript, source=replace(transcript.source, kind="media")))
    assert [opening.first for opening in open_chapters(one.decoded, heard)][1:] == [_turn(one)]


def _turn(one: Reading) -> int:
    return max(at for at, phase in enumerate(one.phases) if phase == "turn")


def test_two_turns_between_two_sets_stay_for_a_set_was_missed() -> None:
    found = chapters(
        """
        12.0 turn  | Goblet squats, feet wide.
        16.0 setup | Keep going, chest tall.
        30.0 turn  | Now the plank.
        34.0 begin | {rep}One.
        """,
        "after",
        0.0,
    )
    assert found == ["single-arm row", "goblet squats", "now the"]


def test_a_little_twist_is_not_a_little_of_the_same() -> None:
    found = chapters(
        """
        12.0 after | Now a little twist, left hand across to the right knee.
        16.0 after | Grow tall first, then turn your ribs to the right.
        20.0 begin | {rep}One.
        """,
        "after",
        0.45,
    )
    assert len(found) == 2


def test_the_time_to_change_place_comes_before_the_turn() -> None:
    """The same words, once with the pause in front of the naming and once behind it."""
    text = "12.0 after | {}\n{} after | Our goblet squat, then.\n{} begin | {{rep}}One.\n{} work | {{rep}}Two."
    pause_first = _features(text.format("Up you come.", "19.0", "22.0", "24.0"))
    pause_later = _features(text.format("Up you come.", "13.2", "22.0", "24.0"))
    weight = json.loads(WEIGHTS.read_text("utf-8"))["place"]["pause after"]
    assert weight < 0
    assert pause_first[0]["pause after"] > pause_later[0]["pause after"]
    assert pause_first[1]["pause after"] < pause_later[1]["pause after"]


def test_a_sentence_after_all_new_names_is_hardly_the_turn() -> None:
    first, second, *_ = _features(
        """
        12.0 after | Goblet squats.
        16.0 setup | Feet a little wider, toes out.
        20.0 begin | {rep}One.
        """
    )
    assert "new names are past" not in first
    assert second["new names are past"] == 1.0


def test_a_story_of_oneself_is_no_turn_and_the_turn_comes_after_it() -> None:
    story, turn, *_ = _features(
        """
        12.0 after | I once lost my socks in here.
        16.0 after | Here comes the goblet squat.
        20.0 begin | {rep}One.
        """
    )
    assert "of oneself before" not in story
    assert turn["of oneself before"] == turn["begins"] == 1.0


def test_another_part_of_the_range_is_no_other_exercise() -> None:
    one = reading(ROWS + "12.0 after | Bottom half only, eight of those.\n16.0 begin | {rep}One.")
    scene = Scene(one.decoded, one.mentions)
    halfway = reading(ROWS + "12.0 after | You're halfway through the class.\n16.0 begin | {rep}One.")
    other = Scene(halfway.decoded, halfway.mentions)
    assert "range" in of_gap(scene, scene.gaps[-1])
    assert "range" not in of_gap(other, other.gaps[-1])


def _features(text: str) -> list[dict[str, float]]:
    """Return the features of every sentence between the rows and the next set, the set's first one included."""
    one = reading(ROWS + text)
    scene = Scene(one.decoded, one.mentions)
    gap = scene.gaps[-1]
    return [of_sentence(scene, gap, at) for at in gap.places]


def test_a_class_without_sets_has_no_turns() -> None:
    one = reading("0.0 intro | Hello and welcome.\n4.0 intro | Lovely to see you.")
    assert choose_turns(one.decoded, one.mentions) == []


def test_every_weight_is_one_of_a_feature_that_is_seen() -> None:
    """A feature that was renamed would lose its weight unnoticed."""
    weights = json.loads(WEIGHTS.read_text("utf-8"))
    one = reading(
        ROWS
        + """
        12.0 after | And now, round {rounds}two, the goblet squats and the swings.
        16.0 begin | {rep}One.
        """
    )
    scene = Scene(one.decoded, one.mentions)
    gap = scene.gaps[-1]
    assert set(of_gap(scene, gap)) <= set(weights["happening"])
    assert set(of_sentence(scene, gap, gap.first)) <= set(weights["place"])


def test_fitting_finds_what_tells_the_right_row_from_the_others() -> None:
    rows = [{"right": 1.0, "noise": 1.0}, {"noise": 1.0}]
    weights = fit_choice([(rows, 0)] * 20)
    assert weights["right"] > 1
    assert abs(weights["noise"]) < 0.01
