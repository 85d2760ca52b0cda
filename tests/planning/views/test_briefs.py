"""The pages of briefs, as a teacher's browser uses them, without JavaScript."""

from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.models import Assignment, Brief, Piece, SourceForm
from planning.services.briefs import put_away_brief
from studio.people.models import User
from studio.people.services import set_settings
from studio.room.services import retire_body
from tests.cast import School, a_class, signed_in, today_there
from tests.markup import forms_in
from tests.planning.projects import TERMS, a_body, a_brief, given

pytestmark = pytest.mark.django_db


def shown(client: Client, path: str, data: dict[str, Any] | None = None) -> str:
    """The page's text, after a POST where there is data; redirects are followed."""
    answer = client.get(path) if data is None else client.post(path, data, follow=True)
    assert answer.status_code == 200, answer.status_code
    return " ".join(unescape(answer.content.decode()).replace("\xa0", " ").split())


def filled(client: Client, path: str) -> dict[str, Any]:
    """What the page's longest form sends untouched."""
    forms = forms_in(client.get(path).content.decode())
    return dict(max(forms, key=lambda form: len(form.controls)).filled())


def typed(by: User, **changed: Any) -> dict[str, Any]:
    """A brief as it is typed in centimetres."""
    body = a_body(by)
    values: dict[str, Any] = {
        name: value / 10 if value and name.endswith("_mm") else value
        for name, value in TERMS.items()
        if value is not None
    }
    return values | {
        "title": "Something that grew",
        "clay_body": body.pk,
        "least_distinct_ideas": "",
        **changed,
    }


class TestTheList:
    def test_it_says_what_to_do_while_it_is_empty(self, cast: School) -> None:
        page = shown(signed_in(cast.teacher), reverse("briefs"))
        assert "No brief yet" in page

    def test_it_shows_the_person_s_own_classes_only(self, cast: School) -> None:
        given(cast.head, cast.section, cast.other_section)
        page = shown(signed_in(cast.teacher), reverse("briefs"))
        assert "Period 3" in page
        assert "Period 5" not in page

    def test_what_is_put_away_is_taken_out_from_below(self, cast: School) -> None:
        brief = put_away_brief(brief=a_brief(cast.teacher), by=cast.teacher)
        client = signed_in(cast.teacher)
        assert "Put away" in shown(client, reverse("briefs"))
        shown(client, reverse("brief_take_out", args=[brief.pk]), {})
        brief.refresh_from_db()
        assert not brief.archived

    def test_its_number_of_queries_does_not_depend_on_the_briefs(self, cast: School) -> None:
        client, counts = signed_in(cast.head), []
        for n in (1, 12):
            for place in range(n):
                section = a_class(cast.head, f"Group {n} {place}", "G", cast.teacher, {1})
                given(cast.head, section, brief=a_brief(cast.head, f"Brief {n} {place}"))
            with CaptureQueriesContext(connection) as queries:
                shown(client, reverse("briefs"))
            counts.append(len(queries))
        assert counts[0] == counts[1] <= 15


