"""The studio's own list of what ideas grow from."""

import pytest
from django.core.exceptions import PermissionDenied

from planning.models import SourceForm
from planning.services.source_forms import (
    SHIPPED,
    add_source_form,
    ensure_source_forms,
    offer_source_form,
    rename_source_form,
    retire_source_form,
)
from studio.errors import Refused
from studio.people.models import AuditEntry
from tests.cast import School

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_a_studio_without_a_list_gets_the_shipped_one_once(cast: School) -> None:
    for _again in range(2):
        ensure_source_forms(studio=cast.studio)
    assert set(SourceForm.objects.values_list("name", flat=True)) == set(SHIPPED)
    assert SourceForm.objects.count() == 10


def test_a_studio_with_its_own_list_keeps_it(cast: School) -> None:
    add_source_form(studio=cast.studio, by=cast.teacher, name="driftwood")
    ensure_source_forms(studio=cast.studio)
    assert [form.name for form in SourceForm.objects.all()] == ["driftwood"]


def test_another_studio_may_have_the_same_words(cast: School) -> None:
    add_source_form(studio=cast.studio, by=cast.teacher, name="shell")
    add_source_form(studio=cast.elsewhere.studio, by=cast.elsewhere.teacher, name="shell")
    assert SourceForm.objects.visible_to(cast.student).count() == 1


def test_a_form_is_renamed_and_the_line_keeps_the_old_word(cast: School) -> None:
    form = add_source_form(studio=cast.studio, by=cast.teacher, name="sea  shell\0")
    assert form.name == "sea shell"
    rename_source_form(source_form=form, by=cast.head, name="Sea shell")
    entry = AuditEntry.objects.get(action="source form renamed")
    assert (entry.before, entry.after) == ({"name": "sea shell"}, {"name": "Sea shell"})


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("BUD", "“bud” is on the list already"),
        (" \0 ", "cannot be blank"),
        ("x" * 61, "at most 60"),
    ],
)
def test_a_word_twice_or_none_is_refused(cast: School, name: str, says: str) -> None:
    ensure_source_forms(studio=cast.studio)
    with pytest.raises(Refused, match=says) as refused:
        add_source_form(studio=cast.studio, by=cast.teacher, name=name)
    assert refused.value.problems[0].field == "name"
    stone = SourceForm.objects.get(name="stone")
    with pytest.raises(Refused, match=says):
        rename_source_form(source_form=stone, by=cast.teacher, name=name)


def test_a_retired_form_is_offered_again(cast: School) -> None:
    ensure_source_forms(studio=cast.studio)
    form = retire_source_form(source_form=SourceForm.objects.get(name="bud"), by=cast.teacher)
    assert form not in SourceForm.objects.offered()
    with pytest.raises(Refused, match="Offer it again there"):
        add_source_form(studio=cast.studio, by=cast.teacher, name="bud")
    assert offer_source_form(source_form=form, by=cast.teacher) in SourceForm.objects.offered()


def test_the_last_form_stays(cast: School) -> None:
    only = add_source_form(studio=cast.studio, by=cast.teacher, name="driftwood")
    with pytest.raises(Refused, match="One source form has to stay"):
        retire_source_form(source_form=only, by=cast.teacher)


@pytest.mark.parametrize("who", ["technician", "student", "nobody"])
def test_others_leave_the_list_alone(cast: School, who: str) -> None:
    form = add_source_form(studio=cast.studio, by=cast.teacher, name="driftwood")
    by = getattr(cast, who)
    with pytest.raises(PermissionDenied):
        add_source_form(studio=cast.studio, by=by, name="root")
    with pytest.raises(PermissionDenied):
        rename_source_form(source_form=form, by=by, name="root")
    with pytest.raises(PermissionDenied):
        retire_source_form(source_form=form, by=cast.elsewhere.head)
