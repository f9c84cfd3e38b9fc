"""Figures from results: histories, the rig to scale, stop sweeps.

Everything here reads Results, Traces and Drawings and computes nothing of its own: each number drawn is a field of the
result. The drawing library loads when the first figure is made, so that importing this package costs nothing.
"""
