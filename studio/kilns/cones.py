"""The table of end points: at which temperature a witness cone is down, by heating rate.

`cones.csv` holds one row for each cone, kind of cone and heating rate over the last 100 °C. Its
last column names where the row was seen:

- S1  Orton Ceramic Foundation, Temperature Equivalent Chart for Orton Pyrometric Cones (°C),
      022-14, copy at formsbank.com/template/288043
- S2  the same maker's chart, 2016 edition, copy at it.scribd.com/document/456397963
- S3, S4  two published number arrays (°C, self-supporting, three rates); S5 a third in °F
- S6  a retailer's table in °F at 108 and 270 °F/h; S7 a supplier's listing of cone 13
- S8  potters.org/subject81597.htm (cone 6); S9 a potters' thread (cone 7)
- S10 freeartdictionary.com/definition/pyrometric-cones (06 and 04)
- "from memory": recalled from the maker's chart and not seen

All go back to one maker's chart, so agreement proves the copying, not the physics. An older chart
is still about ("cone 6 = 1222 °C at 150 °C/h"); this one is the current edition.

The end point between two published rates is interpolated in ln(rate), which is what a bending
governed by exp(-E/RT) asks for. Outside them the table says nothing: the value at the nearest
published rate is answered; `heat.work` goes on from there by its own rule, and says so.
"""

import csv
from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from math import log
from pathlib import Path

from studio.room.cones import NAMES

from .refusal import KilnRefused, Trouble

DEFAULT_TYPE = "self_supporting_regular"
CONE_TYPES = (
    DEFAULT_TYPE,
    "self_supporting_iron_free",
    "large_regular",
    "large_iron_free",
    "small_regular",  # as in a shut-off device
)

EDITION = "2016"
"""Of the maker's chart (S2); an older one gives other temperatures for the same cones."""

MAKERS_TOLERANCE_C = 2.0
"""All cones within ±2 °C of the standard cone: the maker's staff, potters.org/subject63823.htm."""

BENDING_BAND_C = 22.0
"""From the first bend to the end point, usually under 40 °F: the maker's chart (S1)."""

Points = Mapping[float, float]


@cache
def _table() -> Mapping[str, Mapping[str, Points]]:
    """Kind → cone → rate → end point, the slowest rate first."""
    found: dict[str, dict[str, dict[float, float]]] = {}
    with Path(__file__).with_name("cones.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            points = found.setdefault(row["type"], {}).setdefault(row["cone"], {})
            points[float(row["rate_c_per_h"])] = float(row["temp_c"])
    return found


def cones(cone_type: str = DEFAULT_TYPE) -> tuple[str, ...]:
    """Names of the cones of a kind, the coolest first: those of `studio.room.cones` that the table
    has.

    >>> cones()[:2], cones()[-1]
    (('022', '021'), '14')
    """
    table = _of_type(cone_type)
    return tuple(name for name in NAMES if name in table)


def rates_c_per_h(cone: str, cone_type: str = DEFAULT_TYPE) -> tuple[float, ...]:
    """The heating rates that the table has for a cone, the slowest first. KeyError for no cone.

    >>> rates_c_per_h("6")
    (15.0, 60.0, 150.0)
    """
    return tuple(_of_type(cone_type)[cone])


def points_c(cone: str, cone_type: str = DEFAULT_TYPE) -> Points:
    """End point by heating rate, the slowest first. KeyError for no cone.

    >>> points_c("6")[60.0]
    1222.0
    """
    return _of_type(cone_type)[cone]


def end_point_c(cone: str, cone_type: str, rate_c_per_h: float) -> float:
    """Temperature at which a cone is down after heating at this rate over the last 100 °C.

    Beyond the slowest or fastest published rate: the value at that rate. KeyError for no cone.

    >>> round(end_point_c("6", "self_supporting_regular", 100), 1)
    1233.7
    """
    points = list(_of_type(cone_type)[cone].items())
    if rate_c_per_h <= points[0][0]:
        return points[0][1]
    for (slow, low_c), (fast, high_c) in pairwise(points):
        if rate_c_per_h <= fast:
            return low_c + (high_c - low_c) * log(rate_c_per_h / slow) / log(fast / slow)
    return points[-1][1]


def _of_type(cone_type: str) -> Mapping[str, Points]:
    if cone_type not in CONE_TYPES:
        raise KilnRefused([Trouble("cone_type", "unknown_cone_type")])
    return _table()[cone_type]
