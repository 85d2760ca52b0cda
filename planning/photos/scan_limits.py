"""How many pages of a scan are read, how large, how finely. Light enough for the web process."""

from typing import Final

MOST_PAGES: Final = 60
DPI: Final = 200
"""A pencil line of 0.3 mm is two pixels wide; copiers offer it everywhere (common practice)."""

LONGEST_MM: Final = 900.0
"""No copier feeds a longer page (A1 is 841 mm, ISO 216); it would be drawn too coarsely."""
