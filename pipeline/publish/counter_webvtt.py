"""counter.vtt: the counter as a WebVTT metadata track, its payload a JSON object on one line.

A cue says what the counter shows from its start to its end. Cues do not overlap; between sets there is none.
``SCHEMA`` is the JSON Schema of a payload; all its keys stand in every cue.
"""

from __future__ import annotations

import json
from typing import Any, get_args

from pipeline.model import FindingKind, Range, Record, Side, Unit
from pipeline.publish.counter import CounterState, counter_states
from pipeline.publish.webvtt_file import VttCue, webvtt_file

_WHOLE = {"type": "integer", "minimum": 0}
_PROPERTIES: dict[str, dict[str, Any]] = {
    "exercise": {"type": "string", "description": "The exercise's name."},
    "side": {"enum": [*get_args(Side), None]},
    "range": {"enum": [*get_args(Range), None]},
    "round": {"type": ["integer", "null"], "description": "The number of the round."},
    "unit": {"enum": list(get_args(Unit))},
    "n": {
        "type": ["integer", "null"],
        "minimum": 0,
        "description": "The rep just done (0 from the start of the set to its first rep), or the whole "
        "seconds gone by; null where nobody can tell.",
    },
    "target": {"type": ["integer", "null"], "description": "What was announced for the set, in the unit."},
    "left": {
        "type": ["integer", "null"],
        "minimum": 0,
        "description": "What is still to do of the target; null where that cannot be told.",
    },
    "called": {
        "type": "boolean",
        "description": "Whether this number was spoken rather than placed by the clock (in a set of seconds: "
        "whether a second or time was called in this second).",
    },
    "text": {"type": "string", "description": "The count as the picture shows it, such as 7 / 12."},
    "findings": {
        "type": "array",
        "items": {"enum": list(get_args(FindingKind))},
        "description": "The kinds of what does not add up at this count.",
    },
    "set": {**_WHOLE, "description": "The set's place in the record, from 0."},
}
SCHEMA: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "title": "What the on-screen counter shows during one cue of counter.vtt",
    "type": "object",
    "properties": _PROPERTIES,
    "required": list(_PROPERTIES),
    "additionalProperties": False,
}


def write(record: Record) -> str:
    """Return the text of counter.vtt."""
    return webvtt_file(VttCue(one.start, one.end, _payload(one)) for one in counter_states(record))


def _payload(state: CounterState) -> str:
    work = state.work
    values = {
        "exercise": work.exercise_name,
        "side": work.side,
        "range": work.range,
        "round": work.round,
        "unit": work.unit,
        "n": state.n,
        "target": state.target,
        "left": state.left,
        "called": state.called,
        "text": state.text,
        "findings": state.findings,
        "set": state.set,
    }
    text = json.dumps(values, ensure_ascii=False)
    # "-->" may stand in no payload (W3C WebVTT, "WebVTT cue block"), and readers that know no metadata take
    # "<" for a tag; as JSON escapes both stay what they are.
    return text.replace("<", "\\u003c").replace(">", "\\u003e")