class TestWritingOne:
    def test_without_clay_the_way_to_it_is_shown(self, cast: School) -> None:
        page = shown(signed_in(cast.teacher), reverse("brief_new"))
        assert "First a clay body" in page
        assert reverse("body_new") in page

    def test_lengths_are_read_in_the_studio_s_unit(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        page = shown(client, reverse("brief_new"), typed(cast.teacher))
        brief = Brief.objects.get()
        assert {name: getattr(brief, name) for name in TERMS} == TERMS
        assert "15.0 cm to 34.0 cm" in page
        assert "wall 0.8 cm from coils of 1.4 cm, base 1.0 cm" in page

    def test_a_form_sent_back_untouched_changes_nothing(self, cast: School) -> None:
        set_settings(
            studio=cast.studio,
            by=cast.head,
            name=cast.studio.name,
            time_zone=cast.studio.time_zone,
            length_unit="in",
            mass_unit="lb",
            paper="letter",
            retention_years=5,
        )
        brief = a_brief(cast.teacher, wall_mm=7.9, max_fired_width_mm=301.3)
        before = Brief.objects.filter(pk=brief.pk).values().get()
        client = signed_in(cast.teacher)
        path = reverse("brief_edit", args=[brief.pk])
        page = shown(client, path, filled(client, path))
        assert Brief.objects.filter(pk=brief.pk).values().get() == before
        assert "Kept." in page

    @pytest.mark.parametrize(
        ("changed", "says"),
        [
            ({"max_fired_height_mm": "14"}, "The most fired height is below the least"),
            ({"wall_mm": "0.1 mm"}, "Type at least 0.2 cm"),
            ({"wall_mm": "eight"}, "“eight” can't be read as a measure"),
            ({"least_thumbnails": "9" * 4000}, "less than or equal to 50"),
            ({"least_thumbnails": "-1"}, "greater than or equal to 0"),
            ({"clay_body": "not-a-uuid"}, "not a valid UUID"),
            ({"clay_body": "00000000-0000-0000-0000-000000000000"}, "not on the list"),
            ({"title": "a\0b"}, "Null characters are not allowed"),
            ({"what_to_make": ""}, "This can't stay empty"),
            ({"working_allowance_pct": "NaN"}, "This is not a number"),
            ({"working_allowance_pct": "1e999"}, "less than or equal to 100"),
        ],
    )
    def test_what_is_refused_stands_at_its_field(
        self, cast: School, changed: dict[str, Any], says: str
    ) -> None:
        page = shown(signed_in(cast.teacher), reverse("brief_new"), typed(cast.teacher, **changed))
        assert says in page
        assert f'href="#id_{next(iter(changed))}"' in page
        assert not Brief.objects.exists()

    def test_a_coil_thinner_than_the_wall_is_advised_against_not_refused(
        self, cast: School
    ) -> None:
        page = shown(
            signed_in(cast.teacher), reverse("brief_new"), typed(cast.teacher, coil_mm="7 mm")
        )
        assert "The coil is thinner than the wall" in page
        assert Brief.objects.get().coil_mm == 7

    def test_the_page_of_one_that_was_given_says_that_classes_keep_theirs(
        self, cast: School
    ) -> None:
        [assignment] = given(cast.teacher, cast.section)
        client = signed_in(cast.teacher)
        page = shown(client, reverse("brief_edit", args=[assignment.brief_id]))
        assert "keep the terms they were given" in page

    def test_a_copy_opens_for_changes(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        client = signed_in(cast.teacher)
        page = shown(client, reverse("brief_copy", args=[brief.pk]), {"title": "Autumn"})
        assert "This is the copy" in page
        assert Brief.objects.filter(title="Autumn", by=cast.teacher).exists()

    def test_clay_that_is_no_longer_used_is_said_and_holds_the_brief_back(
        self, cast: School
    ) -> None:
        brief = a_brief(cast.teacher)
        retire_body(body=brief.clay_body, by=cast.teacher)
        page = shown(signed_in(cast.teacher), reverse("brief", args=[brief.pk]))
        assert "Grogged stoneware is no longer used" in page
        assert reverse("give_brief", args=[brief.pk]) not in page


class TestGivingIt:
    def test_two_classes_at_once(self, cast: School) -> None:
        today = today_there()
        brief = a_brief(cast.head)
        data = {
            "sections": [cast.section.pk, cast.other_section.pk],
            "given_on": today,
            "due_on": today + timedelta(60),
        }
        page = shown(signed_in(cast.head), reverse("give_brief", args=[brief.pk]), data)
        assert "2 classes have it" in page
        assert Piece.objects.count() == 3

    @pytest.mark.parametrize(
        ("changed", "says"),
        [
            ({"sections": []}, "Choose at least one class"),
            ({"sections": ["x\0"]}, "Null characters"),
            ({"due_on": "0001-01-01"}, "years away"),
            ({"due_on": "9999-12-31"}, "years away"),
            ({"due_on": "2026-02-30"}, "This is not a date"),
            ({"given_on": ""}, "This can't stay empty"),
        ],
    )
    def test_what_is_refused_stands_at_its_field(
        self, cast: School, changed: dict[str, Any], says: str
    ) -> None:
        brief, today = a_brief(cast.teacher), today_there()
        data = {"sections": [cast.section.pk], "given_on": today, "due_on": today + timedelta(60)}
        path = reverse("give_brief", args=[brief.pk])
        assert says in shown(signed_in(cast.teacher), path, data | changed)
        assert not Assignment.objects.exists()

    def test_other_people_s_classes_are_not_offered(self, cast: School) -> None:
        brief, today = a_brief(cast.teacher), today_there()
        path = reverse("give_brief", args=[brief.pk])
        client = signed_in(cast.teacher)
        assert "Period 5" not in shown(client, path)
        data = {
            "sections": [cast.other_section.pk],
            "given_on": today,
            "due_on": today + timedelta(60),
        }
        assert "is not on the list" in shown(client, path, data)

    def test_nothing_left_to_give_it_to_is_said(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        page = shown(signed_in(cast.teacher), reverse("give_brief", args=[assignment.brief_id]))
        assert "No class to give it to" in page


class TestSourceForms:
    def test_a_studio_s_first_look_makes_the_list(self, cast: School) -> None:
        page = shown(signed_in(cast.teacher), reverse("source_forms"))
        assert "seed pod" in page
        assert SourceForm.objects.filter(studio=cast.studio).count() == 10

    def test_one_is_added_renamed_and_retired(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        shown(client, reverse("source_forms"), {"name": "driftwood"})
        form = SourceForm.objects.get(name="driftwood")
        shown(client, reverse("source_form_edit", args=[form.pk]), {"name": "root"})
        page = shown(client, reverse("source_form_retire", args=[form.pk]), {})
        assert "root" in page
        assert "No longer offered" in page
        assert "“ROOT”" not in page
        page = shown(client, reverse("source_forms"), {"name": "ROOT"})
        assert "“root” is on the list already, below. Offer it again there." in page
        shown(client, reverse("source_form_offer", args=[form.pk]), {})
        form.refresh_from_db()
        assert not form.retired
