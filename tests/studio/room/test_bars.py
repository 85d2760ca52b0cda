"""The log of test bars, and their means put into the clay body."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.room.models import ClayBody, ShrinkageBar
from studio.room.selectors.bars import bar_groups
from studio.room.services import add_bars, edit_bar, edit_body, measure_bars, use_bars
from tests.cast import TODAY, School
from tests.planning.projects import a_body

from .bars import FIVE, WEIGHED, logged

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def used(body: ClayBody, cast: School, cone: str = "6") -> ClayBody:
    return use_bars(body=body, by=cast.technician, cone=cone, on=TODAY)


class TestLogging:
    @pytest.mark.parametrize("who", ["head", "teacher", "technician"])
    def test_staff_log_several_bars_at_once(self, cast: School, who: str) -> None:
        by = getattr(cast, who)
        made = logged(a_body(cast.teacher), by, *FIVE)
        assert [bar.mark for bar in made] == ["1", "2", "3", "4", "5"]
        entries = AuditEntry.objects.filter(action="test bar added")
        assert [(e.by, e.before, e.after["wet_mm"]) for e in entries] == [(by, {}, 100.0)] * 5

    def test_a_bar_without_a_mark_gets_the_next_number(self, cast: School) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.head, {"mark": "9"}, {"mark": "old"})
        made = logged(body, cast.head, {}, {"mark": "12"}, {})
        assert [bar.mark for bar in made] == ["10", "12", "13"]

    @pytest.mark.parametrize(
        ("changed", "field", "says"),
        [
            ({"dry_mm": 101.0}, "dry_mm", "doesn't grow as it dries"),
            ({"dry_mm": 94.0, "fired_mm": 95.0, "cone": "6"}, "fired_mm", "before the kiln"),
            ({"dry_mm": 70.0}, "dry_mm", "more than 20 %"),
            ({"fired_mm": 70.0, "cone": "6"}, "fired_mm", "more than 25 % in all"),
            ({"fired_mm": 90.0}, "cone", "To which cone"),
            ({"fired_mm": 90.0, "cone": "66"}, "cone", "not in the cone table"),
            ({"wet_g": 50.0, "dry_g": 51.0}, "dry_g", "lighter than it was wet"),
            ({"wet_g": 50.0, "dry_g": 20.0}, "dry_g", "more than 40 % water"),
            ({"dry_g": 50.0, "fired_g": 51.0}, "fired_g", "lighter after the kiln"),
            ({"dry_g": 50.0, "fired_g": 30.0}, "fired_g", "more than 30 %"),
            ({"wet_mm": 10.0}, "wet_mm", "greater than or equal to 20"),
            ({"wet_mm": None}, "wet_mm", "cannot be null"),
            ({"made_on": TODAY + timedelta(days=1)}, "made_on", "still to come"),
            ({"mark": "1"}, "mark", "has the mark “1”"),
            ({"mark": "x" * 13}, "mark", "at most 12"),
        ],
    )
    def test_a_measure_that_can_t_be_is_refused_at_its_field_and_nothing_is_kept(
        self, cast: School, changed: dict[str, Any], field: str, says: str
    ) -> None:
        with pytest.raises(Refused, match=re.escape(says)) as refused:
            logged(a_body(cast.teacher), cast.teacher, {"mark": "1"}, changed)
        assert [each.field for each in refused.value.problems] == [f"bars.1.{field}"]
        assert not ShrinkageBar.objects.exists()
        assert not AuditEntry.objects.filter(action="test bar added").exists()

    @pytest.mark.parametrize("count", [0, 31])
    def test_it_takes_one_to_thirty_at_once(self, cast: School, count: int) -> None:
        with pytest.raises(Refused, match="between one and 30"):
            logged(a_body(cast.teacher), cast.teacher, *([{}] * count))


class TestMeasuring:
    def test_a_bar_is_measured_dry_and_later_fired(self, cast: School) -> None:
        body = a_body(cast.teacher)
        one, two = logged(body, cast.teacher, {}, {})
        dry = {one.pk: {"dry_mm": 94.0}, two.pk: {"dry_mm": 93.5, "dry_g": 48.0}}
        measure_bars(body=body, by=cast.technician, measured=dry, today=TODAY)
        fired = {one.pk: {"fired_mm": 89.0, "cone": "6"}}
        measure_bars(body=body, by=cast.head, measured=fired, today=TODAY)
        one.refresh_from_db()
        assert (one.dry_mm, one.fired_mm, one.cone, one.made_by) == (94, 89, "6", cast.teacher)
        entry = AuditEntry.objects.get(action="test bar measured", after__has_key="fired_mm")
        assert entry.by == cast.head
        assert entry.before == {"fired_mm": None, "cone": ""}

    def test_all_or_none(self, cast: School) -> None:
        body = a_body(cast.teacher)
        one, two = logged(body, cast.teacher, {}, {})
        measured = {one.pk: {"dry_mm": 94.0}, two.pk: {"dry_mm": 194.0}}
        with pytest.raises(Refused) as refused:
            measure_bars(body=body, by=cast.teacher, measured=measured, today=TODAY)
        assert refused.value.problems[0].field == "bars.1.dry_mm"
        one.refresh_from_db()
        assert one.dry_mm is None

    def test_what_somebody_else_measured_meanwhile_stays(self, cast: School) -> None:
        body = a_body(cast.teacher)
        [bar] = logged(body, cast.teacher, {"dry_mm": 94.0})
        with pytest.raises(Conflict, match="Bar 1 has been measured meanwhile"):
            measure_bars(body=body, by=cast.head, measured={bar.pk: {"dry_mm": 93.0}}, today=TODAY)
        same = {bar.pk: {"dry_mm": 94.0}}
        measure_bars(body=body, by=cast.head, measured=same, today=TODAY)
        assert not AuditEntry.objects.filter(action="test bar measured").exists()

    def test_a_bar_of_another_body_is_not_touched(self, cast: School) -> None:
        body, other = a_body(cast.teacher), a_body(cast.teacher, name="Red earthenware")
        [bar] = logged(other, cast.teacher, {})
        assert (
            measure_bars(body=body, by=cast.head, measured={bar.pk: {"dry_mm": 94.0}}, today=TODAY)
            == []
        )


class TestPuttingRight:
    def test_an_edit_keeps_what_changed_and_who(self, cast: School) -> None:
        [bar] = logged(a_body(cast.teacher), cast.teacher, FIVE[0])
        edit_bar(bar=bar, by=cast.technician, values={"dry_mm": 93.0, "mark": "1"}, today=TODAY)
        entry = AuditEntry.objects.get(action="test bar edited")
        assert (entry.by, entry.before, entry.after) == (
            cast.technician,
            {"dry_mm": 93.5},
            {"dry_mm": 93.0},
        )

    def test_a_mark_stands_on_one_bar_whatever_its_capitals(self, cast: School) -> None:
        [_a, b] = logged(a_body(cast.teacher), cast.teacher, {"mark": "a"}, {"mark": "b"})
        with pytest.raises(Refused, match="Another bar of this clay") as refused:
            edit_bar(bar=b, by=cast.teacher, values={"mark": "A"}, today=TODAY)
        assert refused.value.problems[0].field == "mark"

    def test_an_edit_that_changes_nothing_leaves_no_line(self, cast: School) -> None:
        [bar] = logged(a_body(cast.teacher), cast.teacher, FIVE[0])
        edit_bar(bar=bar, by=cast.teacher, values={"dry_mm": 93.5}, today=TODAY)
        assert not AuditEntry.objects.filter(action="test bar edited").exists()


class TestTheLog:
    def test_bars_stand_by_firing_the_body_s_own_cone_first(self, cast: School) -> None:
        body = a_body(cast.teacher)
        fired = {"dry_mm": 94.0, "fired_mm": 92.0}
        logged(body, cast.teacher, {}, fired | {"cone": "04"}, fired | {"cone": "10"}, *FIVE)
        groups = bar_groups(body)
        assert [(group.cone, len(group.bars)) for group in groups] == [
            *[("6", 5), ("10", 1), ("04", 1), ("", 1)],
        ]
        assert [group.usable for group in groups] == [True, False, False, False]

    def test_marks_stand_as_people_count(self, cast: School) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, *[{"mark": mark} for mark in ("10", "9", "b", "a")])
        [group] = bar_groups(body)
        assert [each.bar.mark for each in group.bars] == ["a", "b", "9", "10"]

    def test_a_bar_left_out_stands_there_and_counts_for_nothing(self, cast: School) -> None:
        body = a_body(cast.teacher)
        bad = FIVE[0] | {"fired_mm": 84.0}
        logged(body, cast.teacher, *FIVE, bad)
        [group] = bar_groups(body)
        assert [each.apart for each in group.bars] == [False] * 5 + [True]
        edit_bar(
            bar=group.bars[-1].bar, by=cast.teacher, values={"left_out": "it bent"}, today=TODAY
        )
        [group] = bar_groups(body)
        assert group.figures.total is not None
        assert (len(group.bars), group.figures.total.bars) == (6, 5)
        assert not any(each.apart for each in group.bars)


class TestUsingThem:
    def test_the_means_become_the_body_s_figures_and_say_where_from(self, cast: School) -> None:
        """By hand: drying (6.5 + 6 + 6.5 + 6 + 6)/5 = 6.2; total (11.5 + 11 + 12 + 11.5 + 11.5)/5
        = 11.5 with squares 0.5, so √(0.5/4) = 0.35.
        """
        body = a_body(cast.teacher, source="Data sheet, 2025")
        logged(body, cast.technician, *FIVE)
        body = used(body, cast)
        assert (str(body.drying_shrinkage_pct), str(body.total_shrinkage_pct)) == ("6.2", "11.5")
        assert str(body.water_pct_wet_basis) == "21.00"
        assert body.source == (
            "Mean of 5 test bars fired to cone 6, ±0.4, 11 Mar 2026. "
            "Other figures: Data sheet, 2025"
        )
        entry = AuditEntry.objects.get(action="clay body figures taken from test bars")
        assert entry.by == cast.technician
        assert entry.before == {
            "drying_shrinkage_pct": "6.00",
            "total_shrinkage_pct": "10.50",
            "source": "Data sheet, 2025",
        }
        assert entry.after["total_shrinkage_pct"] == "11.50"

    def test_weighed_bars_give_water_and_loss_on_ignition_too(self, cast: School) -> None:
        """By hand: 13/62 = 20.97 % of the wet mass, 3/49 = 6.12 % of the dry mass."""
        body = a_body(cast.teacher)
        logged(body, cast.teacher, *FIVE[:3], *[bar | WEIGHED for bar in FIVE[3:]])
        body = used(body, cast)
        assert (str(body.water_pct_wet_basis), str(body.loss_on_ignition_pct)) == ("21.0", "6.1")
        assert "(water from 2, loss on ignition from 2)." in body.source

    def test_later_bars_replace_the_words_of_earlier_ones(self, cast: School) -> None:
        body = a_body(cast.teacher, source="Data sheet")
        logged(body, cast.teacher, FIVE[0])
        body = used(body, cast)
        assert body.source == (
            "One test bar fired to cone 6, 11 Mar 2026. Other figures: Data sheet"
        )
        logged(body, cast.teacher, FIVE[1], {"fired_mm": 89.0, "cone": "6"})
        assert used(body, cast).source == (
            "Mean of 3 test bars fired to cone 6, ±0.3, 11 Mar 2026 (drying from 2). "
            "Other figures: Data sheet"
        )

    def test_a_long_source_is_cut_short(self, cast: School) -> None:
        body = a_body(cast.teacher, source="s" * 200)
        logged(body, cast.teacher, *FIVE)
        source = used(body, cast).source
        assert (len(source), source[-2:]) == (200, "s…")

    def test_a_body_without_a_cone_takes_that_of_the_bars(self, cast: School) -> None:
        body = a_body(cast.teacher, cone="")
        logged(body, cast.teacher, *FIVE)
        assert used(body, cast).cone == "6"

    @pytest.mark.parametrize(
        ("bars", "cone", "says"),
        [
            ([{}], "6", "No bar that counts was fired to cone 6"),
            ([{}], "", "No bar that counts"),
            ([FIVE[0] | {"left_out": "it bent"}], "6", "No bar that counts"),
            ([FIVE[0] | {"cone": "04"}], "04", "This body is fired to cone 6, and these bars"),
            ([{"fired_mm": 89.0, "cone": "6"}], "6", "None of these bars was measured dry"),
        ],
    )
    def test_what_can_t_be_used_is_refused(
        self, cast: School, bars: list[dict[str, Any]], cone: str, says: str
    ) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, *bars)
        with pytest.raises(Refused, match=says):
            used(body, cast, cone)
        body.refresh_from_db()
        assert str(body.total_shrinkage_pct) == "10.50"

    def test_using_them_twice_leaves_one_line(self, cast: School) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, *FIVE)
        used(used(body, cast), cast)
        action = "clay body figures taken from test bars"
        assert AuditEntry.objects.filter(action=action).count() == 1

    def test_figures_can_still_be_typed_over(self, cast: School) -> None:
        body = a_body(cast.teacher)
        logged(body, cast.teacher, *FIVE)
        body = edit_body(body=used(body, cast), by=cast.head, values={"total_shrinkage_pct": 12.0})
        assert str(body.total_shrinkage_pct) == "12.0"


def test_students_and_strangers_change_nothing(cast: School) -> None:
    body = a_body(cast.teacher)
    [bar] = logged(body, cast.teacher, FIVE[0])
    for by in (cast.student, cast.nobody, cast.elsewhere.technician):
        with pytest.raises(PermissionDenied):
            add_bars(body=body, by=by, bars=[{"wet_mm": 100.0, "made_on": TODAY}], today=TODAY)
        with pytest.raises(PermissionDenied):
            measure_bars(body=body, by=by, measured={}, today=TODAY)
        with pytest.raises(PermissionDenied):
            edit_bar(bar=bar, by=by, values={"left_out": "x"}, today=TODAY)
        with pytest.raises(PermissionDenied):
            use_bars(body=body, by=by, cone="6", on=TODAY)
        assert not ShrinkageBar.objects.visible_to(by).exists()
