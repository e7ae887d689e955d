"""Words that both choices, whether the class turns and where, look for; common practice, no source."""

from __future__ import annotations

_SETUP_WORDS = """
feet foot hands hand knees knee elbows elbow forearms heels toes palms fingertips hip-width wide width shoulders under
front behind facing face floor mat chair seat bench wall bar edge grab take hold tie loop hook wrap pick bring step lie
sit kneel stand come final last next first now time here
"""
#: Words with which one is placed for an exercise.
SETUP = frozenset(_SETUP_WORDS.split())
