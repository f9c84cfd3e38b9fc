"""The words by which a reader recognises what a number is worth, the same in every table and file."""

NEEDS_EVIDENCE = "needs evidence"
"""Marks a claim that no published source stands behind."""

DOUBTFUL = "Doubtful: "
"""Begins an assumption about data that are unlikely as they are written."""
