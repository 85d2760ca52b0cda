"""Places, what stands in them, and what is wrapped."""

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.models import Place
from studio.ware.services import (
    add_place,
    bring_back_place,
    cover,
    edit_place,
    lose_pots,
    put_in_place,
    retire_place,
    uncover,
)
from tests.cast import NOW, School
from tests.studio.ware.pots import LATER, a_place, a_pot, again, bisqued, move

pytestmark = pytest.mark.both_databases


class TestPutting:
    def test_a_cart_takes_many_at_once(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        cart = a_place(cast, "Cart 2", "cart")
        put_in_place(pots=pots, place=cart, by=cast.teacher, at=NOW)
        assert {(again(pot).place, again(pot).placed_at) for pot in pots} == {(cart, NOW)}
        lines = AuditEntry.objects.filter(action="pot put in a place")
        assert [(line.before, line.after) for line in lines] == [
            ({"place": ""}, {"place": "Cart 2"})
        ] * 2

    def test_what_stands_there_already_keeps_its_time(self, cast: School) -> None:
        pot, shelf = a_pot(cast), a_place(cast)
        for at in (NOW, LATER):
            put_in_place(pots=[pot], place=shelf, by=cast.student, at=at)
        assert again(pot).placed_at == NOW
        put_in_place(pots=[pot], place=a_place(cast, "Shelf 2"), by=cast.student, at=LATER)
        assert again(pot).placed_at == LATER

    def test_students_put_only_their_own(self, cast: School) -> None:
        with pytest.raises(PermissionDenied):
            put_in_place(pots=[a_pot(cast)], place=a_place(cast), by=cast.classmate, at=NOW)

    def test_a_place_of_another_studio_is_no_place(self, cast: School) -> None:
        there = add_place(
            studio=cast.elsewhere.studio, by=cast.elsewhere.head, name="Rack", kind="shelf"
        )
        with pytest.raises(PermissionDenied):
            put_in_place(pots=[a_pot(cast)], place=there, by=cast.teacher, at=NOW)

    def test_nothing_is_put_where_no_more_is_put(self, cast: School) -> None:
        shelf = retire_place(place=a_place(cast), by=cast.teacher)
        with pytest.raises(Conflict, match="Shelf 1 is no longer used") as refused:
            put_in_place(pots=[a_pot(cast)], place=shelf, by=cast.teacher, at=NOW)
        assert refused.value.problems[0].field == "place"

    def test_broken_and_collected_pots_stand_nowhere(self, cast: School) -> None:
        shelf, home = a_place(cast), bisqued(a_pot(cast, "One"), cast.teacher)
        move(home, "collected", cast.teacher)
        with pytest.raises(Refused, match="stands nowhere any more"):
            put_in_place(pots=[home], place=shelf, by=cast.teacher, at=NOW)
        broken = a_pot(cast, "Two", cast.classmate)
        lose_pots(pots=[broken], kind="broken", by=cast.teacher, at=NOW)
        with pytest.raises(Refused, match="is broken"):
            put_in_place(pots=[broken], place=shelf, by=cast.teacher, at=NOW)


class TestCovers:
    def test_it_counts_from_when_it_was_wrapped_first(self, cast: School) -> None:
        pot = a_pot(cast)
        for at in (NOW, LATER):
            cover(pots=[pot], by=cast.student, at=at)
        assert again(pot).covered_since == NOW
        for _tap in range(2):
            uncover(pots=[pot], by=cast.student, at=LATER)
        assert again(pot).covered_since is None
        actions = AuditEntry.objects.filter(action__contains="covered").order_by("at")
        assert [each.action for each in actions] == ["pot covered", "pot uncovered"]

    def test_fired_ware_needs_none(self, cast: School) -> None:
        pot = bisqued(a_pot(cast), cast.teacher)
        with pytest.raises(Refused, match="a cover keeps nothing damp there any more"):
            cover(pots=[pot], by=cast.teacher, at=NOW)

    def test_nor_does_a_broken_one(self, cast: School) -> None:
        pot = a_pot(cast)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        for act in (cover, uncover):
            with pytest.raises(Refused, match="is broken"):
                act(pots=[pot], by=cast.teacher, at=NOW)


class TestPlaces:
    @pytest.mark.parametrize("who", ["head", "teacher", "technician"])
    def test_staff_add_and_rename_them(self, cast: School, who: str) -> None:
        by = getattr(cast, who)
        place = add_place(studio=cast.studio, by=by, name=" Shelf  1 ", kind="shelf")
        assert place.name == "Shelf 1"
        edit_place(place=place, by=by, values={"name": "shelf 1", "kind": "damp"})
        edit_place(place=place, by=by, values={"name": "shelf 1", "kind": "damp"})
        kept = AuditEntry.objects.get(action="place edited")
        assert kept.before == {"name": "Shelf 1", "kind": "shelf"}
        assert kept.after == {"name": "shelf 1", "kind": "damp"}

    def test_what_is_left_out_stays_as_it_is_now_and_not_as_it_was_read(self, cast: School) -> None:
        read_early = a_place(cast)
        edit_place(place=read_early, by=cast.head, values={"name": "By the window"})
        kept = edit_place(place=read_early, by=cast.teacher, values={"kind": "damp"})
        assert (kept.name, kept.kind) == ("By the window", "damp")

    @pytest.mark.parametrize(
        ("name", "kind", "field", "says"),
        [
            ("", "shelf", "name", "cannot be blank"),
            ("x" * 61, "shelf", "name", "at most 60"),
            ("Attic", "cloud", "kind", "not a valid choice"),
            ("SHELF 1", "cart", "name", "of this name already"),
        ],
    )
    def test_what_can_t_be_is_refused_at_its_field(
        self, cast: School, name: str, kind: str, field: str, says: str
    ) -> None:
        a_place(cast)
        with pytest.raises(Refused, match=says) as refused:
            add_place(studio=cast.studio, by=cast.teacher, name=name, kind=kind)
        assert refused.value.problems[0].field == field
        assert Place.objects.count() == 1

    def test_one_with_pots_on_it_stays(self, cast: School) -> None:
        shelf = a_place(cast)
        put_in_place(pots=[a_pot(cast)], place=shelf, by=cast.teacher, at=NOW)
        with pytest.raises(Conflict, match="1 pot stands here"):
            retire_place(place=shelf, by=cast.teacher)

    def test_an_empty_one_goes_and_comes_back(self, cast: School) -> None:
        shelf = a_place(cast)
        for _tap in range(2):
            retire_place(place=shelf, by=cast.teacher)
        assert not Place.objects.in_use().exists()
        bring_back_place(place=shelf, by=cast.head)
        assert Place.objects.in_use().exists()
        actions = AuditEntry.objects.filter(action__startswith="place ").order_by("at")
        assert [each.action for each in actions] == [
            "place added",
            "place retired",
            "place brought back",
        ]

    def test_students_and_strangers_change_nothing(self, cast: School) -> None:
        shelf = a_place(cast)
        for by in (cast.student, cast.nobody, cast.elsewhere.head):
            with pytest.raises(PermissionDenied):
                add_place(studio=cast.studio, by=by, name="Mine", kind="shelf")
            with pytest.raises(PermissionDenied):
                edit_place(place=shelf, by=by, values={"name": "Mine"})
            with pytest.raises(PermissionDenied):
                retire_place(place=shelf, by=by)
            with pytest.raises(PermissionDenied):
                bring_back_place(place=shelf, by=by)
