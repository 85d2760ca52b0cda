"""Marking one piece: a level and a note for each criterion, and a comment."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from assessments.models import MarkedLevel, Marking
from assessments.selectors.evidence import Evidence, PieceEvidence, Suggested
from assessments.selectors.marks import MarkingSeen, PieceMarks
from assessments.selectors.rubrics import CriterionSeen, LevelSeen
from studio.web.columns import column, label


@dataclass(frozen=True)
class Option:
    level: LevelSeen
    field_id: str
    checked: bool


@dataclass(frozen=True)
class CriterionRow:
    """What the page shows of a criterion; `kept` is what was kept meanwhile, if that differs.
    `suggested` is only shown: no option is checked for it."""

    criterion: CriterionSeen
    exempt: bool
    evidence: Evidence
    options: list[Option]
    name: str
    open_checked: bool
    errors: list[str]
    note: BoundField | None
    kept: str = ""
    suggested: Suggested | None = None


class MarkingForm(forms.Form):
    """Fields by the rubric's criteria; exempt ones have none."""

    edition = forms.IntegerField(min_value=0, max_value=10**6, widget=forms.HiddenInput)
    beside = forms.CharField(required=False, max_length=4000, widget=forms.HiddenInput)
    comment = forms.CharField(
        label=label(column(Marking, "comment")),
        required=False,
        max_length=column(Marking, "comment").max_length,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(
        self, data: Any, *, marks: PieceMarks, own: MarkingSeen | None, others: str
    ) -> None:
        given = own.given if own else {}
        initial: dict[str, Any] = {
            "edition": own.edition if own else 0,
            "beside": others,
            "comment": own.comment if own else "",
        }
        for each in marks.judged:
            got = given.get(each.pk)
            initial[level_name(each)] = str(got.level.pk) if got and got.level else ""
            initial[note_name(each)] = got.note if got else ""
        super().__init__(data, initial=initial)
        self.marks = marks
        for each in marks.judged:
            self.fields[level_name(each)] = forms.ChoiceField(
                label=each.title,
                required=False,
                choices=[("", _("Not judged yet")), *((str(one.pk), "") for one in each.levels)],
            )
            self.fields[note_name(each)] = forms.CharField(
                label=_("Note to the student about this"),
                required=False,
                max_length=column(MarkedLevel, "note").max_length,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )

    def rows(
        self, evidence: PieceEvidence, kept: MarkingSeen | None = None
    ) -> Iterator[CriterionRow]:
        """In the rubric's order, exempt criteria too; `kept` is shown where it differs."""
        for each in self.marks.criteria:
            exempt = each.pk in self.marks.exempt
            seen = Evidence() if exempt else evidence.beside(each.evidence)
            name = level_name(each)
            if exempt:
                yield CriterionRow(each, True, seen, [], name, False, [], None)
                continue
            chosen = str(self[name].value() or "")
            yield CriterionRow(
                criterion=each,
                exempt=False,
                evidence=seen,
                options=[
                    Option(one, f"{name}-{one.digit}", str(one.pk) == chosen) for one in each.levels
                ],
                name=name,
                open_checked=not chosen,
                errors=[str(error) for error in self[name].errors],
                note=self[note_name(each)],
                kept=_kept(each, chosen, kept),
                suggested=evidence.suggested(each),
            )

    def values(self) -> dict[str, Any]:
        """What `save_marking` is given."""
        cleaned = self.cleaned_data
        levels = {each.pk: cleaned[level_name(each)] for each in self.marks.judged}
        return {
            "levels": {pk: UUID(text) if text else None for pk, text in levels.items()},
            "notes": {each.pk: cleaned[note_name(each)] for each in self.marks.judged},
            "comment": cleaned["comment"],
            "edition": cleaned["edition"],
            "beside": cleaned["beside"],
        }

    def clean_beside(self) -> list[UUID]:
        """Markers whom the page named."""
        try:
            return [UUID(text) for text in self.cleaned_data["beside"].split()]
        except ValueError:
            raise forms.ValidationError(_("Load the page again.")) from None

    def field_of(self, refused: str) -> str | None:
        """The form's field for a refusal about a criterion, named by its id, or about a field."""
        return next((name for name in (f"level-{refused}", refused) if name in self.fields), None)


def level_name(criterion: CriterionSeen) -> str:
    return f"level-{criterion.pk}"


def note_name(criterion: CriterionSeen) -> str:
    return f"note-{criterion.pk}"


def _kept(criterion: CriterionSeen, chosen: str, kept: MarkingSeen | None) -> str:
    """The level that was kept meanwhile, in words; "" where it is what the form says."""
    if kept is None:
        return ""
    given = kept.given.get(criterion.pk)
    level = given.level if given else None
    if (str(level.pk) if level else "") == chosen:
        return ""
    return level.descriptor if level else str(_("Not judged yet"))
