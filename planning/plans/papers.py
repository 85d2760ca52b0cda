"""A plan on paper: what is drawn and said on each of its prints."""

from dataclasses import dataclass, replace
from functools import cached_property

from django.db import models
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.geometry.asymmetry import asymmetry
from planning.geometry.foot import base_outline
from planning.geometry.form import Form, form
from planning.geometry.inputs import PlanInputs
from planning.geometry.lines import height_lines
from planning.geometry.plan import figures
from planning.models import PlanState, PlanVersion
from planning.rows.choices import Lesson
from planning.rows.rows import RowList, row_list
from planning.sheets.base import base_drawing
from planning.sheets.bench_card import BenchPaper, bench_card_sheets
from planning.sheets.profiles import Marks, profile_template, whole_plan
from planning.sheets.sides import View
from planning.sheets.tiles import Head, tiling_of, true_size_sheets
from planning.sheets.truesize import TrueSize
from studio.errors import Refused
from studio.paper.pages import Page, Sheet
from studio.people.models import Studio
from studio.web.shown import length_text, short_day_text

from .building import choices_of
from .foot_ring import ring_of
from .inputs import drawn_from_json, kept_inputs, usual_spacing_mm
from .wording import kept_sentence, refused_in, said_sentence

_SAID_FROM_MM = 1.0  # less is a pencil's width


class Paper(models.TextChoices):
    TEMPLATE = "template", gettext_lazy("Profile template")
    WHOLE = "whole", gettext_lazy("Whole plan")
    BASE = "base", gettext_lazy("Base outline")
    BENCH = "bench", gettext_lazy("Bench card")


# Of which the drawings are as large as the pot.
TRUE_SIZE = (Paper.TEMPLATE, Paper.WHOLE, Paper.BASE)


@dataclass(frozen=True)
class PlanPaper:
    """A plan computed for printing. Made by `plan_paper`.

    `onward` is the form that a pot carries on with above row `from_row`, whose rows `listed` has.
    """

    plan: PlanVersion
    inputs: PlanInputs
    made: Form
    listed: RowList
    address: str
    footer: str
    onward: Form | None = None
    from_row: int = 0

    def sheets(self, paper: Paper, page: Page) -> list[Sheet]:
        if paper == Paper.BENCH:
            return bench_card_sheets(self._bench(), page, self._studio)
        return [
            sheet
            for drawing, head in self._drawings(paper)
            for sheet in true_size_sheets(drawing, head, page)
        ]

    def count(self, paper: Paper, page: Page) -> int:
        """How many pages it takes."""
        if paper == Paper.BENCH:
            return len(self.sheets(paper, page))
        drawings = self._drawings(paper)
        return sum(len(tiling_of(drawing, head, page).windows) for drawing, head in drawings)

    @property
    def state(self) -> str:
        number = self.plan.number
        if self.plan.state == PlanState.APPROVED and self.plan.decided_at is not None:
            on = timezone.localdate(self.plan.decided_at)
            return _("plan %(number)s, approved %(day)s") % {
                "number": number,
                "day": short_day_text(on),
            }
        if self.plan.state == PlanState.SENT:
            return _("plan %(number)s, not approved yet") % {"number": number}
        return _("plan %(number)s, a draft") % {"number": number}

    @property
    def _studio(self) -> Studio:
        return self.plan.piece.studio

    @cached_property
    def _marks(self) -> Marks:
        every_mm = usual_spacing_mm(self._studio)
        marks = Marks.of(height_lines(self._outside.surface, every_mm), self.listed)
        # What is laid stands as it stands: it has left the side that is drawn.
        return replace(marks, rows=[row for row in marks.rows if row.row > self.from_row])

    @property
    def _outside(self) -> Form:
        return self.onward or self.made

    @property
    def _whose(self) -> str:
        piece = self.plan.piece
        return f"{piece.student.short_name} · {piece.assignment.section.title}"

    def _drawings(self, paper: Paper) -> list[tuple[TrueSize, Head]]:
        if paper == Paper.BASE:
            return [(self._base(), self._head(_("Base outline"), self._base_how()))]
        views: tuple[View, ...] = ("front",) if self.made.surface.is_round else ("front", "side")
        return [
            (self._side(paper, view), self._head(self._title(paper, view), _how(self, paper)))
            for view in views
        ]

    def _side(self, paper: Paper, view: View) -> TrueSize:
        if paper == Paper.WHOLE:
            return whole_plan(self._outside, self._marks, self._studio, view=view)
        piece = self.plan.piece
        name = f"{piece.code} {piece.student.short_name}"
        return profile_template(self._outside, self._marks, self._studio, view=view, name=name)

    def _base(self) -> TrueSize:
        piece = self.plan.piece
        return base_drawing(
            base_outline(self.made.surface),
            self.inputs.foot_ring,
            self._studio,
            base_mm=self.made.base_mm,
            name=f"{piece.code} {piece.student.short_name}",
        )

    def _title(self, paper: Paper, view: View) -> str:
        if self.made.surface.is_round:
            return str(paper.label)
        if paper == Paper.TEMPLATE:
            return {
                "front": _("Profile template, for left and right"),
                "side": _("Profile template, for front and back"),
            }[view]
        return {
            "front": _("Whole plan, from the front"),
            "side": _("Whole plan, from the side"),
        }[view]

    def _head(self, title: str, how: str) -> Head:
        whose = f"{self.plan.piece.code} · {self._whose}"
        return Head(title=title, whose=whose, how=f"{capfirst(self.state)}. {how}")

    def _base_how(self) -> str:
        how = _(
            "Roll the slab, lay this on it with this side up, prick or cut along the heavy line. "
            "Before you turn the slab back, scratch %(code)s, your initials and your class into "
            "its underside. The black arrow is the front: seams are counted from it like the hours "
            "of a clock."
        )
        return how % {"code": self.plan.piece.code}

    def _bench(self) -> BenchPaper:
        piece, terms = self.plan.piece, self.plan.piece.assignment
        ring = ring_of(self.inputs.foot_ring, self._studio)
        computed = figures(self.inputs, self.made)
        kept = (self.plan.figures or {}).get("building", ())
        notes = [kept_sentence(each, self._studio) for each in kept]
        known = {each["code"] for each in kept}
        notes += [
            said_sentence(each, self._studio)
            for each in self.listed.checks
            if each.code not in known
        ]
        return BenchPaper(
            code=piece.code,
            whose=self._whose,
            state=self.state,
            footer=self.footer,
            address=self.address,
            listed=self.listed,
            outline=computed.base_outline,
            round=self.made.surface.is_round,
            base_mm=self.made.base_mm,
            corner_coil_mm=self.inputs.corner_coil_mm,
            pot_wet_g=computed.clay.pot_wet_g,
            issue_g=computed.clay.issue_g,
            tolerance=(float(terms.tolerance_mm), float(terms.tolerance_pct)),
            notes=notes,
            ring=(f"{ring.making} {ring.counting}",) if ring else (),
        )


