"""Pots whose half-widths are known in closed form, and their prints."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

import numpy as np

from planning.geometry.form import Form, form
from planning.geometry.inputs import FootRing, Outline, PlanInputs, Point
from planning.geometry.lines import height_lines
from planning.geometry.plan import Figures, figures
from planning.rows.choices import Choices, Lesson
from planning.rows.rows import RowList, row_list
from planning.sheets.base import base_drawing
from planning.sheets.profiles import Marks, profile_template, whole_plan
from planning.sheets.sides import View
from planning.sheets.tiles import Head, true_size_sheets
from planning.sheets.truesize import TrueSize
from studio.paper.pages import WITH_LARGE_PAGES
from studio.paper.pdf import pdf
from tests.planning.geometry.forms import inputs
from tests.studio.paper.measuring import Print

PAPERS = tuple(WITH_LARGE_PAGES)
FIRST = date(2026, 12, 1)
LESSONS = tuple(Lesson(FIRST + timedelta(days=3 * n), rise_mm=60) for n in range(10))
EVERY_MM = 20.0
HEAD = Head("A drawing", "K7-3F · Ode A. · Period 3", "What to do with it. " * 12)


@dataclass(frozen=True)
class Centimetres:
    length_unit: str = "cm"
    mass_unit: str = "kg"


CM = Centimetres()


@dataclass(frozen=True)
class Pot:
    inputs: PlanInputs
    half_width: Callable[[float], float]
    """Closed form, mm at a height in mm."""
    made: Form
    figures: Figures
    listed: RowList

    @property
    def height(self) -> float:
        return self.inputs.profile[-1].height_mm

    @property
    def marks(self) -> Marks:
        return Marks.of(height_lines(self.made.surface, EVERY_MM), self.listed)


def globe(
    height: float,
    widest: float,
    *,
    outline: str = "round",
    depth: float = 1.0,
    off: float = 0.0,
    ring: bool = False,
    longest_coil_mm: float | None = None,
) -> Pot:
    """An ellipse of revolution cut level at foot and rim, where it is 0.6 as wide; left and right
    stand `off` out and in everywhere."""
    half = height / 2

    def half_width(level: float) -> float:
        return widest / 2 * float(np.sqrt(1 - (0.8 * (level - half) / half) ** 2))

    # By equal turns of the ellipse's angle: points lie close where it bends.
    turns = np.linspace(-np.arcsin(0.8), np.arcsin(0.8), 45)
    levels = (half + half / 0.8 * np.sin(turns)).tolist()
    levels[0], levels[-1] = 0.0, height
    profile = tuple(Point(z, half_width(z) + off, half_width(z) - off) for z in levels)
    given = inputs(
        profile,
        outline=Outline(outline, depth),  # type: ignore[arg-type]
        corner_coil_mm=8,
        foot_ring=FootRing(8, 12) if ring else None,
    )
    made = form(given)
    choices = Choices(14, 1.95, lessons=LESSONS, longest_coil_mm=longest_coil_mm)
    return Pot(given, half_width, made, figures(given, made), row_list(made, choices))


SMALL = globe(180, 120, off=1.5)
BIG = globe(480, 420)
LEAF = globe(220, 180, outline="leaf", depth=0.5, ring=True)
POTS = {"small": SMALL, "big": BIG, "leaf": LEAF}
NARROW = globe(120, 32)


def drawing_of(name: str, kind: str) -> TrueSize:
    """A drawing of a pot of `POTS`: template or whole plan, "-side" for its depth, or base."""
    pot = (POTS | {"narrow": NARROW})[name]
    view: View = "side" if kind.endswith("-side") else "front"
    if kind.startswith("template"):
        return profile_template(pot.made, pot.marks, CM, view=view, name="K7-3F Ode A.")
    if kind.startswith("whole"):
        return whole_plan(pot.made, pot.marks, CM, view=view)
    return base_drawing(
        pot.figures.base_outline,
        pot.inputs.foot_ring,
        CM,
        base_mm=pot.made.base_mm,
        name="K7-3F Ode A.",
    )


KINDS = ("template", "whole", "base")


@cache
def printed(name: str, kind: str, paper: str) -> Print:
    page = WITH_LARGE_PAGES[paper]
    sheets = true_size_sheets(drawing_of(name, kind), HEAD, page)
    return Print(pdf(page, sheets, title="A drawing"))
