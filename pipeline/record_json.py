"""record.json: a :class:`~pipeline.model.Record` as JSON text, back again, and its JSON Schema.

The form follows the model field by field: a dataclass is an object, a tuple an array, ``None`` is ``null``.
Two things are shorter: a word is an array ``[text, start, end, speaker, probability]`` whose last two places
may be left out, and a range of words is the pair ``[first, stop]``. Times are seconds with at most three
decimals. Fields that are not known here are passed over, so that others may stand beside them.
"""

from __future__ import annotations

import json
import math
import types
from collections.abc import Callable
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from pipeline.model import InputError, Record, Word

VERSION = 1
"""The number of this form; it rises when a reader of the older form would misread the newer."""

TIME_FIELDS = frozenset({"time", "start", "end", "duration", "spread", "tempo"})
"""Fields that hold seconds, rounded to milliseconds, the finest that WebVTT and SubRip can write."""

SHARE_FIELDS = frozenset({"confidence", "probability"})
"""Fields that hold a share from 0 to 1."""

INDEX_FIELDS = frozenset({"chapter", "set", "first", "stop"})
"""Fields that count from 0."""

Reader = Callable[[Any, str], Any]


def to_dict(record: Record) -> dict[str, Any]:
    """Return the record as plain dicts, lists, strings and numbers, times rounded to three decimals."""
    return {"version": VERSION, **_plain(record)}


def to_json(record: Record) -> str:
    """Return the record as JSON text, an item of each list to a line, so that two compare line by line."""
    parts = []
    for name, value in to_dict(record).items():
        if isinstance(value, list) and value:
            text = "[\n" + ",\n".join(_dumps(item) for item in value) + "\n]"
        else:
            text = _dumps(value)
        parts.append(f'"{name}": {text}')
    return "{\n" + ",\n".join(parts) + "\n}\n"


def from_json(text: str, name: str = "record.json") -> Record:
    """Read a record back; ``name`` is the file that an error speaks of.

    Raises :class:`~pipeline.model.InputError`, which names the line where the text is no JSON, or else the
    field that is missing or wrong, such as ``sets[3].reps[0].time``.
    """
    try:
        data = json.loads(text, parse_constant=_refuse_constant)
        if not isinstance(data, dict):
            raise _Wrong("the record", f"is {_shown(data)}", "an object with the record's fields")
        version = data.get("version", VERSION)
        if version != VERSION:
            raise _Wrong("version", f"is {_shown(version)}", f"a record of version {VERSION}")
        record: Record = _reader(Record)(data, "")
        _check_references(record)
    except json.JSONDecodeError as error:
        problem = f"is not JSON at column {error.colno} ({error.msg})"
        raise InputError(name, error.lineno, problem, _ACCEPTED) from error
    except _Wrong as error:
        raise InputError(name, None, f"{error.path} {error.problem}", f"expected {error.wanted}") from error
    return record


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of record.json, made from the model's own types."""
    definitions: dict[str, Any] = {}
    record = _schema(Record, definitions)
    definitions["Record"]["properties"] = {
        "version": {"const": VERSION, "description": "The number of this form."},
        **definitions["Record"]["properties"],
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "The record of one follow-along exercise class",
        "description": (
            "Times are seconds from the start of the recording, with at most three decimals. "
            "null means: not said and cannot be told. Further fields may stand beside these."
        ),
        **record,
        "$defs": definitions,
    }


_ACCEPTED = "a record.json as this tool writes it is accepted"


class _Wrong(Exception):
    """A field that is not what it should be."""

    def __init__(self, path: str, problem: str, wanted: str) -> None:
        super().__init__(path)
        self.path, self.problem, self.wanted = path, problem, wanted


def _refuse_constant(text: str) -> float:
    # RFC 8259, section 6: NaN and Infinity are no JSON numbers, though Python reads them.
    raise _Wrong("the record", f"holds {text}, which is not a JSON number", "a number or null")


def _dumps(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(", ", ": "))


# Writing


