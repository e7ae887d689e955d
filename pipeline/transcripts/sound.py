"""From a recording to a timed transcript: decoding, voice activity, recognition window by window, all local.

The modules in ``recognition/`` do the steps; this one runs them through, keeps what is recognised, and says
in one line what cannot be used. Recognised words are kept by content and settings, so that a run which was
stopped goes on where it was, and one that was finished is not done again.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import asdict, replace
from pathlib import Path
from statistics import fmean
from typing import Any

from pipeline.model import InputError, Transcript, Word
from pipeline.transcripts.assemble import assemble
from pipeline.transcripts.base import Draft, Passage, Token
from pipeline.transcripts.recognition.again import can_look_again, keep_better, look_again
from pipeline.transcripts.recognition.audio import Recording, open_recording
from pipeline.transcripts.recognition.corrections import note
from pipeline.transcripts.recognition.digits import put_together
from pipeline.transcripts.recognition.hear import together
from pipeline.transcripts.recognition.language import spoken_language
from pipeline.transcripts.recognition.last_words import end_sentences
from pipeline.transcripts.recognition.misheard import doubtful, hear_numbers, put_right
from pipeline.transcripts.recognition.models import ModelChoice, load_model, resolve_model
from pipeline.transcripts.recognition.options import FIRST_LOOK, SECOND_LOOK, Reading, SoundOptions
from pipeline.transcripts.recognition.recognize import recognize
from pipeline.transcripts.recognition.speech import BLOCK, listen
from pipeline.transcripts.recognition.store import Store, cache_folder, clear_cache, content_key
from pipeline.transcripts.recognition.windows import Window, pack

__all__ = ["ModelChoice", "SoundOptions", "clear_cache", "resolve_model", "second_look", "transcribe"]

Progress = Callable[[float, float], None]

PIECE_PAUSE = 0.5
"""Seconds. A silence this long between two words begins a new piece, as a caption would."""

HARDLY_UNDERSTOOD = 0.6
"""Mean confidence of a recording's words. Spoken classes come out of a small model at 0.86 to 0.90, with music under
them or not, and thirty words of German that it took for English at 0.49 (``tests/bench/SOUND.md``). Where between
them to doubt is judgement."""

LEAST_WORDS = 20
"""Words. Of fewer, nothing is said about how well they were understood."""

NO_SPEECH = "no speech was heard in it"
NOT_UNDERSTOOD = "there is speech in it, but not a word was understood"
NO_SPEECH_REMEDY = "give a recording of a coach speaking English who can be heard over the music, or a transcript"

DIGITS = "Numbers read out digit by digit were put together"
MISHEARD = "Calls heard as words that sound like them were put right"
"""What is noted of calls that were put right, before the list of them."""


def transcribe(path: Path, options: SoundOptions | None = None, progress: Progress | None = None) -> Transcript:
    """Recognise the speech of a recording (audio, or video with sound); words are timed one by one.

    ``progress`` is called with the seconds done and the seconds in all (0 where the container does not say).
    Raises :class:`InputError` where the recording, or the model, cannot be used. Stopped and called again
    with the same recording and options, it goes on where it was and returns the same transcript.
    """
    options = options or SoundOptions()
    recording = open_recording(path)
    choice = resolve_model(options.model)
    store = Store(cache_folder(options.cache), content_key(path, _settings(choice, options, FIRST_LOOK)))
    if store.finished is None:
        _recognize_all(recording, choice, options, store, progress)
    elif progress is not None:
        progress(recording.length, recording.length)
    about = store.finished or {}
    return _transcript(path.name, store.windows, about["duration"], tuple(about["warnings"]))


def second_look(
    path: Path,
    transcript: Transcript,
    holes: Sequence[tuple[float, float]],
    options: SoundOptions | None = None,
) -> Transcript:
    """Recognise stretches again with other settings, and keep the better readings.

    These are the holes given (seconds, from and to) and the words that may be misheard calls. A reading of a hole
    is better where more numbers of the count that runs over it are in it; a word becomes a number where that is
    heard in its place. All other words stay as they were. Second readings are kept like the first.
    """
    holes = [hole for hole in holes if can_look_again(hole)]
    words = transcript.words
    stretches = [*holes, *((words[i].start, words[i].end) for i, _ in doubtful(words))]
    if not stretches:
        return transcript
    options = options or SoundOptions()
    recording = open_recording(path)
    choice = resolve_model(options.model)
    key = content_key(path, _settings(choice, options, SECOND_LOOK) | {"stretches": stretches})
    store = Store(cache_folder(options.cache), key)
    if store.finished is None:
        for windows in together(look_again(recording, stretches)):
            _recognize(windows, choice, options, SECOND_LOOK, store)
        store.finish({"duration": transcript.source.duration, "warnings": []})
    heard = tuple(word for window in store.windows for word in window)
    better = hear_numbers(keep_better(words, heard, holes), heard)
    if tuple(better) == words:
        return transcript
    return _transcript(transcript.source.name, [better], transcript.source.duration, transcript.warnings)


def _settings(choice: ModelChoice, options: SoundOptions, reading: Reading) -> dict[str, Any]:
    """Return all that recognised words depend on beside the sound."""
    return {
        "model": choice.fingerprint(),
        "compute_type": options.compute_type,
        "device": options.device,
        "reading": asdict(reading),
    }


def _recognize_all(
    recording: Recording,
    choice: ModelChoice,
    options: SoundOptions,
    store: Store,
    progress: Progress | None,
) -> None:
    """Recognise all that is not kept yet, and keep it."""
    confidences: list[float] = []
    language: str | None = None
    spoken = False
    for windows in _with_progress(recording, progress):
        if not spoken:
            spoken, language = True, spoken_language(choice, options, windows[0])
        words = _recognize(windows, choice, options, FIRST_LOOK, store)
        confidences += [word.probability for word in words if word.probability is not None]
    if not confidences:
        problem = NOT_UNDERSTOOD if spoken else NO_SPEECH
        raise InputError(recording.path.name, None, problem, NO_SPEECH_REMEDY)
    warnings = [*recording.warnings, *_doubts(confidences, language)]
    store.finish({"duration": round(recording.decoded, 3), "warnings": warnings})


def _recognize(
    windows: Sequence[Window], choice: ModelChoice, options: SoundOptions, reading: Reading, store: Store
) -> list[Word]:
    """Return the words of windows that are heard together: those kept, or else those heard now, and keep them."""
    start, end = windows[0].start, windows[-1].end
    words = store.get(start, end)
    if words is None:
        words = recognize(load_model(choice, options), windows, reading)
        store.add(start, end, words)
    return words


def _with_progress(recording: Recording, progress: Progress | None) -> Iterator[list[Window]]:
    """Give the windows that are heard together: always the same ones, wherever a run was stopped before."""
    for windows in together(pack(listen(recording.blocks(BLOCK)))):
        yield windows
        _give_back_memory()
        if progress is not None:
            progress(windows[-1].end, max(recording.length, windows[-1].end))
    if progress is not None:
        progress(recording.decoded, recording.decoded)


def _give_back_memory() -> None:
    """Give the memory of the windows before back to the system, where the C library is one that keeps it (glibc).

    Windows differ in length, and so do their blocks: what is kept for the next ones does not fit them, and grows.
    """
    with suppress(AttributeError, OSError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)


def _doubts(confidences: Sequence[float], language: str | None) -> list[str]:
    if language is not None:
        return [f"The language spoken seems to be {language}; only English is understood."]
    if len(confidences) >= LEAST_WORDS and fmean(confidences) < HARDLY_UNDERSTOOD:
        return [
            f"The words were hardly understood (mean confidence {fmean(confidences):.2f}): is it English, "
            "and can the coach be heard over the music? A larger model may help (--model)."
        ]
    return []


def _transcript(name: str, windows: Iterable[Sequence[Word]], duration: float, warnings: tuple[str, ...]) -> Transcript:
    words, joined = put_together(end_sentences([word for window in windows for word in window]))
    words, corrections = put_right(words)
    draft = Draft(kind="media", timing="word")
    for number, piece in enumerate(_pieces(words), 1):
        tokens = tuple(Token(w.text, w.start, w.end, w.speaker, w.probability) for w in piece)
        draft.passages.append(Passage(number, piece[0].start, piece[-1].end, tokens))
    transcript = assemble(draft, name)
    source = replace(transcript.source, duration=max(duration, transcript.source.duration))
    return replace(transcript, source=source, warnings=(*warnings, *note(DIGITS, joined), *note(MISHEARD, corrections)))


def _pieces(words: Sequence[Word]) -> list[list[Word]]:
    """Part the words at the pauses that were heard between them."""
    pieces: list[list[Word]] = []
    for word in words:
        if not pieces or word.start - pieces[-1][-1].end >= PIECE_PAUSE:
            pieces.append([])
        pieces[-1].append(word)
    return pieces
