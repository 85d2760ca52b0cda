"""The demo's school as it stands in `fixtures/`: TOML and CSV in, plain records out.

Days are counted from the day of loading. No Django here.
"""

import csv
import tomllib
from dataclasses import dataclass, field, fields
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from studio.demo.forms import Form, form_from_plan, forms_from

FIXTURES = Path(__file__).parents[2] / "fixtures"
PIECES = ("first_pieces.toml", "pieces.toml")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
STATES = (
    "nothing", "drawing", "chosen", "refining", "draft", "sent", "sent back", "sent again",
    "approved",
)  # fmt: skip


@dataclass(frozen=True)
class Profile:
    """A measured plan; `levels` are [height, left, right] in mm, as built, foot to rim. Outlines
    and foot ring are written as the API takes them."""

    name: str
    form: str
    wall_mm: float
    base_mm: float
    levels: list[list[float]]
    outline: dict[str, Any] = field(default_factory=lambda: {"shape": "round"})
    rim_outline: dict[str, Any] | None = None
    foot_ring: dict[str, float] | None = None
    added_g: float = 0.0
    uneven_on_purpose: bool = False

    def drawn(self, forms: dict[str, Form]) -> Form:
        """The plan as a pot form, dressed as the idea behind it."""
        return form_from_plan(self.name, np.array(self.levels, float), like=forms[self.form])


@dataclass(frozen=True)
class Piece:
    """How far one student has come in one project; numbers of thumbnails count from 1."""

    student: str
    state: str
    thumbnails: list[str] = field(default_factory=list)
    notes: dict[str, str] = field(default_factory=dict)
    withdrawn: list[int] = field(default_factory=list)
    chosen: int | None = None
    reason: str = ""
    let_through: str = ""
    refinements: int = 0
    first_plan: str = ""
    plan: str = ""
    sent_back: str = ""
    missed: int = 0
    own_counts: dict[str, int] = field(default_factory=dict)
    late_choice: int = 0
    private_reason: str = ""
    brief: str = ""

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"{self.student}: no such state as {self.state!r}")
        if self.chosen is not None and not 1 <= self.chosen <= len(self.thumbnails):
            raise ValueError(f"{self.student}: there is no drawing {self.chosen}")

    @property
    def key(self) -> str:
        """Tells the pieces apart, over both projects of a student."""
        return f"{self.student}/{self.brief}"

    @property
    def favourite(self) -> str:
        """The pot idea that was chosen; empty before the choice."""
        return self.thumbnails[self.chosen - 1] if self.chosen else ""


@dataclass(frozen=True)
class Course:
    """When a class did what with a project, in days from loading; `bisque` and `glaze` name
    firings. A step that has no day yet is 0.
    """

    brief: str
    section: str
    issued: int
    leather_hard: int = 0
    built: int = 0
    air_dry: int = 0
    bisque: str = ""
    glazed: int = 0
    glaze: str = ""
    shown: int = 0
    collected: int = 0


@dataclass(frozen=True)
class PotFate:
    """How far one pot has come and what happened to it; see `fixtures/pots.toml`."""

    student: str
    brief: str
    stage: str
    place: str = ""
    said_built: bool = False
    flaw: str = ""
    flaw_mended: str = ""
    flaw_cause: str = ""
    lost: str = ""
    cause: str = ""
    lost_note: str = ""
    again: str = ""
    glaze: str = ""
    rows: int = 0
    after_three: float | None = None
    checks: list[list[tuple[int, float, str]]] = field(default_factory=list)
    carry_on: str = ""
    carry_on_note: str = ""

    @property
    def key(self) -> str:
        """That of its piece."""
        return f"{self.student}/{self.brief}"


@dataclass(frozen=True)
class Marks:
    """A teacher's levels for one piece, best 4, 0 open, in the order of the shipped rubric."""

    student: str
    brief: str
    levels: list[int]
    comment: str = ""

    @property
    def key(self) -> str:
        """That of its piece."""
        return f"{self.student}/{self.brief}"


@dataclass(frozen=True)
class Material:
    """Everything that the loader feeds through the services."""

    folder: Path = FIXTURES

    @cached_property
    def school(self) -> dict[str, Any]:
        return self._toml("studio.toml")

    @cached_property
    def staff(self) -> list[dict[str, str]]:
        with (self.folder / "staff.csv").open(encoding="utf-8", newline="") as rows:
            return list(csv.DictReader(rows))

    @cached_property
    def roster(self) -> bytes:
        return (self.folder / "roster.csv").read_bytes()

    @cached_property
    def students(self) -> list[dict[str, str]]:
        return list(csv.DictReader(self.roster.decode("utf-8").splitlines()))

    @cached_property
    def classes(self) -> list[dict[str, Any]]:
        return list(self._toml("classes.toml")["classes"])

    @cached_property
    def briefs(self) -> list[dict[str, Any]]:
        return list(self._toml("briefs.toml")["briefs"])

    @cached_property
    def test_bars(self) -> list[dict[str, Any]]:
        return list(self._toml("test_bars.toml")["logs"])

    @cached_property
    def forms(self) -> dict[str, Form]:
        return forms_from(self.folder / "forms.toml")

    @cached_property
    def profiles(self) -> dict[str, Profile]:
        rows = self._toml("profiles.toml")["profiles"]
        return {row["name"]: Profile(**row) for row in rows}

    @cached_property
    def pieces(self) -> list[Piece]:
        """Those of the first project, then those of the project under way."""
        known = {each.name for each in fields(Piece)}
        newest = {each["class"]: row["title"] for row in self.briefs for each in row["given"]}
        class_of = {row["student_id"]: row["class_id"] for row in self.students}
        rows = [row for name in PIECES for row in self._toml(name)["pieces"]]
        for row in rows:
            if unknown := set(row) - known:
                raise ValueError(f"{row.get('student')}: not understood: {sorted(unknown)}")
            row.setdefault("brief", newest.get(class_of.get(row["student"], ""), ""))
        return [Piece(**row) for row in rows]

    @cached_property
    def places(self) -> list[dict[str, str]]:
        return list(self._toml("pots.toml")["places"])

    @cached_property
    def courses(self) -> list[Course]:
        rows = self._toml("pots.toml")["courses"]
        return [Course(section=row.pop("class"), **row) for row in rows]

    @cached_property
    def pots(self) -> list[PotFate]:
        return [PotFate(**row) for row in self._toml("pots.toml")["pots"]]

    @cached_property
    def kilns(self) -> dict[str, Any]:
        """Kilns, glazes, firings and what came to the clay room."""
        return self._toml("kilns.toml")

    @cached_property
    def marks(self) -> list[Marks]:
        return [Marks(**row) for row in self._toml("marks.toml")["marks"]]

    @cached_property
    def released(self) -> list[str]:
        """The classes that have their marks back."""
        return list(self._toml("marks.toml")["released"])

    def _toml(self, name: str) -> dict[str, Any]:
        return tomllib.loads((self.folder / name).read_text(encoding="utf-8"))
