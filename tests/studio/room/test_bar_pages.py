"""The pages of test bars and their API, as a browser and a program use them."""

import json
import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.room.models import ClayBody, ShrinkageBar
from tests.cast import School, signed_in, today_there
from tests.planning.projects import a_body

from .bars import FIVE, WEIGHED, logged
from .test_pages import shown

pytestmark = pytest.mark.django_db


def new_rows(*rows: dict[str, str], cone: str = "", on: str = "2026-03-10") -> dict[str, str]:
    data = {
        "made_on": on,
        "cone": cone,
        "bars-TOTAL_FORMS": str(len(rows)),
        "bars-INITIAL_FORMS": "0",
    }
    return data | {
        f"bars-{n}-{name}": value for n, row in enumerate(rows) for name, value in row.items()
    }


def log_page(client: Client, body: ClayBody) -> str:
    return shown(client, reverse("test_bars", args=[body.pk]))


class TestTheLog:
    def test_it_begins_empty_and_says_how_a_bar_is_made(self, cast: School) -> None:
        client, body = signed_in(cast.technician), a_body(cast.teacher)
        page = log_page(client, body)
        assert "draw two fine lines 100 mm (or 4 in) apart" in page
        assert "Never scrape or sand a dry bar: wipe it with a damp sponge" in page
        assert "Use these figures" not in page
        assert reverse("test_bars", args=[body.pk]) in shown(
            client, reverse("body_edit", args=[body.pk])
        )

    def test_mean_and_spread_stand_below_the_bars(self, cast: School) -> None:
        """By hand: drying 6.2 ± 0.27, total 11.5 ± 0.35; firing of each bar on its dry length:
        5.35, 5.32, 5.88, 5.85, 5.85, mean 5.65.
        """
        body = a_body(cast.teacher)
        logged(body, cast.teacher, *[bar | WEIGHED for bar in FIVE])
        page = cells(log_page(signed_in(cast.teacher), body))
        assert "Mean 6.2 5.7 11.5 21.0 6.1" in page
        assert "Standard deviation ±0.3 ±0.3 ±0.4 ±0.0 ±0.0" in page
        assert "Least 6.0 5.3 11.0 21.0 6.1 Most 6.5 5.9 12.0 21.0 6.1" in page
        assert "Number of bars 5 5 5 5 5" in page
        assert "21% of it is 26.5% of the dry mass" in page
        assert "Total shrinkage: 11.5% instead of 10.5%" in page

    def test_one_bar_has_no_spread(self, cast: School) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, FIVE[0])
        page = log_page(signed_in(cast.teacher), body)
        assert "One bar says nothing about the spread" in page
        assert "±" not in page

    def test_a_bar_apart_and_a_bar_left_out_are_named(self, cast: School) -> None:
        body = a_body(cast.teacher)
        out = {"dry_mm": 94.0, "left_out": "it cracked"}
        logged(body, cast.teacher, *FIVE, FIVE[0] | {"fired_mm": 84.0}, out)
        page = log_page(signed_in(cast.teacher), body)
        assert "Bar 6 stands apart from the others" in page
        assert "Bar 7 is left out: it cracked." in page
        assert "Measure bars" not in page

    def test_bars_of_another_cone_don_t_go_into_the_body(self, cast: School) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, FIVE[0] | {"cone": "04"})
        page = log_page(signed_in(cast.teacher), body)
        assert "The body's own figures are for cone 6" in page
        assert "Use these figures" not in page

    def test_the_figures_are_used_with_one_click(self, cast: School) -> None:
        client, body = signed_in(cast.technician), a_body(cast.teacher)
        logged(body, cast.teacher, *FIVE)
        page = shown(client, reverse("test_bars_use", args=[body.pk]), {"cone": "6"})
        assert "now shrinks 6.2% in drying and 11.5% in all" in page
        assert "Plans that were sent keep the figures they were sent with" in page
        assert "Mean of 5 test bars fired to cone 6, ±0.4" in page
        assert "The body has these figures." in log_page(client, body)

    def test_what_can_t_be_used_is_said_on_a_page(self, cast: School) -> None:
        body = a_body(cast.teacher)
        answer = signed_in(cast.head).post(reverse("test_bars_use", args=[body.pk]))
        assert answer.status_code == 422
        assert "No bar that counts was fired" in answer.content.decode()

    def test_its_queries_don_t_grow_with_the_bars(self, cast: School) -> None:
        client, body = signed_in(cast.teacher), a_body(cast.teacher)
        counts: list[list[int]] = []
        for bars in ([FIVE[0], {}], [*FIVE, *FIVE, {}, {}]):
            logged(body, cast.teacher, *bars)
            counts.append([])
            for name in ("test_bars", "test_bars_new", "test_bars_measure"):
                with CaptureQueriesContext(connection) as queries:
                    client.get(reverse(name, args=[body.pk]))
                counts[-1].append(len(queries))
        assert counts[0] == counts[1]
        assert max(counts[0]) <= 15


