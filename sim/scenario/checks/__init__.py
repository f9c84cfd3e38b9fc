"""Checks between the parts of a scenario file, on the written text."""
