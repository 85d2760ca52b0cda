"""A form that is sent twice is done once."""

import pytest
from django.template import Context, Template
from django.test import RequestFactory

from studio.errors import Conflict
from studio.people.idempotency import once_for_form
from studio.people.models import User
from tests.cast import School

pytestmark = pytest.mark.both_databases


def posted(person: User, **values: str) -> dict[str, int]:
    """What a page with a counter answers."""
    request = RequestFactory().post("/somewhere/", values)
    request.user = person
    return once_for_form(request, lambda: {"n": next(NUMBERS)})


NUMBERS = iter(range(1, 1000))


def test_a_second_tap_reads_the_first_answer(cast: School) -> None:
    first = posted(cast.head, once="key-1", grams="500")
    assert posted(cast.head, once="key-1", grams="500") == first


def test_each_person_has_keys_of_their_own(cast: School) -> None:
    first = posted(cast.head, once="key-1", grams="500")
    assert posted(cast.teacher, once="key-1", grams="500") != first


def test_another_form_under_the_same_key_is_a_conflict(cast: School) -> None:
    posted(cast.head, once="key-1", grams="500")
    with pytest.raises(Conflict, match="Go back and open the page again"):
        posted(cast.head, once="key-1", grams="600")


@pytest.mark.parametrize("key", ["", "ü", "k" * 200, "k\x00"])
def test_a_form_without_a_fit_key_is_simply_done(key: str, cast: School) -> None:
    first = posted(cast.head, once=key, grams="500")
    assert posted(cast.head, once=key, grams="500") != first


def test_a_form_that_comes_back_with_an_error_keeps_its_key(cast: School) -> None:
    request = RequestFactory().post("/somewhere/", {"once": "key-1"})
    template = Template("{% load once %}{% once %}")
    assert template.render(Context({"request": request})) == (
        '<input type="hidden" name="once" value="key-1">'
    )


def test_a_fresh_form_has_a_key_of_its_own() -> None:
    template = Template("{% load once %}{% once %}")
    assert template.render(Context({})) != template.render(Context({}))
