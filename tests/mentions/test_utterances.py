"""Utterances: speech cut where it pauses, not where a caption happens to end."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.mentions.utterances import LONGEST, cut_utterances, normalise
from pipeline.model import Piece, Timing, Transcript
from tests.building import transcript

CLASS = """
    0.0  Sit down between the hips, that's one.
    6.0  Two.
    9.0  Chest tall, lovely. And three.
"""


def cut(heard: Transcript, starts_number: frozenset[int] = frozenset()) -> list[str]:
    return [heard.text((one.first, one.stop)) for one in cut_utterances(heard, starts_number)]


def in_one_piece(heard: Transcript, timing: Timing) -> Transcript:
    whole = Piece(0, len(heard.words), heard.words[0].start, heard.words[-1].end)
    return replace(heard, pieces=(whole,), source=replace(heard.source, timing=timing))


def test_captions_with_a_pause_between_are_utterances() -> None:
    assert cut(transcript(CLASS)) == [
        "Sit down between the hips, that's one.", "Two.", "Chest tall, lovely. And three.",
    ]  # fmt: skip


def test_an_utterance_lasts_from_its_first_word_to_its_last() -> None:
    _, two, _ = cut_utterances(transcript(CLASS))
    assert (two.start, two.end) == pytest.approx((6.0, 6.0 + 1 / 2.6))


def test_words_timed_one_by_one_are_cut_at_the_same_pauses() -> None:
    assert cut(in_one_piece(transcript(CLASS), "word")) == cut(transcript(CLASS))


def test_captions_that_touch_are_one_stretch_of_speech() -> None:
    heard = transcript("0.0 Sit down between the hips\n5.0 that's one.")
    second = heard.words[5].start
    moved = tuple(
        replace(word, start=word.start - second + heard.words[4].end, end=word.end - second + heard.words[4].end)
        if k >= 5 else word
        for k, word in enumerate(heard.words)
    )  # fmt: skip
    assert cut(replace(heard, words=moved)) == ["Sit down between the hips that's one."]


def test_another_voice_is_another_utterance() -> None:
    heard = transcript("0.0 ten of those please ten of what")
    voices = tuple(replace(word, speaker="Ottilie" if k < 4 else "Jago") for k, word in enumerate(heard.words))
    assert cut(replace(heard, words=voices)) == ["ten of those please", "ten of what"]


def test_long_talk_without_a_pause_is_cut_at_the_end_of_a_sentence() -> None:
    sentence = " ".join(["and"] * (LONGEST + 1)) + " stop."
    assert cut(transcript(f"0.0 {sentence} Then go.")) == [sentence, "Then go."]


def test_talk_without_pause_or_sentence_is_cut_at_twice_the_length() -> None:
    assert [len(one.split()) for one in cut(transcript("0.0 " + "and " * 80))] == [36, 36, 8]


def test_coarse_text_is_cut_at_its_sentences() -> None:
    assert cut(in_one_piece(transcript(CLASS), "coarse")) == [
        "Sit down between the hips, that's one.", "Two.", "Chest tall, lovely.", "And three.",
    ]  # fmt: skip


def test_coarse_text_without_punctuation_is_cut_before_numbers() -> None:
    heard = in_one_piece(transcript("0.0 sit down between the hips two chest tall lovely and three"), "coarse")
    assert cut(heard, frozenset({5, 10})) == ["sit down between the hips", "two chest tall lovely", "and three"]


@pytest.mark.parametrize("timing", ["word", "cue", "coarse"])
def test_every_word_is_in_exactly_one_utterance(timing: Timing) -> None:
    heard = in_one_piece(transcript(CLASS), timing)
    found = cut_utterances(heard)
    assert [k for one in found for k in range(one.first, one.stop)] == list(range(len(heard.words)))
    assert all(one.end >= one.start for one in found)


def test_no_words_are_no_utterances() -> None:
    assert cut_utterances(transcript("")) == []


@pytest.mark.parametrize(
    ("word", "plain"),
    [("Twelve.", "twelve"), ("“Go!”", "go"), ("that’s", "that's"), ("Push-ups,", "push-ups"), ("—", "")],
)
def test_a_word_is_compared_without_its_dress(word: str, plain: str) -> None:
    assert normalise(word) == plain
