"""How many drawings of a sheet were found, and how many boxes are none."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import linear_sum_assignment

from planning.splitting.run import answer
from tests.planning.exploration.ideas import Array

from .sheets import Sheet

SAME = 0.5
"""Boxes whose common part is half of both together show the same thing (Everingham et al. 2010,
The PASCAL Visual Object Classes challenge, §4.2)."""


@dataclass(frozen=True)
class Split:
    """A sheet taken apart: drawings on it, boxes found, those that fit each other, and whether
    these are in the order of reading."""

    drawings: int
    found: int
    fitting: int
    in_order: bool

    @property
    def exact(self) -> bool:
        return self.drawings == self.found == self.fitting


def boxes_of(told: dict[str, Any]) -> Array:
    boxes = [[each[k] for k in ("x", "y", "width", "height")] for each in told["drawings"]]
    return np.array(boxes, float).reshape(-1, 4)


def overlap(one: Array, other: Array) -> Array:
    """Common part over both together of boxes (n, 4) and (m, 4): (n, m)."""
    ends = [boxes[:, :2] + boxes[:, 2:] for boxes in (one, other)]
    low = np.maximum(one[:, np.newaxis, :2], other[:, :2])
    common = np.clip(np.minimum(ends[0][:, np.newaxis], ends[1]) - low, 0, None).prod(axis=2)
    area = [boxes[:, 2:].prod(axis=1) for boxes in (one, other)]
    return np.asarray(common / (area[0][:, np.newaxis] + area[1] - common))


def split(sheet: Sheet) -> Split:
    found = boxes_of(answer(sheet.picture, 1.0))
    table = overlap(sheet.boxes, found)
    rows, columns = linear_sum_assignment(table >= SAME, maximize=True)
    hit = table[rows, columns] >= SAME
    in_order = bool((np.diff(columns[hit]) > 0).all())
    return Split(len(sheet.boxes), len(found), int(hit.sum()), in_order)


@dataclass(frozen=True)
class Figures:
    """Over many sheets: of the drawings those found, of the boxes those that are drawings, of the
    sheets those exactly right, and of these those in order."""

    sheets: int
    drawings: int
    recall: float
    precision: float
    exact: float
    in_order: float


def figures(splits: Iterable[Split]) -> Figures:
    every = list(splits)
    drawings, found, fitting = (
        sum(getattr(each, name) for each in every) for name in ("drawings", "found", "fitting")
    )
    exact = [each for each in every if each.exact]
    return Figures(
        len(every),
        drawings,
        fitting / drawings,
        fitting / max(1, found),
        len(exact) / len(every),
        sum(each.in_order for each in exact) / max(1, len(exact)),
    )
