"""Forms are drawn with words tied to their fields, and refuse in plain sentences."""

import pytest
from django import forms
from django.template.loader import render_to_string

from studio.web.fields import LengthField


class Brief(forms.Form):
    title = forms.CharField(help_text="The class will see it.")
    height = LengthField(required=False)
    surface = forms.ChoiceField(choices=[("s", "smooth")], widget=forms.RadioSelect)
    uneven = forms.BooleanField(required=False)
    secret = forms.CharField(widget=forms.HiddenInput, required=False)


def test_every_input_has_its_label_help_and_unit() -> None:
    html = str(Brief())
    assert '<label for="id_title">' in html
    assert 'aria-describedby="id_title_helptext"' in html
    assert '<p class="help" id="id_title_helptext">The class will see it.</p>' in html
    assert '<span class="unit">mm</span>' in html
    assert "<legend>Surface</legend>" in html
    assert '<input type="hidden" name="secret"' in html


def test_what_may_stay_empty_says_so() -> None:
    html = str(Brief())
    assert html.count("(may stay empty)") == 1  # the height; a tick needs no such word


def test_an_error_is_tied_to_its_field_and_linked_from_the_top() -> None:
    html = str(Brief({"title": "", "surface": "s"}))
    assert 'aria-invalid="true"' in html
    assert 'aria-describedby="id_title_helptext id_title_error"' in html
    assert (
        '<ul class="errors" id="id_title_error"><li>This can&#x27;t stay empty.</li></ul>' in html
    )
    assert "One thing needs another look" in html
    assert '<a href="#id_title">Title: This can&#x27;t stay empty.</a>' in html


def test_the_summary_reaches_a_group_of_choices() -> None:
    html = str(Brief({"title": "Jar"}))
    assert '<a href="#id_surface">' in html
    assert 'id="id_surface"' in html


def test_a_reason_for_the_whole_form_stands_at_its_top() -> None:
    form = Brief({"title": "Jar", "surface": "s"})
    form.add_error(None, "Somebody changed this brief meanwhile. Reload and look.")
    assert "<li>Somebody changed this brief meanwhile. Reload and look.</li>" in str(form)


def test_several_reasons_are_counted() -> None:
    form = Brief({})
    assert "2 things need another look" in str(form)


def test_what_was_typed_cannot_become_markup() -> None:
    html = str(Brief({"title": "<b>", "height": "<script>", "surface": "<i>"}))
    assert "<b>" not in html
    assert "<script>" not in html
    assert "<i>" not in html


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        (forms.CharField(), "", "This can't stay empty."),
        (forms.IntegerField(), "many", "This is not a whole number. Type digits such as 12."),
        (forms.FloatField(), "much", "This is not a number. Type one such as 12.5."),
        (forms.DateField(), "soon", "This is not a date. Type one such as 2024-03-14."),
        (
            forms.ChoiceField(choices=[("a", "a")]),
            "b",
            "“b” is not on the list. Choose one that is.",
        ),
        (forms.FileField(), None, "No file was chosen. Choose at least one."),
    ],
)
def test_a_plain_field_says_the_way_out(field: forms.Field, typed: object, message: str) -> None:
    with pytest.raises(forms.ValidationError) as refusal:
        field.clean(typed)
    assert refusal.value.messages == [message]


def test_the_page_for_a_broken_service_needs_nothing() -> None:
    html = render_to_string("500.html")
    assert "Something broke here" in html
    assert "what was saved before is still there" in html
