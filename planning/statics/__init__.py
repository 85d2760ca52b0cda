"""Whether the soft wall carries itself while the pot is being built.

Pure computation over arrays: an estimate with a range, never a verdict. Lengths are millimetres,
forces newtons (N/mm for forces within the wall), stresses N/mm² until a name says kPa; tension
and what widens the pot are positive. `selfweight.self_weight` is the one entry.
"""