def cells(page: str) -> str:
    """What is read of a page, without its marks."""
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


class TestNewBars:
    def test_several_are_logged_in_the_units_of_the_studio(self, cast: School) -> None:
        """4 in between the marks; 3 3/4 in dry is 6.25 % less, 3.54 in fired is 11.5 %."""
        cast.studio.length_unit = "in"
        cast.studio.save()
        client, body = signed_in(cast.technician), a_body(cast.teacher)
        rows = (
            {"mark": "1", "wet_mm": "4", "dry_mm": "3 3/4", "fired_mm": "3.54", "wet_g": "61.5"},
            {"mark": "2", "wet_mm": "10 cm"},
            {"mark": "3"},
        )
        page = shown(client, reverse("test_bars_new", args=[body.pk]), new_rows(*rows, cone="6"))
        assert "2 bars are in the log." in page
        assert "1 4 3 3/4 3.54 6.3 5.6 11.5" in cells(page).replace("\xa0", " ")
        one, two = ShrinkageBar.objects.order_by("mark")
        assert (one.wet_mm, one.dry_mm, one.wet_g) == (101.6, 95.25, 61.5)
        assert (two.wet_mm, two.cone) == (100, "")

    @pytest.mark.parametrize(
        ("row", "cone", "at", "says"),
        [
            ({"wet_mm": "100", "dry_mm": "105"}, "", "bars-0-dry_mm", "doesn't grow as it dries"),
            ({"dry_mm": "94"}, "", "bars-0-wet_mm", "How far apart were the marks"),
            ({"wet_mm": "long"}, "", "bars-0-wet_mm", "can't be read as a measure"),
            ({"wet_mm": "9 m"}, "", "bars-0-wet_mm", "is not a unit that is known here"),
            ({"wet_mm": "1000"}, "", "bars-0-wet_mm", "Type at most 500 mm"),
            ({"wet_mm": "100", "wet_g": "-3"}, "", "bars-0-wet_g", "below zero"),
            ({"wet_mm": "100", "fired_mm": "90"}, "", "cone", "To which cone was it fired?"),
            ({"wet_mm": "100", "fired_mm": "90"}, "77", "cone", "not in the cone table"),
            ({"wet_mm": "100", "mark": "x" * 13}, "", "bars-0-mark", "at most 12 characters"),
            ({}, "", "", "between one and 30 bars"),
        ],
    )
    def test_what_is_refused_stands_at_its_field(
        self, cast: School, row: dict[str, str], cone: str, at: str, says: str
    ) -> None:
        cast.studio.length_unit = "mm"
        cast.studio.save()
        client, body = signed_in(cast.teacher), a_body(cast.teacher)
        page = shown(client, reverse("test_bars_new", args=[body.pk]), new_rows(row, cone=cone))
        assert says in page
        if at:
            assert says in page[page.index(f'id="id_{at}_error"') :][:400]
        assert not ShrinkageBar.objects.exists()

    def test_a_day_to_come_is_refused(self, cast: School) -> None:
        client, body = signed_in(cast.teacher), a_body(cast.teacher)
        data = new_rows({"wet_mm": "100 mm"}, {"wet_mm": "100 mm"}, on="9998-01-01")
        page = shown(client, reverse("test_bars_new", args=[body.pk]), data)
        assert page.count("This day is still to come.") == 2  # above the form and at the field

    def test_a_second_tap_logs_nothing_more(self, cast: School) -> None:
        client, body = signed_in(cast.teacher), a_body(cast.teacher)
        data = new_rows({"wet_mm": "100 mm"}) | {"once": "a-key"}
        for _tap in range(2):
            shown(client, reverse("test_bars_new", args=[body.pk]), data)
        assert ShrinkageBar.objects.count() == 1

    @pytest.mark.parametrize(
        ("asked", "lines"), [("", 5), ("10", 10), ("0", 1), ("99", 30), ("999", 5), ("-1", 5)]
    )
    def test_the_page_has_as_many_lines_as_asked(
        self, cast: School, asked: str, lines: int
    ) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, {"mark": "7"})
        path = reverse("test_bars_new", args=[body.pk])
        page = shown(signed_in(cast.teacher), f"{path}?lines={asked}")
        assert page.count('-wet_mm"') >= lines
        assert f'name="bars-TOTAL_FORMS" value="{lines}"' in page
        assert 'name="bars-0-mark" value="8"' in page


