"""Speech recognition in pieces: decoding, voice activity, windows, the recogniser, its store.

``pipeline/transcripts/sound.py`` puts them together. Sound flows through as a stream: a block is decoded,
listened to for speech and recognised before the next but one is decoded, so that memory does not grow with
the length of a class.
"""
