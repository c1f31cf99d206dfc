"""Recorded flights: open track formats, cleaning, derived motion."""

from lubberline.recording.model import Recording, Track

__all__ = [
    "Recording",
    "Track",
]
