"""Releasing a class's marks, and marking a piece again."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from assessments.models import Result
from assessments.selectors.marks import PieceMarks
from assessments.selectors.wording import score_text
from planning.models import Piece
from studio.people.models import User
from studio.web.columns import column, label


@dataclass(frozen=True)
class ReleaseRow:
    """One piece: `open` says that it has no total; `choice` is there where marks differ."""

    marks: PieceMarks
    score: str
    open: bool
    ticked: bool
    choice: BoundField | None


class ReleaseForm(forms.Form):
    """Ticks for the pieces that can be released, and whose marks count where two differ."""

    pieces = forms.MultipleChoiceField(required=False, widget=forms.CheckboxSelectMultiple)
    with_open = forms.BooleanField(
        label=_("Also those with open criteria: they read “not judged yet” and have no total"),
        required=False,
    )

    def __init__(self, data: Any, *, rows: Sequence[PieceMarks], person: User) -> None:
        super().__init__(data)
        self.person = person
        self.ready = [each for each in rows if each.result is None and each.begun]
        # Those that were released meanwhile are taken too: a second tap, or the sentence why not.
        self.begun = [each for each in rows if each.begun]
        pieces = self.fields["pieces"]
        if isinstance(pieces, forms.MultipleChoiceField):
            pieces.choices = [(str(each.piece.pk), each.piece.code) for each in self.begun]
        for each in self.ready:
            if each.to_release(person) is None:
                self.fields[_choice_name(each)] = forms.ChoiceField(
                    label=_("Whose marks count"),
                    required=False,
                    choices=[("", _("Choose one")), *_markings(each)],
                )

    def rows(self) -> Iterator[ReleaseRow]:
        """Those that are released already are left out."""
        ticked = set(self["pieces"].value() or []) if self.is_bound else None
        for each in self.ready:
            marking = each.to_release(self.person)
            found = each.score_of(marking)
            complete = marking is not None and not found.open
            name = _choice_name(each)
            yield ReleaseRow(
                marks=each,
                score=score_text(found) if marking else str(_("marked in two ways")),
                open=not complete,
                ticked=complete if ticked is None else str(each.piece.pk) in ticked,
                choice=self[name] if name in self.fields else None,
            )

    def chosen_pieces(self) -> list[Piece]:
        wanted = set(self.cleaned_data["pieces"])
        return [each.piece for each in self.begun if str(each.piece.pk) in wanted]

    def chosen_markings(self) -> dict[UUID, UUID]:
        return {
            each.piece.pk: UUID(text)
            for each in self.ready
            if (text := self.cleaned_data.get(_choice_name(each)))
        }


class ReleaseAgainForm(forms.Form):
    number = forms.IntegerField(min_value=1, max_value=10**4, widget=forms.HiddenInput)
    reason = forms.CharField(
        label=label(column(Result, "reason")),
        max_length=column(Result, "reason").max_length,
        help_text=_("The student reads it with the new result. The earlier one stays on record."),
    )
    marking = forms.ChoiceField(label=_("Whose marks count"), required=False)
    with_open = forms.BooleanField(label=_("Open criteria may stay open"), required=False)

    def __init__(self, data: Any, *, marks: PieceMarks, person: User, number: int) -> None:
        super().__init__(data, initial={"number": number})
        if marks.to_release(person) is None:
            marking = self.fields["marking"]
            if isinstance(marking, forms.ChoiceField):
                marking.choices = [("", _("Choose one")), *_markings(marks)]
        else:
            del self.fields["marking"]

    def values(self) -> dict[str, Any]:
        cleaned = self.cleaned_data
        chosen = cleaned.get("marking")
        return {
            "number": cleaned["number"],
            "reason": cleaned["reason"],
            "with_open": cleaned["with_open"],
            "chosen": UUID(chosen) if chosen else None,
        }


def _choice_name(marks: PieceMarks) -> str:
    return f"marking-{marks.piece.pk}"


def _markings(marks: PieceMarks) -> list[tuple[str, str]]:
    return [
        (str(each.pk), f"{each.marker_name}: {score_text(marks.score_of(each))}")
        for each in marks.begun
    ]
