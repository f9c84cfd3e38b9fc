"""Runs of a rig: one case, a stop at every instant, a whole scenario."""
