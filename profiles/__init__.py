"""Motions of drives: every one is a piecewise cubic of line paid out against time."""

from profiles.motion import Motion
from profiles.sequence import MotionsOverlap, joined

__all__ = ["Motion", "MotionsOverlap", "joined"]
