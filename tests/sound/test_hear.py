"""What is asked of the recogniser, told with one that says what the test gives it to say."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import faster_whisper
import numpy as np
import pytest

from pipeline.model import Word
from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.hear import TOGETHER, hear_on, hear_together, together
from pipeline.transcripts.recognition.models import load_model, resolve_model
from pipeline.transcripts.recognition.options import FIRST_LOOK, Reading
from pipeline.transcripts.recognition.speech import BLOCK, Stretch, listen
from pipeline.transcripts.recognition.windows import Part, Window, pack
from pipeline.transcripts.sound import SoundOptions
from tests.sound.making import SAMPLE, read_sound

PROMPTED = Reading("One. Two.")


def segment(*said: tuple[str, float, float], seek: int = 0) -> Any:
    words = [SimpleNamespace(word=text, start=start, end=end, probability=0.9) for text, start, end in said]
    return SimpleNamespace(words=words, seek=seek)


class Recogniser:
    """Gives these segments one by one, and then fails: what nobody speaks in is not to be read."""

    def __init__(self, *segments: Any) -> None:
        self.segments = segments
        self.prompts: list[str | None] = []

    def transcribe(self, _: Any, **settings: Any) -> tuple[Iterator[Any], None]:
        self.prompts.append(settings["initial_prompt"])
        return self._give(), None

    def _give(self) -> Iterator[Any]:
        yield from self.segments
        pytest.fail("read on after the last voice")


def window(seconds: float, voice_end: float) -> Window:
    return Window(np.zeros(round(seconds * RATE), np.float32), (Part(0.0, Stretch(0.0, 0.4, voice_end, seconds)),))


def timed(words: list[Word]) -> list[tuple[str, float]]:
    return [(word.text, round(word.start, 2)) for word in words]


def test_nothing_is_read_after_the_last_voice() -> None:
    model = Recogniser(segment((" Seven.", 0.5, 1.0)), segment((" Eight.", 4.0, 4.6)))
    heard = hear_on(model, np.zeros(6 * RATE, np.float32), PROMPTED, 4.7)
    assert timed(heard) == [("Seven.", 0.5), ("Eight.", 4.0)]


def test_a_window_that_a_reading_breaks_off_in_is_heard_on_from_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """The windows lie one after the other in the sound that is heard: the second begins at 6 s."""
    first, second = segment((" One.", 0.5, 1.0)), segment((" Five.", 6.5, 7.0), (" Six.", 9.4, 9.8), seek=600)

    class Pipeline:
        def __init__(self, model: Any) -> None:
            pass

        def transcribe(self, samples: Any, **settings: Any) -> tuple[list[Any], None]:
            assert len(samples) == 11 * RATE
            assert [clip["start"] for clip in settings["clip_timestamps"]] == [0.0, 6.0]
            return [first, second], None

    monkeypatch.setattr(faster_whisper, "BatchedInferencePipeline", Pipeline)
    rest = Recogniser(segment((" Two.", 3.5, 4.0)))
    heard = hear_together(rest, [window(6.0, 5.2), window(5.0, 4.0)], PROMPTED)
    assert [timed(words) for words in heard] == [[("One.", 0.5), ("Two.", 4.5)], [("Five.", 0.5), ("Six.", 3.4)]]
    assert rest.prompts == [None]


@pytest.mark.parametrize("seek", [599, 600])
def test_words_go_to_their_own_window_where_its_beginning_is_rounded_down(
    monkeypatch: pytest.MonkeyPatch, seek: int
) -> None:
    """The recogniser reckons in floating point: what begins at 6.00 s may begin in its frame 599 or 600."""

    class Pipeline:
        def __init__(self, model: Any) -> None:
            pass

        def transcribe(self, samples: Any, **settings: Any) -> tuple[list[Any], None]:
            return [segment((" One.", 5.0, 5.5)), segment((" Two.", 8.5, 9.0), seek=seek)], None

    monkeypatch.setattr(faster_whisper, "BatchedInferencePipeline", Pipeline)
    heard = hear_together(None, [window(6.0, 5.5), window(4.0, 3.0)], PROMPTED)
    assert [[word.text for word in words] for words in heard] == [["One."], ["Two."]]


def test_windows_are_taken_together_in_order() -> None:
    windows = [window(1.0, 0.8) for _ in range(2 * TOGETHER + 1)]
    taken = list(together(windows))
    assert [len(some) for some in taken] == [TOGETHER, TOGETHER, 1]
    assert [one for some in taken for one in some] == windows


def test_windows_heard_together_are_heard_as_by_themselves(options: SoundOptions) -> None:
    """faster-whisper's reading of several windows at once against its reading of each."""
    sound = read_sound(SAMPLE)
    windows = list(pack(listen(sound[at : at + BLOCK] for at in range(0, len(sound), BLOCK))))[:2]
    model = load_model(resolve_model(), options)
    for at_once, window_ in zip(hear_together(model, windows, FIRST_LOOK), windows, strict=True):
        (alone,) = hear_together(model, [window_], FIRST_LOOK)
        calls = [(w.text, w.start) for w in alone if w.text.lower().strip(".,") in {"one", "two", "three", "five"}]
        for text, start in calls:
            assert any(w.text == text and abs(w.start - start) < 0.1 for w in at_once)
