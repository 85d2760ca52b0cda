"""Firing programs that a studio starts with. Slow on purpose: classes build thick and uneven.

Bounds taken: candling held at 60-93 °C (ceramicartsnetwork.org, Techno File "Firing Programs"),
50 °C/h to 90 °C and held three hours or more for thicker ware (sitawong.com, "Suggesting Firing
Schedules"), bound water and quartz inversion at 573 °C passed slowly (common practice), the last
120 °C at the 60 °C/h that the cone chart has a column for. Each peak is the end point of its cone
in that column. The kiln maker's and the clay and glaze suppliers' sheets come first.
"""

from dataclasses import dataclass
from typing import Literal

from planning.geometry.said import sentence

from .heat.program import Segment


@dataclass(frozen=True)
class Program:
    """A firing program by name. `name` and `note` are for translation; it starts cold."""

    key: str
    name: str
    note: str
    use: Literal["bisque", "glaze"]
    cone: str
    segments: tuple[Segment, ...]


SLOW_SCHOOL_BISQUE = Program(
    "slow_school_bisque",
    sentence("Slow school bisque, cone 06"),
    sentence(
        "Below boiling for six hours with the vent on, so that damp leaves before it can burst a "
        "wall; hold longer for thick walls. A pot that may be damp stays out. The vent stays on "
        "until it is unloaded; nobody sits in the room. The school's rules and the maker's sheets "
        "come first."
    ),
    "bisque",
    "06",
    (
        Segment(50, 85, 6 * 60),
        Segment(60, 200),
        Segment(80, 500),
        Segment(60, 620),
        Segment(100, 878),
        Segment(60, 998),
    ),
)

GLAZE_LOW_FIRE = Program(
    "glaze_low_fire",
    sentence("Low-fire glaze, cone 06"),
    sentence(
        "For earthenware glazes made for cone 06. Fresh glaze dries first. Fire only glazes and "
        "bodies that are both made for this cone. Vent on; eye protection at the spy hole."
    ),
    "glaze",
    "06",
    (
        Segment(80, 110, 30),
        Segment(150, 500),
        Segment(100, 620),
        Segment(150, 878),
        Segment(60, 998),
    ),
)

GLAZE_CONE_6 = Program(
    "glaze_cone_6",
    sentence("Mid-range glaze, cone 6"),
    sentence(
        "For stoneware glazes made for cone 6. Fresh glaze dries first. Fire only glazes and "
        "bodies that are both made for this cone: a low-fire body melts in it. Vent on; eye "
        "protection at the spy hole."
    ),
    "glaze",
    "6",
    (
        Segment(80, 110, 30),
        Segment(150, 500),
        Segment(100, 620),
        Segment(150, 1102),
        Segment(60, 1222),
    ),
)

PROGRAMS = (SLOW_SCHOOL_BISQUE, GLAZE_LOW_FIRE, GLAZE_CONE_6)
