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

MOST_STATIONS = 2000
"""Bounds the search: at least two stations within the thinnest wall that is let through."""

MOST_CREASE_PANELS = 256
"""Bounds the panels added where creases lie at unknown heights."""

# --- what counts as equal --------------------------------------------------------------

ROUND_RATIO = 1e-12
"""Front and depth that agree to rounding make a round section."""

NO_WIDTH_MM = 1e-9
"""Half-widths below this are the axis itself."""
