"""The issue list of a class: one lot, and a row for each student."""

from collections.abc import Collection, Mapping
from typing import Any
from uuid import UUID

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.clay.models import Lot
from studio.clay.selectors.issue_list import IssueLine, IssueList
from studio.clay.services import IssueRow
from studio.errors import Refused
from studio.units.scales import Units
from studio.web.fields import MassField
from studio.web.shown import mass_text

from .fields import AmountForm, LotField, offer_lots, part_field


class _LotForm(forms.Form):
    lot = LotField(label=_("Out of"))

    def __init__(self, *args: Any, lots: QuerySet[Lot], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_lots(self, lots)


# What one pot may have, by its plan's clay, before the page asks: a slipped comma is ten times.
MOST_TIMES_PLANNED = 2


def so_much_question(line: IssueLine, grams: float, units: Units) -> str:
    """What is asked before a pot has more than twice what its plan asks for; "" for less."""
    planned_g, has_g = line.planned_g or 0.0, line.clay.kept_g
    if not planned_g or has_g + grams <= MOST_TIMES_PLANNED * planned_g:
        return ""
    message = gettext(
        "With this the pot has %(mass)s, more than twice what its plan asks, %(planned)s. "
        "Put the weight right, or tick that so much is meant."
    )
    words = {"mass": mass_text(has_g + grams, units), "planned": mass_text(planned_g, units)}
    return message % words


class RowForm(AmountForm):
    """One student's clay. A row that isn't ticked may hold anything."""

    tick = forms.BooleanField(label=_("Issue"), required=False)
    so_much = forms.BooleanField(label=_("So much is meant"), required=False)
    grams = MassField(label=_("Weight"), required=False)
    part = part_field()

    def __init__(self, *args: Any, line: IssueLine, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.line = line
        self.taken_from: Lot | None = None

    def _lot(self) -> Lot | None:
        return self.taken_from

    def clean(self) -> dict[str, Any]:
        if not self.cleaned_data.get("tick"):
            self.errors.clear()
            return self.cleaned_data
        cleaned = super().clean()
        self._ask_about(cleaned.get("grams") or 0.0)
        return cleaned

    def _ask_about(self, grams: float) -> None:
        question = so_much_question(self.line, grams, self.units)
        if question and not self.cleaned_data.get("so_much"):
            self.add_error("so_much", question)

    @property
    def is_open(self) -> bool:
        """Whether its fields are shown: where clay can be issued, or where somebody tried to."""
        return not self.line.hindrance or bool(self["tick"].value())


class IssueListForm:
    """All of it. `data` is None before it is sent; `ticked` are the pieces ticked to begin with."""

    def __init__(
        self,
        listed: IssueList,
        *,
        lots: QuerySet[Lot],
        units: Units,
        data: Mapping[str, Any] | None,
        ticked: Collection[UUID] = (),
    ) -> None:
        self.lot = _LotForm(data, lots=lots)
        self.rows = [
            RowForm(
                data,
                prefix=f"row-{line.piece.pk.hex}",
                initial={
                    "tick": line.piece.pk in ticked,
                    "grams": line.remaining_g or None,
                    "part": "",
                },
                line=line,
                units=units,
            )
            for line in listed.lines
        ]

    def is_valid(self) -> bool:
        lot_is_valid = self.lot.is_valid()
        for row in self.rows:
            row.taken_from = self.lot.cleaned_data.get("lot") if lot_is_valid else None
        return all([lot_is_valid, *(row.is_valid() for row in self.rows)])

    @property
    def _ticked(self) -> list[RowForm]:
        return [row for row in self.rows if row.cleaned_data.get("tick")]

    def chosen(self) -> list[IssueRow]:
        """What the service is asked for; the form is valid."""
        lot = self.lot.cleaned_data["lot"]
        return [
            IssueRow(piece=row.line.piece, lot=lot, grams=row.cleaned_data["grams"])
            for row in self._ticked
        ]

    def show(self, refusal: Refused) -> None:
        """Each reason at its row, the others at the lot."""
        ticked = self._ticked
        for problem in refusal.problems:
            _rows, _dot, rest = problem.field.partition(".")
            number, _dot, name = rest.partition(".")
            if number.isdecimal():
                field = "grams" if name == "grams" else None
                ticked[int(number)].add_error(field, problem.message)
            else:
                self.lot.add_error(None, problem.message)

    @property
    def problems(self) -> int:
        """How many rows need another look."""
        return sum(1 for row in self.rows if row.is_bound and row.errors)
