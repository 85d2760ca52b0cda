"""Labels: which code, which address, and when 'not for food' stands on one."""

from django.urls import reverse

from planning.models import Assignment, Piece
from planning.services.plans import approve
from studio.board.selectors.labels import (
    base_labels,
    pieces_to_label,
    shelf_labels,
    with_approved_plan,
)
from studio.paper.labels import BaseLabel
from studio.room.models import Glaze
from studio.ware.models import Pot
from studio.ware.services import begin_pot, check_glaze, lose_pots, retire_place
from tests.cast import NOW, School
from tests.planning.work import a_piece, send
from tests.studio.ware.pots import LATER, a_glaze, a_place, a_pot, again, bisqued, glazed, move


def absolute(path: str) -> str:
    return f"https://studio.example{path}"


def label_of(pot: Pot) -> BaseLabel:
    pieces = pieces_to_label(Assignment.objects.get(pieces=pot.piece_id))
    [label] = base_labels([each for each in pieces if each.pk == pot.piece_id], absolute)
    return label


def with_leach_test(cast: School, name: str = "Celadon") -> Glaze:
    glaze = a_glaze(cast, name)
    glaze.leach_test = "Laboratory of the county, ASTM C738, 12 January: below the limits"
    glaze.save()
    return glaze


def test_before_there_is_a_pot_the_label_opens_the_piece(cast: School) -> None:
    piece = a_piece(cast)
    bram, ode = base_labels(pieces_to_label(piece.assignment), absolute)
    assert ode == BaseLabel(
        piece.code, absolute(reverse("piece", args=[piece.pk])), "Ode A.", "Period 3"
    )
    assert bram.name == "Bram V."


def test_a_pot_has_its_own_page_and_the_next_one_its_number(cast: School) -> None:
    pot = a_pot(cast)
    assert label_of(pot).address == absolute(reverse("pot", args=[pot.pk]))
    assert label_of(pot).code == pot.piece.code
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    assert label_of(pot).code == f"{pot.piece.code}/2"
    assert label_of(pot).address == absolute(reverse("piece", args=[pot.piece_id]))
    second = begin_pot(piece=pot.piece, by=cast.teacher, at=NOW)
    assert label_of(second).code == f"{pot.piece.code}/2"
    assert label_of(second).address == absolute(reverse("pot", args=[second.pk]))


def test_a_glaze_without_a_leach_test_is_not_for_food(cast: School) -> None:
    pot = bisqued(a_pot(cast), cast.teacher)
    assert not label_of(pot).not_for_food
    assert label_of(glazed(a_pot(cast, "Raw"), cast)).not_for_food


def test_with_a_recorded_test_of_each_glaze_it_says_nothing(cast: School) -> None:
    pot = glazed(a_pot(cast), cast, with_leach_test(cast))
    assert not label_of(pot).not_for_food
    move(pot, "glaze_fired", cast.teacher, reason="Unloaded")
    assert not label_of(pot).not_for_food


def test_one_untested_glaze_of_two_is_enough_and_the_newest_check_counts(cast: School) -> None:
    pot = glazed(a_pot(cast), cast, with_leach_test(cast))
    both = [Glaze.objects.get(name="Celadon"), a_glaze(cast, "Ash")]
    check_glaze(
        pot=again(pot),
        glazes=both,
        foot_clean=True,
        thickness_fits=True,
        by=cast.teacher,
        at=LATER.replace(hour=20),
    )
    assert label_of(pot).not_for_food


def test_a_finished_pot_of_which_nothing_is_recorded_is_not_for_food(cast: School) -> None:
    pot = bisqued(a_pot(cast), cast.teacher)
    move(pot, "on_display", cast.teacher)
    assert label_of(pot).not_for_food


def test_plans_that_are_approved_are_told_from_those_that_wait(cast: School) -> None:
    piece = a_piece(cast)
    plan = send(cast, piece)
    pieces = list(Piece.objects.all())
    assert with_approved_plan(pieces) == set()
    approve(plan=plan, by=cast.teacher, at=NOW)
    assert with_approved_plan(pieces) == {piece.pk}


def test_places_in_use_have_a_label_that_opens_their_page(cast: School) -> None:
    damp = a_place(cast, "Damp cupboard", "damp")
    shelf = a_place(cast, "Shelf 1")
    retire_place(place=a_place(cast, "Old cart"), by=cast.teacher)
    labels = shelf_labels(cast.technician, absolute)
    assert [(each.place, each.note) for each in labels] == [
        ("Damp cupboard", "Keep it shut. Scan it: what stands here?"),
        ("Shelf 1", "Scan it: what stands here?"),
    ]
    assert labels[0].address == absolute(reverse("place", args=[damp.pk]))
    [one] = shelf_labels(cast.teacher, absolute, only=str(shelf.pk))
    assert one.place == "Shelf 1"
    assert shelf_labels(cast.elsewhere.teacher, absolute, only=str(shelf.pk)) == []