def _plain(value: Any, is_time: bool = False) -> Any:
    if isinstance(value, float):
        return round(value, 3) if is_time else value
    if isinstance(value, Word):
        return _plain_word(value)
    if isinstance(value, tuple):
        return [_plain(item, is_time) for item in value]
    if is_dataclass(value):
        return {name: _plain(getattr(value, name), name in TIME_FIELDS) for name in value.__dataclass_fields__}
    return value


def _plain_word(word: Word) -> list[Any]:
    out: list[Any] = [word.text, round(word.start, 3), round(word.end, 3), word.speaker, word.probability]
    while out[-1] is None:
        out.pop()
    return out


# Reading


@cache
def _reader(kind: Any, field_name: str = "") -> Reader:
    origin, arguments = get_origin(kind), get_args(kind)
    if kind is Word:
        return _read_word
    if is_dataclass(kind):
        return _object_reader(kind)
    if origin in (Union, types.UnionType):
        (inner,) = (one for one in arguments if one is not type(None))
        read = _reader(inner, field_name)
        return lambda value, path: None if value is None else read(value, path)
    if origin is Literal:
        return _choice_reader(arguments)
    if origin is tuple:
        if arguments[-1] is Ellipsis:
            return _array_reader(_reader(arguments[0], field_name))
        return _pair_reader(_reader(arguments[0], "first"), len(arguments))
    if kind is float:
        return _read_share if field_name in SHARE_FIELDS else _read_number
    if kind is int:
        return _read_index if field_name in INDEX_FIELDS else _read_whole
    return {str: _read_text, bool: _read_truth}[kind]


def _object_reader(kind: Any) -> Reader:
    hints = get_type_hints(kind)
    readers = [(one.name, _reader(hints[one.name], one.name), _is_required(one)) for one in fields(kind)]

    def read(value: Any, path: str) -> Any:
        if not isinstance(value, dict):
            raise _Wrong(path, f"is {_shown(value)}", "an object")
        found = {}
        for name, read_field, required in readers:
            where = f"{path}.{name}" if path else name
            if name in value:
                found[name] = read_field(value[name], where)
            elif required:
                raise _Wrong(where, "is missing", "every field of the schema that has no default")
        return kind(**found)

    return read


def _is_required(one: Field[Any]) -> bool:
    return one.default is MISSING and one.default_factory is MISSING


def _array_reader(read_item: Reader) -> Reader:
    def read(value: Any, path: str) -> Any:
        if not isinstance(value, list):
            raise _Wrong(path, f"is {_shown(value)}", "an array")
        return tuple([read_item(item, f"{path}[{i}]") for i, item in enumerate(value)])

    return read


def _pair_reader(read_item: Reader, length: int) -> Reader:
    read_all = _array_reader(read_item)

    def read(value: Any, path: str) -> Any:
        out = read_all(value, path)
        if len(out) != length:
            raise _Wrong(path, f"has {len(out)} places", f"{length}")
        return out

    return read


def _choice_reader(choices: tuple[Any, ...]) -> Reader:
    def read(value: Any, path: str) -> Any:
        if value not in choices:
            raise _Wrong(path, f"is {_shown(value)}", "one of " + ", ".join(map(str, choices)))
        return value

    return read


def _read_word(value: Any, path: str) -> Word:
    if not isinstance(value, list) or not 3 <= len(value) <= 5:
        raise _Wrong(path, f"is {_shown(value)}", "[text, start, end], then speaker and probability if known")
    speaker = value[3] if len(value) > 3 else None
    probability = value[4] if len(value) > 4 else None
    return Word(
        _read_text(value[0], f"{path}[0]"),
        _read_number(value[1], f"{path}[1]"),
        _read_number(value[2], f"{path}[2]"),
        None if speaker is None else _read_text(speaker, f"{path}[3]"),
        None if probability is None else _read_share(probability, f"{path}[4]"),
    )


