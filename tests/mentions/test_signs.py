"""Signs: phrases of the lexicon that tell what is going on. One sign alone decides nothing."""

from __future__ import annotations

import spacy
from spacy.tokens import Doc

from pipeline.mentions.signs import Phrases, build_sign_matcher, find_signs, phrase_parts
from tests.building import heard

PHRASES: Phrases = {
    "talk": {"switch": ("swap sides", "other side"), "half": ("half-way",)},
    "cues": {"form": ("chest tall",)},
}


def signs(text: str) -> list[tuple[str, int, int]]:
    vocab = spacy.blank("en").vocab
    parts = [(part, k) for k, word in enumerate(text.split()) for part in phrase_parts(word)]
    doc = Doc(vocab, words=[part for part, _ in parts])
    return find_signs(build_sign_matcher(vocab, PHRASES), doc, [k for _, k in parts])


def test_a_phrase_is_found_with_its_kind_and_its_words() -> None:
    assert signs("lovely now swap sides and chest tall") == [("talk/switch", 2, 4), ("cues/form", 5, 7)]


def test_half_a_phrase_is_none() -> None:
    assert signs("swap the bell to your side") == []


def test_a_hyphen_makes_no_difference() -> None:
    assert signs("half-way") == [("talk/half", 0, 1)]
    assert signs("half way") == [("talk/half", 0, 2)]


def test_signs_come_in_order_of_place() -> None:
    assert [first for _, first, _ in signs("chest tall swap sides half way other side")] == [0, 2, 4, 6]


def test_each_word_of_a_class_knows_the_talk_signs_that_cover_it() -> None:
    mentions = heard("0.0 Lovely, swap sides.\n4.0 Ten seconds!")
    by_word = dict(zip(mentions.tokens, mentions.signs_at, strict=True))
    assert {"switch"} <= by_word["swap"]
    assert {"switch"} <= by_word["sides"]
    assert "switch" not in by_word["lovely"]
    assert "praise" in by_word["lovely"]
    assert "seconds" in by_word["seconds"]


def test_punctuation_and_capitals_hide_no_sign() -> None:
    one, other = heard("0.0 Off. We. GO, other side!"), heard("0.0 off we go other side")
    assert one.signs == other.signs != []
