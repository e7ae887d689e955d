"""How likely one string of sounds was written for another, as learnt from names that were misheard."""

from __future__ import annotations

import pytest

from pipeline.mentions.mishearing import SoundTable, costs
from pipeline.mentions.sounds import phonemes
from tests.mentions import learn_mishearings
from tests.mentions.measure import LEARNT_FROM


def cost(spoken: str, heard: str) -> float:
    """Return what it costs that a name was heard as these words."""
    sound = "".join(map(phonemes, heard.split()))
    table = SoundTable(["".join(map(phonemes, spoken.split()))])
    return float(table.compare(sound, [0], [len(sound)], [0])[0, 0, 0])


@pytest.mark.parametrize(
    ("spoken", "heard", "farther"),
    [("band pull", "bend pull", "bird pull"), ("hold", "fold", "cold"), ("glute", "loot", "flute s")],
)
def test_what_was_often_misheard_costs_less_than_what_was_not(spoken: str, heard: str, farther: str) -> None:
    assert cost(spoken, heard) < cost(spoken, farther)


def test_what_was_heard_right_speaks_for_a_name_and_what_was_not_against_it() -> None:
    assert cost("goblet squat", "goblet squat") < 0 < cost("goblet squat", "mind the temper")


def test_many_names_are_compared_as_each_by_itself() -> None:
    names = [phonemes(word) for word in ("squat", "lunge", "kettlebell", "row")]
    heard = phonemes("squad")
    together = SoundTable(names).compare(heard, [0], [2, len(heard)], [3, 0, 2, 1])[0]
    apart = [SoundTable([names[at]]).compare(heard, [0], [2, len(heard)], [0])[0, :, 0] for at in (3, 0, 2, 1)]
    assert together.T.tolist() == [pytest.approx(one.tolist()) for one in apart]


def test_a_name_heard_from_a_later_sound_on_costs_what_it_costs_by_itself() -> None:
    table = SoundTable([phonemes(word) for word in ("squat", "lunge")])
    before, heard = phonemes("the"), phonemes("squad")
    whole = before + heard
    later = table.compare(whole, [0, len(before)], [len(whole)], [0, 1])[1, 0]
    assert later.tolist() == pytest.approx(table.compare(heard, [0], [len(heard)], [0, 1])[0, 0].tolist())


def test_a_sound_heard_as_itself_costs_less_than_as_any_other() -> None:
    substitution = costs().substitution
    often = [at for at, heard in enumerate(substitution.diagonal()) if heard < 0]
    assert len(often) > 30
    assert all(substitution[at].argmin() == at for at in often)


def test_the_counts_are_those_of_the_lists_to_learn_from() -> None:
    counts = learn_mishearings.learn(learn_mishearings.pairs(LEARNT_FROM))
    assert learn_mishearings.OUT.read_text(encoding="utf-8") == learn_mishearings.written(counts)
