"""Frozen results, the result folder, how a figure is shown, the cautions."""
