"""Motions of drives: every one is a piecewise cubic of line paid out against time."""

from profiles.motion import Motion
from profiles.overspeed import hurried
from profiles.path import Path, flown
from profiles.point_to_point import ImpossibleMove, point_to_point
from profiles.recording import Recording, TraceFaults, read_recording, recording_from_text
from profiles.sequence import MotionsOverlap, joined
from profiles.stop import stopped
from profiles.top_speed import held_at
from profiles.trace import follow_trace, motion_of_recording, smoothing_note, smoothing_share

__all__ = [
    "ImpossibleMove",
    "Motion",
    "MotionsOverlap",
    "Path",
    "Recording",
    "TraceFaults",
    "flown",
    "follow_trace",
    "held_at",
    "hurried",
    "joined",
    "motion_of_recording",
    "point_to_point",
    "read_recording",
    "recording_from_text",
    "smoothing_note",
    "smoothing_share",
    "stopped",
]
