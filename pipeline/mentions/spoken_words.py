"""What hearing by ear has to know of a spoken word: how it sounds, and whether it is a coach's, a number, a name's."""

from __future__ import annotations

import re
from collections.abc import Container
from dataclasses import dataclass

from pipeline.mentions.numbers import TENS, UNITS
from pipeline.mentions.plain_speech import LEADING_IN, NUMBERS, PLAIN_SPEECH, SOUNDS_LIKE_A_LETTER
from pipeline.mentions.sounded_names import SoundedNames
from pipeline.mentions.sounds import consonants, is_word, phonemes

_VOWEL = re.compile("[aeiouy]")


@dataclass(slots=True)
class SpokenWord:
    """A spoken word: ``text`` in the singular, as names are kept, ``plain`` as said.

    ``sound`` and ``key`` are its phonemes and consonants as said, ``singular`` and ``singular_key`` those of ``text``;
    ``known``: a dictionary has it; ``listed``: a word of a name; ``counts``: a number below a hundred.
    ``foreign``: no word of a coach's own; ``ends_names``: the last of a name.
    """

    text: str
    plain: str
    plain_speech: bool
    letter: bool
    leads_in: bool
    number: bool
    counts: bool
    digits: bool
    foreign: bool
    listed: bool
    ends_names: bool
    known: bool
    sound: str
    key: str
    singular: str
    singular_key: str

    @property
    def is_made_up(self) -> bool:
        """Whether by itself it may be a misheard name: in no dictionary, and no other abbreviation ("CHR")."""
        return not self.known and _VOWEL.search(self.plain) is not None


def describe(text: str, plain: str, names: SoundedNames, at_home: Container[str]) -> SpokenWord:
    """Return what is to be known of a word: ``text`` in the singular, ``plain`` as said.

    ``at_home`` are the words of plain speech and of a coach.
    """
    # "Lefts" is no plural of a name's word, however many names hold "left".
    listed = text in names.words
    is_own = (listed and text not in PLAIN_SPEECH) or plain in at_home
    sound, singular = phonemes(plain), phonemes(text)
    return SpokenWord(
        text=text,
        plain=plain,
        plain_speech=plain in PLAIN_SPEECH,
        letter=plain in SOUNDS_LIKE_A_LETTER,
        leads_in=plain in LEADING_IN,
        number=plain in NUMBERS,
        counts=plain in UNITS or plain in TENS,
        digits=plain.isdigit(),
        foreign=not is_own,
        listed=listed,
        ends_names=text in names.last_words,
        known=is_word(plain) or is_word(text),
        sound=sound,
        key=consonants(sound),
        singular=singular,
        singular_key=consonants(singular),
    )