def _read_number(value: Any, path: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise _Wrong(path, f"is {_shown(value)}", "a number")
    return float(value)


def _read_share(value: Any, path: str) -> float:
    number = _read_number(value, path)
    if not 0 <= number <= 1:
        raise _Wrong(path, f"is {_shown(value)}", "a number from 0 to 1")
    return number


def _read_whole(value: Any, path: str) -> int:
    number = _read_number(value, path)
    if not number.is_integer():
        raise _Wrong(path, f"is {_shown(value)}", "a whole number")
    return int(number)


def _read_index(value: Any, path: str) -> int:
    number = _read_whole(value, path)
    if number < 0:
        raise _Wrong(path, f"is {_shown(value)}", "an index from 0")
    return number


def _read_text(value: Any, path: str) -> str:
    if not isinstance(value, str):
        raise _Wrong(path, f"is {_shown(value)}", "a text")
    return value


def _read_truth(value: Any, path: str) -> bool:
    if not isinstance(value, bool):
        raise _Wrong(path, f"is {_shown(value)}", "true or false")
    return value


def _shown(value: Any) -> str:
    """Return a value as JSON, cut short enough for one line of an error."""
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 40 else text[:37] + "…"


def _check_references(record: Record) -> None:
    """See that every index points at something, so that no writer has to."""
    for i, one in enumerate(record.sets):
        if one.chapter >= len(record.chapters):
            raise _Wrong(f"sets[{i}].chapter", f"is {one.chapter}", f"less than {len(record.chapters)}")
    for name in ("numbers", "findings"):
        for i, item in enumerate(getattr(record, name)):
            if item.set is not None and item.set >= len(record.sets):
                raise _Wrong(f"{name}[{i}].set", f"is {item.set}", f"less than {len(record.sets)}")
    for name in ("chapters", "sets", "numbers", "findings", "cues"):
        for i, item in enumerate(getattr(record, name)):
            if not item.words[0] <= item.words[1] <= len(record.words):
                wanted = f"[first, stop] within {len(record.words)} words"
                raise _Wrong(f"{name}[{i}].words", f"is {list(item.words)}", wanted)


# The schema


def _schema(kind: Any, definitions: dict[str, Any], field_name: str = "") -> dict[str, Any]:
    origin, arguments = get_origin(kind), get_args(kind)
    if kind is Word:
        definitions["Word"] = _WORD_SCHEMA
        return {"$ref": "#/$defs/Word"}
    if is_dataclass(kind):
        _define(kind, definitions)
        return {"$ref": f"#/$defs/{kind.__name__}"}  # type: ignore[union-attr]
    if origin in (Union, types.UnionType):
        (inner,) = (one for one in arguments if one is not type(None))
        return {"anyOf": [_schema(inner, definitions, field_name), {"type": "null"}]}
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is tuple and arguments[-1] is Ellipsis:
        return {"type": "array", "items": _schema(arguments[0], definitions, field_name)}
    if origin is tuple:
        count = len(arguments)
        return {"type": "array", "items": dict(_INDEX_SCHEMA), "minItems": count, "maxItems": count}
    if kind is float and field_name in SHARE_FIELDS:
        return {"type": "number", "minimum": 0, "maximum": 1}
    if kind is int and field_name in INDEX_FIELDS:
        return dict(_INDEX_SCHEMA)
    names = {float: "number", int: "integer", str: "string", bool: "boolean"}
    return {"type": names[kind]}


def _define(kind: Any, definitions: dict[str, Any]) -> None:
    hints = get_type_hints(kind)
    entry: dict[str, Any] = {
        "type": "object",
        "description": " ".join((kind.__doc__ or "").split("\n\n")[0].replace("`", "").split()),
    }
    definitions[kind.__name__] = entry
    entry["properties"] = {one.name: _schema(hints[one.name], definitions, one.name) for one in fields(kind)}
    entry["required"] = [one.name for one in fields(kind) if _is_required(one)]


_INDEX_SCHEMA: dict[str, Any] = {"type": "integer", "minimum": 0}
_WORD_SCHEMA: dict[str, Any] = {
    "type": "array",
    "description": "A word as written, its start and end in seconds, then its speaker and the "
    "recogniser's confidence where known.",
    "prefixItems": [
        {"type": "string"},
        {"type": "number"},
        {"type": "number"},
        {"type": ["string", "null"]},
        {"anyOf": [{"type": "number", "minimum": 0, "maximum": 1}, {"type": "null"}]},
    ],
    "items": False,
    "minItems": 3,
}
