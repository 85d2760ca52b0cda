"""Every tolerance and bound of packing, each with its reason."""

MOST_LENGTH_MM = 5000.0
"""No kiln is five metres wide; such a number is a slipped unit."""

MOST_PIECES = 400
"""Twice the pots of a large school room; bounds the time of one request."""

MOST_TRACED_POINTS = 400
"""A point every few millimetres around a large pot: finer is noise."""

DIRECTIONS = 72
"""Directions in which two outlines are tried for a gap, 5° apart. The gap found is never more
than the true one and at most 0.1 % of the pots' radii less; between round pots it is exact."""

SHELF_FACES = 360
"""Tangents that stand for a round or oval edge: 0.01 mm wide of it at a radius of 300 mm."""

OUTLINE_POINTS = 360
"""Points of an outline that isn't a circle: 0.005 mm off at a radius of 150 mm."""

CONTACT_MM = 0.01
"""Pots that are pushed apart keep this much more than the clearance, and outlines this much from
a curved edge where there is room: more than descent and tangents miss by."""

SAME_MM = 1e-7
"""Contacts that agree to this are met."""

CHECKED_MM = 0.05
"""A layout is called wrong from here on: above rounding and chords, far below a hand."""

NEAR_MM = 4.0
"""A coarse corner that digs deeper than this into something else isn't worth solving exactly."""

TOO_FULL = 0.88
"""Dilated pots over dilated shelf: nobody packs mixed pots closer, so nobody tries to."""

NO_AREA = 1e-3
"""Areas of outlines with many corners agree to this share of themselves."""

FILLING_PAIRS = 22_000_000
"""Pairs of pots looked at for a whole load: two seconds at most, on average, of one core that does
nothing else."""
