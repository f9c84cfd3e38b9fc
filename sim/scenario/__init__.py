"""The scenario file: its format as typed models, its reader, its units. Units end here."""

from sim.scenario.faults import Fault, ScenarioErrors
from sim.scenario.filled import filled_in
from sim.scenario.keys import KeyPath, changes_of, find_key, split_values
from sim.scenario.model import Scenario
from sim.scenario.pending import not_simulated
from sim.scenario.reader import changed, compare_cases, content_of, read_bytes, read_file, read_text

__all__ = [
    "Fault",
    "KeyPath",
    "Scenario",
    "ScenarioErrors",
    "changed",
    "changes_of",
    "compare_cases",
    "content_of",
    "filled_in",
    "find_key",
    "not_simulated",
    "read_bytes",
    "read_file",
    "read_text",
    "split_values",
]
