"""What is kept of a reading, told with a recogniser that says what the test gives it to say."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import numpy as np

from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.options import Reading
from pipeline.transcripts.recognition.recognize import recognize
from pipeline.transcripts.recognition.speech import Stretch
from pipeline.transcripts.recognition.windows import Part, Window

PROMPTED = Reading("One. Two.")
Said = list[tuple[str, float, float, float]]


@dataclass
class Recogniser:
    """Gives one answer a call: words with start, end (seconds in the window) and confidence."""

    answers: list[Said]
    prompts: list[str | None] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    def transcribe(self, samples: Any, **settings: Any) -> tuple[list[Any], None]:
        self.prompts.append(settings["initial_prompt"])
        self.seconds.append(len(samples) / RATE)
        names = ("word", "start", "end", "probability")
        words = [SimpleNamespace(**dict(zip(names, word, strict=True))) for word in self.answers.pop(0)]
        return [SimpleNamespace(words=words)], None


def window(*starts: float) -> Window:
    """Calls of a second each, half a second of quiet on both sides, at these seconds of the recording."""
    parts = [Part(2.0 * i, Stretch(start - 0.5, start, start + 1.0, start + 1.5)) for i, start in enumerate(starts)]
    return Window(np.zeros(len(parts) * 2 * RATE, np.float32), tuple(parts))


def said(model: Recogniser, *starts: float) -> list[tuple[str, float]]:
    return [(word.text, word.start) for word in recognize(model, [window(*starts)], PROMPTED)]


def test_words_take_their_times_in_the_recording() -> None:
    model = Recogniser([[(" One.", 0.6, 1.0, 0.9), (" Two.", 2.6, 3.0, 0.9)]])
    assert said(model, 10.0, 40.0) == [("One.", 10.1), ("Two.", 40.1)]
    assert model.prompts == ["One. Two."]


def test_a_word_timed_in_the_quiet_goes_to_the_voice_next_to_it() -> None:
    model = Recogniser([[(" One.", 0.6, 1.0, 0.9), (" two.", 1.9, 2.5, 0.9)]])
    assert said(model, 10.0, 40.0) == [("One.", 10.1), ("two.", 40.0)]


def test_a_call_that_was_passed_over_is_read_again_without_the_prompt() -> None:
    first = [(" One.", 0.6, 1.0, 0.9), (" Three.", 4.6, 5.0, 0.9)]
    again = [(" One.", 0.6, 1.0, 0.9), (" two.", 2.6, 3.0, 0.9), (" Tree.", 4.6, 5.0, 0.9)]
    model = Recogniser([first, again])
    assert said(model, 10.0, 20.0, 30.0) == [("One.", 10.1), ("two.", 20.1), ("Three.", 30.1)]
    assert model.prompts == ["One. Two.", None]


def test_only_what_lies_around_it_is_read_again() -> None:
    first = [(" One.", 0.6, 1.0, 0.9), (" two.", 2.6, 3.0, 0.9), (" three.", 4.6, 5.0, 0.9)]
    model = Recogniser([first, [(" three.", 0.6, 1.0, 0.9), (" Four.", 2.6, 3.0, 0.9)]])
    assert said(model, 10.0, 20.0, 30.0, 40.0)[-1] == ("Four.", 40.1)
    assert model.seconds == [8.0, 4.0]


def test_a_drawn_out_word_belongs_where_it_begins() -> None:
    model = Recogniser([[(" Up", 0.6, 3.4, 0.9), (" two.", 2.7, 3.0, 0.9)]])
    assert said(model, 10.0, 40.0)[0] == ("Up", 10.1)


def test_what_is_made_up_after_the_last_word_is_left_out() -> None:
    tail = [(" Thank", 1.4, 1.8, 0.01), (" you", 1.45, 1.8, 0.9), (" for", 1.9, 2.0, 0.9)]
    assert said(Recogniser([[(" Six.", 0.6, 1.0, 0.9), *tail]]), 10.0) == [("Six.", 10.1)]


def test_thanks_that_were_said_are_kept() -> None:
    model = Recogniser([[(" Thank", 0.6, 0.9, 0.8), (" you.", 0.9, 1.4, 0.9)]])
    assert said(model, 10.0) == [("Thank", 10.1), ("you.", 10.4)]


def test_a_loop_is_read_again_without_the_prompt() -> None:
    loop = [(" see you", 0.6, 0.7, 0.9)] * 40
    model = Recogniser([loop, [(" Six.", 0.6, 1.0, 0.9)]])
    assert said(model, 10.0) == [("Six.", 10.1)]
    assert model.prompts == ["One. Two.", None]


def test_a_loop_without_a_prompt_is_read_half_by_half() -> None:
    loop = [(" see you", 0.6, 0.7, 0.9)] * 40
    halves = [[(" One.", 0.6, 1.0, 0.9)], [(" Two.", 0.6, 1.0, 0.9)]]
    model = Recogniser([loop, loop, *halves])
    assert said(model, 10.0, 40.0) == [("One.", 10.1), ("Two.", 40.1)]
    assert model.seconds == [4.0, 4.0, 2.0, 2.0]


def test_a_name_in_two_parts_is_one_word() -> None:
    model = Recogniser([[(" push", 0.6, 0.8, 0.9), (" -up,", 0.8, 1.2, 0.9)]])
    assert said(model, 10.0) == [("push-up,", 10.1)]
