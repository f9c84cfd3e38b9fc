"""The parts of a rig, one file each, and how a scenario becomes one."""
