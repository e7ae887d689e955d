"""A record keeps everything through JSON, and a bad text is told in one line."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.model import Record, RepslateError, Word
from pipeline.record_json import TIME_FIELDS, from_json, json_schema, to_dict, to_json
from tests.publish.example import example_record

# The fields that the record promises, by place; more may stand beside them.
PROMISED = {
    "source": "name kind timing duration",
    "chapters": "start end kind title exercise exercise_name aliases round confidence",
    "sets": "chapter exercise exercise_name side range unit start end target performed round tempo confidence reps",
    "numbers": "time text value role n set",
    "findings": "kind time set said expected message confidence",
    "cues": "time end kind text",
}


@pytest.mark.parametrize("name", ["d01", "d03", "d07", "d12"])
def test_a_record_comes_back_as_it_was(name: str) -> None:
    record = example_record(name, ("Ines", "Bram"))
    assert from_json(to_json(record)) == record


def test_the_promised_fields_are_there() -> None:
    data = json.loads(to_json(example_record()))
    for place, names in PROMISED.items():
        for item in data[place] if isinstance(data[place], list) else [data[place]]:
            assert set(names.split()) <= set(item), place
    assert set(data["sets"][0]["reps"][0]) >= {"n", "time", "called"}


def test_a_second_writing_gives_the_same_text() -> None:
    text = to_json(example_record())
    assert to_json(from_json(text)) == text


def test_times_have_three_decimals_at_most() -> None:
    record = example_record()
    odd = replace(record, words=(Word("Hello", 0.12345678, 0.3333333), *record.words[1:]))
    assert to_dict(odd)["words"][0] == ["Hello", 0.123, 0.333]
    assert from_json(to_json(odd)).words[0] == Word("Hello", 0.123, 0.333)

    def walk(value: Any, name: str = "") -> None:
        if isinstance(value, dict):
            for key, inner in value.items():
                walk(inner, key)
        elif isinstance(value, list):
            for inner in value:
                walk(inner, name)
        elif isinstance(value, float) and name in TIME_FIELDS:
            assert round(value, 3) == value

    walk(json.loads(to_json(odd)))


def test_a_word_is_as_short_as_it_can_be() -> None:
    words = (
        Word("a", 0, 1),
        Word("b", 1, 2, "Ines"),
        Word("c", 2, 3, None, 0.5),
        Word("d", 3, 4, "Bram", 0.25),
    )
    plain = to_dict(replace(example_record(), words=words))["words"]
    assert plain == [["a", 0, 1], ["b", 1, 2, "Ines"], ["c", 2, 3, None, 0.5], ["d", 3, 4, "Bram", 0.25]]


@given(
    text=st.text(min_size=1),
    time=st.floats(0, 1e5).map(lambda value: round(value, 3)),
    share=st.none() | st.floats(0, 1),
    speaker=st.none() | st.text(),
)
def test_any_word_comes_back(text: str, time: float, share: float | None, speaker: str | None) -> None:
    words = (*example_record().words, Word(text, time, time, speaker, share))
    record = replace(example_record(), words=words)
    assert from_json(to_json(record)).words[-1] == words[-1]


def test_the_schema_is_one_by_its_own_draft() -> None:
    jsonschema.Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("name", ["d01", "d03", "d07"])
def test_records_satisfy_the_schema(name: str) -> None:
    data = json.loads(to_json(example_record(name, ("Ines", "Bram"))))
    jsonschema.Draft202012Validator(json_schema()).validate(data)


@pytest.mark.parametrize("place", ["source", "chapters", "sets", "numbers", "findings", "cues", "words"])
def test_schema_and_reader_both_want_every_promised_part(place: str) -> None:
    data = json.loads(to_json(example_record()))
    del data[place]
    with pytest.raises(RepslateError, match=f"{place} is missing"):
        from_json(json.dumps(data))
    assert not jsonschema.Draft202012Validator(json_schema()).is_valid(data)


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("sets", 3, "reps", 0, "time"), "soon", r'sets\[3\]\.reps\[0\]\.time is "soon"; expected a number'),
        (("sets", 1, "side"), "up", r'sets\[1\]\.side is "up"; expected one of left, right'),
        (("sets", 1, "target"), 2.5, r"sets\[1\]\.target is 2\.5; expected a whole number"),
        (("sets", 0, "reps", 2, "called"), 1, r"called is 1; expected true or false"),
        (("chapters", 0, "confidence"), 1.5, r"confidence is 1\.5; expected a number from 0 to 1"),
        (("chapters", 0, "aliases"), None, r"aliases is null; expected an array"),
        (("numbers", 0, "words"), [3], r"words has 1 places; expected 2"),
        (("words", 5), ["five"], r"words\[5\] is .*; expected \[text, start, end\]"),
        (("source", "duration"), True, r"source\.duration is true; expected a number"),
        (("findings", 0, "kind"), "odd", r"findings\[0\]\.kind is \"odd\"; expected one of skipped-count"),
    ],
)
def test_a_wrong_field_is_named(path: tuple[str | int, ...], value: Any, told: str) -> None:
    data = json.loads(to_json(example_record()))
    place: Any = data
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    with pytest.raises(RepslateError, match=told) as caught:
        from_json(json.dumps(data))
    assert "\n" not in str(caught.value)
    assert not jsonschema.Draft202012Validator(json_schema()).is_valid(data)


@pytest.mark.parametrize(
    ("place", "name", "value"),
    [("sets", "chapter", 99), ("findings", "set", 99), ("numbers", "words", [0, 10**6])],
)
def test_an_index_that_points_nowhere_is_named(place: str, name: str, value: Any) -> None:
    data = json.loads(to_json(example_record()))
    data[place][0][name] = value
    with pytest.raises(RepslateError, match=rf"{place}\[0\]\.{name}"):
        from_json(json.dumps(data))


def test_broken_json_is_told_with_its_line() -> None:
    lines = to_json(example_record()).splitlines()
    lines[6] = lines[6][:40]
    with pytest.raises(RepslateError, match=r"record\.json, line [78]: is not JSON at column \d+"):
        from_json("\n".join(lines))


@pytest.mark.parametrize("text", ["", "null", "[]", "3", '{"version": 99}', '{"source": NaN}'])
def test_what_is_no_record_is_refused(text: str) -> None:
    with pytest.raises(RepslateError):
        from_json(text)


def test_fields_beside_the_known_ones_are_passed_over() -> None:
    record = example_record()
    data = {**json.loads(to_json(record)), "note": "from somewhere else"}
    jsonschema.Draft202012Validator(json_schema()).validate(data)
    assert from_json(json.dumps(data)) == record


def test_the_model_reads_and_writes_through_this_form() -> None:
    record = example_record()
    assert Record.from_json(record.to_json()) == record
