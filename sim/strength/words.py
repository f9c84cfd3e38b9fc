"""The words by which a reader recognises what a number is worth, the same in every table and file."""

NEEDS_EVIDENCE = "needs evidence"
"""Marks a claim that no published source stands behind."""

DOUBTFUL = "Doubtful: "
"""Begins an assumption about data that are unlikely as they are written."""

MARK = "*"
"""Stands behind a figure of a table in place of NEEDS_EVIDENCE; its legend stands below the table."""
