"""Captions that stay until the next one comes, so that their ends do not tell when their words were said.

Automatic captions and sheets that have only starts are of this kind. Shared over the whole time until the next
caption, the words of "last one, and rest" would go on through the rest, and no pause would be left anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipeline.transcripts.counts import counted_numbers
from pipeline.transcripts.pauses import expected_pauses, speaking_seconds

SHORTEST_GAP = 0.05
"""Seconds. Captioners that part captions part them by a frame or two at least: 0.08 s at 25 a second; some that
do not still end one some thousandths of a second before the next."""

LINGERING_SHARE = 0.8
"""Of all captions: coaches pause after more than one sentence in five, so where more than this share of the
captions meet the next one, they do not end with the speech."""

FEWEST_CAPTIONS = 10
"""Of fewer than these it cannot be told how they were made: some captions meet in every file."""

ALONE_SHARE = 1 / 3
"""Of all numbers counted aloud: where at least this share have a caption of their own, captions start as numbers
are said; else several share one, and the count has to tell where in it they fall. Between a fifth and a half it
makes little difference on the annotated classes with their captions drawn out."""

Caption = tuple[Sequence[str], float, float]


def linger(captions: Sequence[Caption]) -> bool:
    """Tell whether captions ``(words, start, end)``, in order of time, mostly stay until the next one comes."""
    met = [end >= start - SHORTEST_GAP for (_, _, end), (_, start, _) in pairwise(captions)]
    return len(captions) >= FEWEST_CAPTIONS and sum(met) > LINGERING_SHARE * len(met)


def numbers_stand_alone(captions: Sequence[Caption]) -> bool:
    """Tell whether most numbers counted aloud are the only one of their caption."""
    counted = iter(counted_numbers([text for words, _, _ in captions for text in words]))
    numbers = [sum(next(counted) is not None for _ in words) for words, _, _ in captions]
    return numbers.count(1) >= ALONE_SHARE * sum(numbers)


def ends_of_speech(captions: Sequence[Caption]) -> Iterator[float]:
    """Yield for each caption the second until which its words are said, at the usual pace; its end at most."""
    texts = [text for words, _, _ in captions for text in words]
    pauses = expected_pauses(texts, counted_numbers(texts))
    first = 0
    for words, start, end in captions:
        stop = first + len(words)
        said = sum(speaking_seconds(text) for text in words) + sum(one.expected for one in pauses[first + 1 : stop])
        yield min(end, start + said)
        first = stop
