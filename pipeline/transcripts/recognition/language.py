"""Which language is spoken, as far as the model can tell."""

from __future__ import annotations

from pipeline.transcripts.recognition.models import ModelChoice, load_model
from pipeline.transcripts.recognition.options import SoundOptions
from pipeline.transcripts.recognition.windows import Window

SURE = 0.7
"""Probability. Music and numbers alone leave the model in doubt; below this nothing is said."""


def spoken_language(choice: ModelChoice, options: SoundOptions, window: Window) -> str | None:
    """Return the code (ISO 639-1) of a language other than English that is surely spoken, else ``None``.

    Models of English alone cannot tell: they hear English in everything.
    """
    model = load_model(choice, options)
    if not model.model.is_multilingual:
        return None
    language, chance, _ = model.detect_language(audio=window.samples)
    return str(language) if language != "en" and chance >= SURE else None
