"""Every tolerance and bound of the geometry, each with its reason."""

# --- what a drawing may be -------------------------------------------------------------

LEAST_POINTS = 2
MOST_POINTS = 400
"""A height line every 5 mm on a pot of two metres: finer is noise, not drawing."""

MOST_LENGTH_MM = 2000.0
"""No school kiln is wider or taller than two metres; such a number is a slipped unit."""

LEAST_HEIGHT_MM = 1.0
"""Below the thickness of a pencil line there is no pot."""

SAME_POINT_MM = 1e-3
"""Two points nearer than this are the same point: a ruler shows 0.5 mm, a tracing 0.05 mm."""

SAME_TOP_MM = 0.5
"""The tops of a front and a side profile may differ by what a ruler can't show."""

LEAST_DEPTH_RATIO = 0.1
MOST_DEPTH_RATIO = 10.0
"""Beyond ten to one the section is a slab, and a wall fills it."""

MOST_SLANT_PER_WALL = 500.0
"""Wall ÷ slant length below this is a sheet, not clay, and below the sampling of the offset."""

MOST_ADDED_G = 20_000
"""Handles and knobs heavier than any pot of a class are a slipped unit."""

LEAST_LINE_SPACING_MM = 5.0
"""Closer height lines can't be told apart on paper."""

# --- how finely curves are sampled -----------------------------------------------------

STATIONS = 128
"""Stations along the meridian. Three times as many change a round pot's clay by < 0.001 %."""

DIRECTIONS = 32
"""Directions in a quarter of the horizon. Three times as many change the clay of ovals by at most
0.003 % down to a depth of 0.4, and 0.03 % at 0.15."""

STATIONS_PER_WALL = 8
"""Stations within one wall thickness where the offset folds over and is searched."""

MOST_BETWEEN_STATIONS = 16
"""Where the wall bends so sharply that its inside maps far apart, stations are put in between,
within half a wall of each other on the inside."""

MOST_STATIONS = 2000
"""Bounds the search: at least two stations within the thinnest wall that is let through."""

MOST_CREASE_PANELS = 256
"""Bounds the panels added where creases lie at unknown heights."""

# --- what counts as equal --------------------------------------------------------------

ROUND_RATIO = 1e-12
"""Front and depth that agree to rounding make a round section."""

SAME_PLACE_MM = 1e-9
"""Two readings of one place along the meridian that differ by less agree."""

SAME_NORMAL = 1e-9
"""Radians by which a normal that keeps its direction turns by rounding."""

NO_WIDTH_MM = 1e-9
"""Half-widths below this are the axis itself."""

# --- outlines --------------------------------------------------------------------------

LEAST_OUTLINE_POINTS = 3
MOST_OUTLINE_POINTS = 400
"""A traced outline: a point every few millimetres of the largest pot."""

OUTLINE_DECIMALS = 9
"""Of the farthest coordinate of a traced outline: points that agree in so many are one."""

SAME_OUTLINE_PLACE = 1e-9
"""Between two traced points: so little beside a corner is still the side that it belongs to."""

CORNER_DEG = 40.0
"""A sharper turn between two sides of a traced outline is meant as a corner: an octagon keeps
its eight, ten points or more on a circle make a round."""

MOST_OUTLINE_CORNERS = 24
"""A star of twelve tips. The work grows with the square of the corners: 24 take a second, 400 a
minute."""

LEAST_OUTLOOK = 0.02
"""Sine of the angle at which an outline is seen from its middle: about a degree."""

SAMPLES_PER_PIECE = 8
"""Samples between two traced points, where the curve is a cubic that turns by 40° at most."""

SAME_ANGLE = 1e-9
"""Radians: joints of two outlines nearer than this are one joint."""

RING_PANELS = 32
"""Panels round a ring, each with three steps. Four times as many change the clay by at most
0.003 %."""

FAN_DEG = 15.0
"""How far the normal turns from node to node round a corner that points inward."""

RING_EXTENT_ANGLES = 2048
RING_EXTENT_LEVELS = 65
"""For the width of an outline that changes with height: missed by less than 0.001 %."""

SECTION_POINTS = 180
"""Points of a drawn ellipse: a chord of the largest pot is off by 0.15 mm."""

RING_AREA_PANELS = 40
"""Panels for the outer area, or as many as the profile has knots; five nodes in each."""

LEAST_FACE_MM2 = 1e-3
"""Smaller faces, where a ring crosses itself, are rounding or next to nothing."""

STEADY_SHARE = 0.25
"""Of the wall: the contacts of two neighbouring nodes differ by so much in height at a crease only,
where one lies on another branch than the other."""

LEAST_ROOM = 1e-3
"""Of the base: less than that inside a foot ring is a disc, not a ring."""

LEAST_POCKET = 1e-3
"""Of the hollow: smaller pockets beside it don't part it."""

RING_LEVEL_STATIONS = 32
"""Stations whose inside heights part the hollow into levels, two nodes between any two. With
sixteen times as many the clay of pots over all outlines changes by at most 0.003 %, by 0.02 % where
a profile has nearly level shoulders."""

RING_CREASE_NODES = 8
"""One node in so many is asked at what heights the hollow has creases."""

RING_STATIONS_PER_WALL = 3
"""Stations within one wall thickness where the offset of a ring folds over: they tell its branches
apart, no more."""

SEARCHED_AT_ONCE = 400_000
"""Numbers of one array of that search, 3 MB."""

# --- the pot as a mesh -----------------------------------------------------------------

SHARP_DEG = 25.0
"""An outline that turns more than this at one point has an edge there; between two points of a
curve it turns by a few degrees."""

SPECK_MM = 1e-3
"""Points nearer than this are one, also to whoever reads a mesh in single precision."""