def plan_paper(
    plan: PlanVersion, *, lessons: tuple[Lesson, ...], address: str, footer: str
) -> PlanPaper:
    """A plan with its rows laid over `lessons`; `address` is what its code to scan opens.

    Raises `Refused` where a draft can't be computed yet.
    """
    studio, terms = plan.piece.studio, plan.piece.assignment
    if drawn_from_json(plan.inputs).gaps:
        raise Refused(_("Measure left and right on every height line first, then print."))
    inputs = kept_inputs(plan.inputs, terms)
    with refused_in(studio):
        made = form(inputs)
        listed = row_list(made, choices_of(terms, inputs.body.wet_density_g_per_cm3, lessons))
    return PlanPaper(plan, inputs, made, listed, address, footer)


def _how(paper: PlanPaper, kind: Paper) -> str:
    if kind == Paper.WHOLE:
        return _(
            "The pot as large as it is built. Level lines carry their height at both ends and the "
            "half-widths beside the axis; a tick on the side is the top of a row, a date says how "
            "far the wall stands by the end of that lesson."
        )
    said = _(
        "Glue this on card and cut along the heavy line. Stand the outer piece on the table, hold "
        "it to the pot: its edge is the outside of the fresh wall, a tick the top of a row, a date "
        "how far the wall stands by the end of that lesson. Rows that have stiffened may stand a "
        "little inside: leave them, they shrank."
    )
    if paper.onward is not None:
        onward = _("This pot carries on from row %(row)s; above it the outline is the agreed one.")
        said += " " + onward % {"row": paper.from_row}
    uneven = asymmetry(paper.inputs.profile).largest_mm
    if uneven >= _SAID_FROM_MM:
        mean = _("Left and right of the drawing differ by up to %(length)s; this is their mean.")
        said += " " + mean % {"length": length_text(uneven, paper.plan.piece.studio)}
    return said
