"""The words of the report: labels of kinds, and how values are said."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from pipeline.model import ChapterKind, CueKind, FindingKind, Unit, WorkSet
from pipeline.publish.clock import clock
from pipeline.publish.elements import element

LOW_CONFIDENCE = 0.6
"""Under this a person is asked to look; by judgement."""

FINDING_LABELS: dict[FindingKind, str] = {
    "skipped-count": "A number is skipped",
    "repeated-count": "A number is called twice",
    "over-target": "More than announced",
    "under-target": "Fewer than announced",
    "remaining-mismatch": "The reps to go do not come out",
    "side-imbalance": "The sides differ",
    "round-mismatch": "The rounds differ",
    "rounds-missing": "A round is missing",
    "hold-off-clock": "The hold is off the clock",
    "interval-off-clock": "The interval is off the clock",
    "tempo-off-clock": "The tempo is off the clock",
    "halfway-off": "Halfway is called too early or late",
    "left-out": "Planned and not done",
    "added": "Done and not planned",
    "order-changed": "Another order than planned",
    "reps-differ": "Other reps than planned",
    "seconds-differ": "Other seconds than planned",
    "sets-differ": "More or fewer sets than planned",
    "rounds-differ": "More or fewer rounds than planned",
    "sides-differ": "Other sides than planned",
    "tempo-differs": "Another tempo than planned",
}
CUE_LABELS: dict[CueKind, str] = {
    "safety": "Safety",
    "form": "Form",
    "breathing": "Breathing",
    "tempo": "Tempo",
    "option": "Options",
    "encouragement": "Encouragement",
}
CHAPTER_LABELS: dict[ChapterKind, str] = {
    "intro": "Introduction",
    "exercise": "Exercise",
    "rest": "Rest",
    "outro": "Close",
}
CAUTIONS = (
    "What the presenters say is transcribed and sorted here, not checked: the cues are no advice.",
    "Exercise can hurt. Stop where something hurts, and do not go on through pain.",
    "Ask a qualified professional before you take up or publish exercises for others, and with any injury, "
    "illness or pregnancy.",
    "Follow the rules on safety, accessibility and advertising that hold where you teach and publish.",
)
NOT_TOLD = "–"


def time_of(seconds: float) -> Element:
    """Return a time as text that can be copied, with its machine form (HTML, the time element's duration)."""
    return element("time", clock(seconds), class_="at", datetime=f"PT{max(seconds, 0):.3f}S")


def length_text(seconds: float) -> str:
    """Return a length in words: ``16 min 10 s``."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [(hours, "h"), (minutes, "min"), (rest, "s")]
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 s"


def count_text(number: int, one: str, many: str | None = None) -> str:
    """Return ``1 set`` or ``2 sets``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def amount_text(number: int | None, unit: Unit) -> str:
    """Return ``12 reps`` or ``30 s``, or a dash for what cannot be told."""
    if number is None:
        return NOT_TOLD
    return f"{number} s" if unit == "seconds" else count_text(number, "rep")


def which_text(one: WorkSet) -> str:
    """Return what tells a set from others of its exercise: side, range, round."""
    range_text = {"pulse": "pulses", "lower": "lower half", "upper": "upper half", "full": "full range"}
    parts = [
        one.side or "",
        range_text[one.range] if one.range else "",
        f"round {one.round}" if one.round is not None else "",
    ]
    return ", ".join(part for part in parts if part)


def confidence_cell(confidence: float) -> Element:
    """Return a confidence in per cent; a low one says in words that a person should look."""
    percent = f"{round(confidence * 100)} %"
    if confidence >= LOW_CONFIDENCE:
        return element("span", percent, class_="confidence")
    return element("span", percent, " ", element("b", "please check"), class_="confidence low")
