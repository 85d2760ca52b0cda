"""The one place where a page turns a refusal into what its form shows."""

from django import forms

from studio.errors import Refused


def show_refusal(form: forms.BaseForm, refusal: Refused) -> None:
    """Each reason at the field that it belongs to, the others above the form."""
    for problem in refusal.problems:
        field = problem.field if problem.field in form.fields else None
        form.add_error(field, problem.message)
