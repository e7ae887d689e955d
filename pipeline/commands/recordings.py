"""Recordings for ``repslate analyze`` and ``repslate transcribe``: recognised here, and their words as JSON."""

from __future__ import annotations

import json
import signal
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import RepslateError

if TYPE_CHECKING:
    from pipeline.model import Transcript
    from pipeline.transcripts.sound import SoundOptions

BYTES_TO_TELL = 4096
"""Enough of a file to tell sound or film from text, so that a long film is not read to be refused."""


def is_recording(source: str) -> bool:
    """Tell sound or film from text by the first bytes of a file."""
    from pipeline.transcripts import looks_like_media

    # What is no plain file can be read only once, and `read` refuses a recording itself.
    if not Path(source).is_file():
        return False
    try:
        with Path(source).open("rb") as file:
            return looks_like_media(file.read(BYTES_TO_TELL))
    except OSError:
        return False  # `read` says why it cannot be read


def read_recording(
    source: str,
    options: SoundOptions,
    lexicon: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Transcript:
    """Recognise a recording, and look a second time where its counts have holes.

    Raises :class:`~pipeline.model.InputError` where it cannot be used, or no model be had.
    """
    from pipeline.second_look import look_twice
    from pipeline.transcripts.sound import transcribe

    path = Path(source)
    return look_twice(path, transcribe(path, options, progress), options, lexicon)


def recognize_ahead(sources: Sequence[str], options: SoundOptions, at_once: int) -> None:
    """Recognise the recordings among the sources, several at once, so that they are known in their turn.

    What is wrong with one is left to be said in its turn.
    """
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    recordings = [source for source in sources if is_recording(source)]
    if at_once < 2 or len(recordings) < 2:
        return
    with ProcessPoolExecutor(min(at_once, len(recordings)), get_context("spawn"), _stop_quietly) as pool:
        list(pool.map(_recognize_one, recordings, [options] * len(recordings)))


def words_json(transcript: Transcript) -> bytes:
    """Return a transcript in the form of a recogniser's JSON, as ``repslate analyze`` reads it, in UTF-8."""
    segments = [
        {
            "start": round(piece.start, 3),
            "end": round(piece.end, 3),
            "text": transcript.text((piece.first, piece.stop)),
            "words": [
                {
                    "word": word.text,
                    "start": round(word.start, 3),
                    "end": round(word.end, 3),
                    "probability": word.probability,
                }
                for word in transcript.words[piece.first : piece.stop]
            ],
        }
        for piece in transcript.pieces
    ]
    document = {"duration": round(transcript.source.duration, 3), "segments": segments}
    return f"{json.dumps(document, indent=1, ensure_ascii=False)}\n".encode()


def _recognize_one(source: str, options: SoundOptions) -> None:
    from pipeline.transcripts.sound import transcribe

    try:
        transcribe(Path(source), options)
    except RepslateError:
        return


def _stop_quietly() -> None:
    """Let Ctrl-C end a worker at once; the command that started it says so."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
