"""What stands on every page that shows a result: what a simulation is worth, and what it cannot replace."""

SHORT = (
    "A simulation is one input to a risk assessment and approves nothing. A competent person checks it; "
    "prove by unmanned tests, measured, before anyone flies."
)
"""One sentence or two, for a screen or a figure's foot."""

FULL = (
    "A simulation is one input to a risk assessment. It approves nothing and replaces nobody's judgement.",
    "A competent person checks the input, the result and the rig before they are relied on.",
    "Local codes, the makers' instructions for the equipment and licensed practice come first, whatever is shown here.",
    "Prove the rig by unmanned tests with a matching mass, measured and compared with this, before anyone flies.",
    "What a human being can bear is a medical question; a scenario's author sets its limits, this program sets none.",
)
"""One sentence each, for a report, a summary and the guide."""
