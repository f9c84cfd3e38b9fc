"""Histories of g with one pulse, as the rate the filters are asked for samples them."""

from __future__ import annotations

import numpy as np

RATE_HZ = 10_000.0


def pulse(shape: str, length_s: float) -> np.ndarray:
    """Rest at 1 g with a pulse of one more g from 0.1 s on."""
    t = np.arange(0.0, 2.0, 1.0 / RATE_HZ) - 0.1
    inside = (t >= 0.0) & (t <= length_s)
    bump = np.sin(np.pi * t / length_s) if shape == "half-sine" else np.ones_like(t)
    return 1.0 + np.where(inside, bump, 0.0)