class TestMeasuring:
    def test_bars_that_wait_are_measured_together(self, cast: School) -> None:
        client, body = signed_in(cast.technician), a_body(cast.teacher)
        one, two, three = logged(body, cast.teacher, {}, {"dry_mm": 94.0}, {})
        path = reverse("test_bars_measure", args=[body.pk])
        page = shown(client, path)
        assert f'name="bar-{two.pk}-dry_mm"' not in page
        assert "10 cm wet, 9.4 cm dry" in page
        data = {
            "cone": "6",
            f"bar-{one.pk}-dry_mm": "93.5 mm",
            f"bar-{one.pk}-dry_g": "48.2",
            f"bar-{two.pk}-fired_mm": "8.9",
        }
        assert "2 bars measured." in shown(client, path, data)
        for bar in (one, two, three):
            bar.refresh_from_db()
        assert (one.dry_mm, one.dry_g, one.cone) == (93.5, 48.2, "")
        assert (two.fired_mm, two.cone, three.dry_mm) == (89, "6", None)

    def test_a_refusal_stands_at_its_bar(self, cast: School) -> None:
        client, body = signed_in(cast.technician), a_body(cast.teacher)
        _one, two = logged(body, cast.teacher, {}, {})
        path = reverse("test_bars_measure", args=[body.pk])
        page = shown(client, path, {f"bar-{two.pk}-dry_mm": "10.5"})
        assert "doesn't grow" in page[page.index(f'id="id_bar-{two.pk}-dry_mm_error"') :][:300]
        assert f'<a href="#id_bar-{two.pk}-dry_mm">Bar 2, Dry: Clay doesn\'t grow' in page

    def test_nothing_waits(self, cast: School) -> None:
        path = reverse("test_bars_measure", args=[a_body(cast.teacher).pk])
        assert "No bar waits to be measured" in shown(signed_in(cast.teacher), path)


class TestOneBar:
    def test_it_is_put_right_and_left_out(self, cast: School) -> None:
        client, body = signed_in(cast.head), a_body(cast.teacher)
        [bar] = logged(body, cast.teacher, FIVE[0] | WEIGHED)
        path = reverse("test_bar_edit", args=[bar.pk])
        assert 'value="9.35"' in shown(client, path)
        data = {
            "mark": "A1",
            "made_on": "2026-03-01",
            "wet_mm": "10",
            "dry_mm": "9.4",
            "fired_mm": "8.85",
            "cone": "6",
            "left_out": "it bent",
        }
        shown(client, path, data)
        bar.refresh_from_db()
        assert (bar.mark, bar.dry_mm, bar.wet_g, bar.left_out) == ("A1", 94, None, "it bent")
        assert "It stays in the log" in shown(client, path)
        refused = shown(client, path, data | {"dry_mm": "10.1"})
        assert "doesn't grow as it dries" in refused
        assert 'href="#id_dry_mm"' in refused

    def test_students_see_none_of_it_and_other_studios_nothing(self, cast: School) -> None:
        [bar] = logged(a_body(cast.teacher), cast.teacher, FIVE[0])
        path = reverse("test_bar_edit", args=[bar.pk])
        assert signed_in(cast.student).get(path).status_code == 403
        assert signed_in(cast.elsewhere.technician).get(path).status_code == 404


