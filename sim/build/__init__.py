"""From a scenario to a rig: units and names end here, every assumption is written down."""

from sim.build.rig import build_rig

__all__ = ["build_rig"]
