"""Talk in the gaps that calls leave: coaching, jokes, numbers that count nothing, a second voice."""

from __future__ import annotations

from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import phrases
from tests.bench.generator.speech import Line, Stage

#: Seconds of silence that are left alone, and kept on both sides of what is said into a gap.
LEFT_ALONE, MARGIN = 1.7, 0.2


def fill_gaps(stage: Stage, habits: Habits, lines: list[Line], position: str, clock: bool = False) -> list[Line]:
    """Return the lines with others said between them, each within its gap."""
    rng = stage.rng
    out: list[Line] = []
    for line, after in zip(lines, [*lines[1:], None], strict=True):
        out.append(line)
        at, stop = line.end, after.start if after else line.end
        while stop - at > LEFT_ALONE and rng.random() < habits.filler:
            said = _talk(stage, habits, at, stop, position, clock)
            if not said:
                break
            out += said
            at = said[-1].end + rng.uniform(*habits.pause)
    return out


def chatter(stage: Stage, habits: Habits) -> None:
    """Say something that has nothing to do with the class."""
    kind = _kind(stage, habits, jokes=1.0)
    stage.act(kind, **numbers(stage))


def numbers(stage: Stage) -> dict[str, int]:
    """Return numbers for chatter that counts nothing."""
    return {"few": stage.rng.randint(2, 12), "big": stage.rng.randint(13, 99)}


def _kind(stage: Stage, habits: Habits, jokes: float) -> str:
    rng = stage.rng
    if rng.random() >= jokes:
        return "cue"
    if habits.partner and rng.random() < 0.35:
        return "dialogue"
    return "numbers" if rng.random() < habits.numbers else "chat"


def _talk(stage: Stage, habits: Habits, at: float, stop: float, position: str, clock: bool) -> list[Line]:
    """Return what is said from ``at`` on, ending well before ``stop``; nothing where nothing fits."""
    rng = stage.rng
    for _ in range(6):
        kind = _kind(stage, habits, habits.jokes)
        if kind == "cue":
            own = f"cue_{position_key(position)}"
            kind = "cue_clock" if clock and rng.random() < 0.5 else kind
            kind = own if own in phrases() and rng.random() < 0.45 else kind
        texts = [stage.write(t) for t in stage.phrase(kind, **numbers(stage)).split(" / ")]
        lengths = [stage.duration(tokens) for tokens in texts]
        spare = stop - at - MARGIN - sum(lengths) - 0.3 * (len(texts) - 1)
        if spare < MARGIN:
            continue
        start = at + rng.uniform(MARGIN, min(spare, MARGIN + 1.2))
        out = []
        for tokens, length in zip(texts, lengths, strict=True):
            out.append(Line(start, start + length, tokens))
            start += length + 0.3
        return out
    return []


def position_key(position: str) -> str:
    """Return a position of the lexicon as the name of an act ends."""
    return position.replace(" ", "_")