class TestTheApi:
    def ask(self, client: Client, method: str, name: str, pk: Any, sent: Any = None) -> Any:
        path = reverse(name, args=[pk])
        answer = client.generic(method, path, json.dumps(sent) if sent else "", "application/json")
        return answer.status_code, answer.json()

    def test_staff_log_measure_and_use_bars(self, cast: School) -> None:
        client, body = signed_in(cast.technician), a_body(cast.teacher)
        on = today_there().isoformat()
        bars = [
            {"made_on": on, "wet_mm": 100, "dry_mm": 94, "fired_mm": 85.67, "cone": "6"},
            {"made_on": on, "wet_mm": 100, "mark": "B"},
        ]
        status, made = self.ask(client, "POST", "api_test_bars", body.pk, {"bars": bars})
        assert status == 201, made
        one, two = made["bars"]
        assert (one["mark"], two["mark"], one["made_by"]) == ("1", "B", str(cast.technician.pk))
        # The porcelain of a published table: see test_shrinkage.
        assert one["figures"]["firing_shrinkage_pct"] == pytest.approx(8.86, abs=0.005)
        assert two["figures"]["total_shrinkage_pct"] is None
        status, changed = self.ask(client, "PATCH", "api_test_bar", two["id"], {"dry_mm": 95})
        assert (status, changed["dry_mm"], changed["wet_mm"]) == (200, 95, 100)
        assert self.ask(client, "GET", "api_test_bar", two["id"]) == (200, changed)
        status, listed = self.ask(client, "GET", "api_test_bars", body.pk)
        assert [each["mark"] for each in listed["results"]] == ["1", "B"]
        status, groups = self.ask(client, "GET", "api_clay_body_shrinkage", body.pk)
        assert [(each["cone"], each["usable"]) for each in groups] == [("6", True), ("", False)]
        assert groups[0]["total"]["mean"] == pytest.approx(14.33, abs=0.005)
        assert (groups[0]["total"]["deviation"], groups[0]["water"]) == (None, None)
        status, used = self.ask(client, "POST", "api_clay_body_shrinkage", body.pk, {"cone": "6"})
        assert (status, used["total_shrinkage_pct"]) == (200, 14.3)

    @pytest.mark.parametrize(
        ("changed", "status", "field"),
        [
            ({"dry_mm": 101}, 422, "bars.0.dry_mm"),
            ({"dry_mm": "94"}, 400, "bars.0.dry_mm"),
            ({"wet_mm": None}, 400, "bars.0.wet_mm"),
            ({"wet_mm": 5}, 400, "bars.0.wet_mm"),
            ({"wet_mm": 1e300}, 400, "bars.0.wet_mm"),
            ({"made_on": "9998-01-01"}, 422, "bars.0.made_on"),
            ({"mark": "a\0"}, 400, "bars.0.mark"),
            ({"fired_mm": 90}, 422, "bars.0.cone"),
        ],
    )
    def test_what_is_refused_names_its_field(
        self, cast: School, changed: dict[str, Any], status: int, field: str
    ) -> None:
        client, body = signed_in(cast.teacher), a_body(cast.teacher)
        bar = {"made_on": "2026-03-01", "wet_mm": 100} | changed
        answered, told = self.ask(client, "POST", "api_test_bars", body.pk, {"bars": [bar]})
        assert (answered, [each["field"] for each in told["errors"]]) == (status, [field])
        assert not ShrinkageBar.objects.exists()

    def test_too_many_or_none_at_once_are_refused(self, cast: School) -> None:
        client, body = signed_in(cast.teacher), a_body(cast.teacher)
        bar = {"made_on": "2026-03-01", "wet_mm": 100}
        for bars in ([], [bar] * 31):
            status, told = self.ask(client, "POST", "api_test_bars", body.pk, {"bars": bars})
            assert (status, told["errors"][0]["field"]) == (422, "bars")

    def test_students_are_refused(self, cast: School) -> None:
        body = a_body(cast.teacher)
        for name in ("api_test_bars", "api_clay_body_shrinkage"):
            assert self.ask(signed_in(cast.student), "GET", name, body.pk)[0] == 403
            assert self.ask(signed_in(cast.elsewhere.head), "GET", name, body.pk)[0] == 404
