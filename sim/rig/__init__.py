"""The parts of a rig, one file each: parameters, law, and where the law comes from."""
