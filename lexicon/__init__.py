"""What the trade knows about exercises, as data that a coach can read and edit, and the loader for it.

``load()`` gives the whole :class:`Lexicon`; ``check(path)`` lists what is wrong with a file. The data is
described in ``lexicon/README.md``.
"""

from lexicon.entries import Activity, Exercise, Lexicon, LexiconError, Modifier, name_key
from lexicon.loader import check, load

__all__ = ["Activity", "Exercise", "Lexicon", "LexiconError", "Modifier", "check", "load", "name_key"]
