"""Checks against models built apart from this program: a general physics engine, library integrators, closed forms."""
