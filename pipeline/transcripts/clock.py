"""The word clock: a time for every word, where the source times only whole captions or paragraphs.

A caption is short and said in one go, so its words share its time by length (:func:`share_span`). A paragraph
of twenty seconds is mostly pauses, and where they fall decides when a rep was called. So
:func:`lay_out_paragraphs` takes the words at the pace of speech and gives what is left to the pauses:

1. Knots are set at the start and end of every paragraph, where the stamps hold them, and at every number that
   is counted aloud.
2. Each number is drawn to where the words before and after it, with the pauses expected, would put it, and to
   where its neighbours in the count would: as many times the count's own seconds a rep away as the numbers
   differ. Counts go on over the ends of paragraphs. All numbers settle by moving each in turn.
3. Between two knots, the pauses share what the words leave, in proportion to their expected length; where the
   words need more than there is, they are said faster.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

from pipeline.transcripts.counts import counted_numbers, find_counts
from pipeline.transcripts.pauses import Pause, expected_pauses, speaking_seconds

LETTERS_OF_A_BREAK = 1.5
"""What parts two words, in letters: the time of a short word is not in proportion to its letters alone."""

STAMP_LATE = 0.3
"""Seconds. Speech starts this much after a stamp in whole seconds: by nothing on average where stamps are
rounded, by half a second where they are cut, and nobody says which."""

SECONDS_A_REP = 5.0
SECONDS_A_REP_VARIANCE = 9.0
"""Seconds and square seconds: a count's pace before its numbers have told theirs, of which next to nothing is
known (2 to 8 seconds a rep are likely)."""

PACE_WANDERS = 0.2
"""Share of a rep's time by which a rep strays from its count's own pace (standard deviation)."""

SMALLEST_VARIANCE = 1e-4
"""Square seconds: a hundredth of a second either way, finer than any stamp; keeps every weight finite."""

SWEEPS = 60
"""Times that every number is moved. The counts of a class have settled to a hundredth of a second by then."""

Span = tuple[float, float]


@dataclass(slots=True)
class Knot:
    """A moment between words: at the start or end of a paragraph (``held``), or at a counted number.

    ``word`` is the index of the first word after it. ``speech`` and ``pauses`` are the seconds expected from
    here to the next knot, and ``variance`` (square seconds) that of the pauses.
    """

    word: int
    time: float
    held: bool
    speech: float = 0.0
    pauses: float = 0.0
    variance: float = SMALLEST_VARIANCE
    links: list[Link] = field(default_factory=list)


@dataclass(slots=True)
class Count:
    """One count: its knots, with their numbers, and its pace in seconds a rep."""

    knots: list[Knot]
    numbers: list[int]
    pace: float = SECONDS_A_REP


@dataclass(slots=True)
class Link:
    """A neighbour in the same count, and how many reps later (or, below 0, earlier) it is."""

    other: Knot
    reps: int
    count: Count


def share_span(texts: Sequence[str], start: float, end: float) -> list[Span]:
    """Share the seconds of a caption among its words by length: letters and :data:`LETTERS_OF_A_BREAK`.

    >>> share_span(["Two,", "squat", "low."], 10.0, 20.0)[2]
    (16.857142857142858, 20.0)
    """
    edges = [0.0, *accumulate(len(text) + LETTERS_OF_A_BREAK for text in texts)]
    times = [start + (end - start) * edge / edges[-1] if edge else start for edge in edges]
    return list(pairwise(times))


def lay_out_paragraphs(paragraphs: Sequence[tuple[Sequence[str], float, float]]) -> list[list[Span]]:
    """Return ``(start, end)`` in seconds of every word of paragraphs ``(words, start, end)``.

    The paragraphs follow each other in time and each holds a word at least; so do the words.
    """
    texts = [text for words, _, _ in paragraphs for text in words]
    counted = counted_numbers(texts)
    pauses = expected_pauses(texts, counted)
    knots = _tie_knots(paragraphs, counted)
    _expect(knots, texts, pauses)
    counts = _link_counts(knots, counted)
    for _ in range(SWEEPS if counts else 1):
        _settle(knots, counts)
    spans = [span for knot, after in pairwise(knots) for span in _fill(knot, after, texts, pauses)]
    stops = [0, *accumulate(len(words) for words, _, _ in paragraphs)]
    return [spans[first:stop] for first, stop in pairwise(stops)]


def _tie_knots(paragraphs: Sequence[tuple[Sequence[str], float, float]], counted: Sequence[int | None]) -> list[Knot]:
    late = STAMP_LATE if all(start == int(start) for _, start, _ in paragraphs) else 0.0
    knots: list[Knot] = []
    first = 0
    for words, start, end in paragraphs:
        stop = first + len(words)
        knots.append(Knot(first, start + late, held=True))
        knots += [Knot(i, start + late, held=False) for i in range(first + 1, stop) if counted[i] is not None]
        knots.append(Knot(stop, end + late, held=True))
        first = stop
    return knots


def _expect(knots: list[Knot], texts: Sequence[str], pauses: Sequence[Pause]) -> None:
    """Sum up speech and pauses from each knot to the next, and set the numbers by them alone."""
    for knot, after in pairwise(knots):
        between = pauses[knot.word + 1 : after.word + 1] if after.word > knot.word else []
        knot.speech = sum(speaking_seconds(text) for text in texts[knot.word : after.word])
        knot.pauses = sum(pause.expected for pause in between)
        knot.variance = sum((pause.variance for pause in between), SMALLEST_VARIANCE)
    first = 0
    for last in range(1, len(knots)):
        if not knots[last].held:
            continue
        needed = [knot.speech + knot.pauses for knot in knots[first:last]]
        scale = (knots[last].time - knots[first].time) / (sum(needed) or 1.0)
        for knot, so_far in zip(knots[first + 1 : last], accumulate(needed), strict=False):
            knot.time = knots[first].time + so_far * scale
        first = last


def _link_counts(knots: list[Knot], counted: Sequence[int | None]) -> list[Count]:
    opening = {knot.word: knot for knot in knots}
    rough = [0.0 if number is None else opening[word].time for word, number in enumerate(counted)]
    counts = []
    for words in find_counts(counted, rough):
        numbers = [number for word in words if (number := counted[word]) is not None]
        count = Count([opening[word] for word in words], numbers)
        for (knot, number), (other, following) in pairwise(zip(count.knots, numbers, strict=True)):
            reps = abs(following - number)
            knot.links.append(Link(other, reps, count))
            other.links.append(Link(knot, -reps, count))
        counts.append(count)
    return counts


def _settle(knots: list[Knot], counts: list[Count]) -> None:
    """Move every number once to where all that draws on it balances, then take each count's pace anew."""
    for before, knot, after in zip(knots, knots[1:], knots[2:], strict=False):
        if knot.held:
            continue
        earliest, latest = before.time + before.speech, after.time - knot.speech
        if earliest > latest:
            share = before.speech / (before.speech + knot.speech)
            knot.time = before.time + (after.time - before.time) * share
            continue
        pulls = [(earliest + before.pauses, before.variance), (latest - knot.pauses, knot.variance)]
        pulls += [
            (link.other.time - link.reps * link.count.pace, _wander(link.count.pace, link.reps)) for link in knot.links
        ]
        knot.time = min(max(_balance(pulls), earliest), latest)
    for count in counts:
        pulls = [(SECONDS_A_REP, SECONDS_A_REP_VARIANCE)]
        for (knot, number), (other, following) in pairwise(zip(count.knots, count.numbers, strict=True)):
            reps = abs(following - number)
            pulls.append(((other.time - knot.time) / reps, _wander(count.pace, reps) / reps**2))
        count.pace = _balance(pulls)


def _wander(pace: float, reps: int) -> float:
    """Return the variance of the time of some reps: each strays by itself."""
    return max((PACE_WANDERS * pace) ** 2 * abs(reps), SMALLEST_VARIANCE)


def _balance(pulls: Sequence[tuple[float, float]]) -> float:
    """Return the mean of values, each weighted by the inverse of its variance."""
    return sum(value / variance for value, variance in pulls) / sum(1 / variance for _, variance in pulls)


def _fill(knot: Knot, after: Knot, texts: Sequence[str], pauses: Sequence[Pause]) -> list[Span]:
    room = max(0.0, after.time - knot.time)
    faster = min(1.0, room / knot.speech) if knot.speech else 1.0
    longer = max(0.0, room - knot.speech) / knot.pauses if knot.pauses else 0.0
    spans, time = list[Span](), knot.time
    for i in range(knot.word, after.word):
        if i > knot.word:
            time += pauses[i].expected * longer
        end = time + speaking_seconds(texts[i]) * faster
        spans.append((time, end))
        time = end
    return spans
