"""Forms with rows of fields: which rows are filled, and a refusal at the row it belongs to."""

from collections.abc import Sequence

from django import forms

from studio.errors import Problem, Refused
from studio.web.refusals import show_refusal


class RowForm(forms.Form):
    """One row. A row in which nothing stands is left out."""

    @property
    def filled(self) -> bool:
        return any(value is not None for value in self.cleaned_data.values())


def filled_rows(rows: Sequence[RowForm]) -> list[RowForm]:
    """Of a formset that is valid."""
    return [row for row in rows if row.filled]


def show_row_refusal(
    form: forms.Form, rows: Sequence[RowForm], prefix: str, refusal: Refused
) -> None:
    """Reasons such as `posts.2.height_mm` at the field of the third filled row; the others at the
    form.
    """
    others: list[Problem] = []
    for problem in refusal.problems:
        first, _dot, rest = problem.field.partition(".")
        place, _dot, name = rest.partition(".")
        if first == prefix and place.isdecimal() and int(place) < len(rows):
            rows[int(place)].add_error(name or None, problem.message)
        else:
            others.append(problem)
    if others:
        show_refusal(form, Refused.all_of(others))
