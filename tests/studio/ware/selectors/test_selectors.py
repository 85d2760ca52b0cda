"""What is asked of pots: which is of which piece, what is built, covered, ready."""

from datetime import date, timedelta

import pytest

from studio.people.models import Enrolment
from studio.uploads.models import StoredImage
from studio.ware.models import GreenwareCheck
from studio.ware.selectors import (
    built_pieces,
    cover_list,
    history_of,
    not_ready_reasons,
    photos_missing,
    pots_of,
    ready_for_bisque,
    ready_for_glaze,
    ware_today,
)
from studio.ware.services import (
    add_pot_photo,
    begin_pot,
    check_dryness,
    check_glaze,
    cover,
    lose_pots,
    put_in_place,
    say_built,
    withdraw_greenware,
)
from tests.cast import NOW, TODAY, School
from tests.planning.work import photo
from tests.studio.ware.pots import (
    LATER,
    a_glaze,
    a_place,
    a_pot,
    again,
    bisqued,
    check,
    dried,
    glazed,
    move,
)

pytestmark = pytest.mark.both_databases
MONDAY = date(2026, 3, 16)


class TestPotsOfPieces:
    def test_the_standing_one_counts_else_the_last_lost(self, cast: School) -> None:
        first = a_pot(cast)
        assert pots_of([first.piece]) == {first.piece_id: first}
        lose_pots(pots=[first], kind="broken", by=cast.teacher, at=NOW)
        assert pots_of([first.piece]) == {first.piece_id: first}
        second = begin_pot(piece=first.piece, by=cast.teacher, at=NOW)
        assert pots_of([first.piece]) == {first.piece_id: second}
        lose_pots(pots=[second], kind="broken", by=cast.teacher, at=NOW)
        assert pots_of([first.piece]) == {first.piece_id: second}

    def test_a_found_first_pot_stands_before_a_lost_second(self, cast: School) -> None:
        first = a_pot(cast)
        first.lost = "missing"
        first.save()
        second = begin_pot(piece=first.piece, by=cast.teacher, at=NOW)
        second.lost, first.lost = "broken", ""
        second.save()
        first.save()
        assert pots_of([first.piece]) == {first.piece_id: first}

    def test_a_piece_without_a_pot_has_none(self, cast: School) -> None:
        assert pots_of([]) == {}


class TestBuilt:
    def test_the_check_says_so_until_it_is_taken_back(self, cast: School) -> None:
        pot = a_pot(cast)
        assert built_pieces([pot.piece_id]) == set()
        check(pot, cast.teacher)
        assert built_pieces([pot.piece_id]) == {pot.piece_id}
        withdraw_greenware(pot=pot, by=cast.teacher, at=NOW, reason="One row more")
        assert built_pieces([pot.piece_id]) == set()

    def test_a_later_stage_and_a_later_loss_leave_it_built(self, cast: School) -> None:
        pot = bisqued(a_pot(cast), cast.teacher)
        GreenwareCheck.objects.all().delete()
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        assert built_pieces([pot.piece_id]) == {pot.piece_id}


class TestCoverList:
    def test_it_has_what_is_being_built_and_the_days_to_the_next_lesson(self, cast: School) -> None:
        one, two = a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)
        move(two, "leather_hard", cast.teacher)
        put_in_place(pots=[one], place=a_place(cast, "Zinc rack"), by=cast.teacher, at=NOW)
        put_in_place(pots=[two], place=a_place(cast, "Cart 1", "cart"), by=cast.teacher, at=NOW)
        cover(pots=[two], by=cast.teacher, at=NOW)
        found = cover_list(cast.section, TODAY)
        assert found.pots == [two, one]
        assert (found.covered_pots, found.open_pots) == ([two], [one])
        # Wednesday 11 March; the class meets on Mondays and Wednesdays.
        assert (found.next_lesson, found.days) == (MONDAY, 5)

    def test_checked_fired_and_lost_pots_need_no_cover(self, cast: School) -> None:
        check(a_pot(cast, "One"), cast.teacher)
        bisqued(a_pot(cast, "Two"), cast.teacher)
        broken = a_pot(cast, "Three")
        lose_pots(pots=[broken], kind="broken", by=cast.teacher, at=NOW)
        assert cover_list(cast.section, TODAY).pots == []

    def test_pots_of_who_left_are_left_out(self, cast: School) -> None:
        pot = a_pot(cast)
        assert cover_list(cast.section, TODAY).pots == [pot]
        Enrolment.objects.filter(student=cast.student).update(left_on=TODAY)
        assert cover_list(cast.section, TODAY).pots == []

    def test_after_the_last_lesson_no_days_are_counted(self, cast: School) -> None:
        a_pot(cast)
        found = cover_list(cast.section, date(2026, 12, 1))
        assert (len(found.pots), found.next_lesson, found.days) == (1, None, None)


class TestReadiness:
    def test_bisque_asks_for_both_checks_in_their_order(self, cast: School) -> None:
        pot = dried(a_pot(cast), cast.teacher)
        [ready] = ready_for_bisque(cast.studio)
        assert (ready.pot, ready.greenware.height_mm, ready.cones) == (pot, 194, None)
        withdraw_greenware(pot=pot, by=cast.teacher, at=LATER, reason="Measured wrongly")
        assert ready_for_bisque(cast.studio) == []
        assert "has no greenware check" in not_ready_reasons([pot], "bisque")[pot.pk]
        check(pot, cast.teacher, at=LATER + timedelta(1))
        assert "no dryness check since" in not_ready_reasons([pot], "bisque")[pot.pk]

    def test_the_newest_dryness_check_counts(self, cast: School) -> None:
        pot = dried(a_pot(cast), cast.teacher)
        later = LATER + timedelta(1)
        check_dryness(pots=[pot], air_dry=False, by=cast.teacher, at=later)
        reasons = not_ready_reasons([pot], "bisque")
        assert reasons == {pot.pk: f"{pot.code} was not air dry when it was checked last."}
        check_dryness(pots=[pot], air_dry=True, by=cast.teacher, at=later + timedelta(1))
        assert not_ready_reasons([pot], "bisque") == {}

    @pytest.mark.parametrize("said", [(True, False), (False, True)])
    def test_of_two_dryness_checks_at_one_moment_the_doubtful_one_counts(
        self, cast: School, said: tuple[bool, bool]
    ) -> None:
        """A damp pot bursts in the kiln, a dry one that is felt once more loses nothing (common
        practice, no source).
        """
        pots = [dried(a_pot(cast, f"Pot {n}"), cast.teacher) for n in range(4)]
        for air_dry in said:
            check_dryness(pots=pots, air_dry=air_dry, by=cast.teacher, at=LATER + timedelta(1))
        assert set(not_ready_reasons(pots, "bisque")) == {pot.pk for pot in pots}
        for pot in pots:
            assert history_of(pot).dryness[-1].air_dry is False

    @pytest.mark.parametrize("said", [(True, False), (False, True)])
    def test_of_two_glaze_checks_at_one_moment_the_doubtful_one_counts(
        self, cast: School, said: tuple[bool, bool]
    ) -> None:
        pot, glaze = bisqued(a_pot(cast), cast.teacher), a_glaze(cast)
        for n, foot_clean in enumerate(said * 2):
            check_glaze(
                pot=pot,
                glazes=[glaze],
                foot_clean=foot_clean,
                thickness_fits=True,
                by=cast.teacher,
                at=LATER + timedelta(days=n // 2),
            )
        assert "glaze on its foot" in not_ready_reasons([again(pot)], "glaze")[pot.pk]

    def test_glaze_asks_for_a_check_that_passed_and_says_the_cones(self, cast: School) -> None:
        pot = glazed(a_pot(cast), cast, a_glaze(cast, "Moss", "5", "7"))
        [ready] = ready_for_glaze(cast.studio)
        assert (ready.pot, ready.cones) == (pot, ("5", "7"))

    @pytest.mark.parametrize(
        ("foot", "thickness", "says"),
        [(False, True, "glaze on its foot"), (True, False, "too thick or too thin")],
    )
    def test_a_glaze_that_did_not_pass_says_why(
        self, cast: School, foot: bool, thickness: bool, says: str
    ) -> None:
        pot = bisqued(a_pot(cast), cast.teacher)
        check_glaze(
            pot=pot,
            glazes=[a_glaze(cast)],
            foot_clean=foot,
            thickness_fits=thickness,
            by=cast.teacher,
            at=LATER,
        )
        assert ready_for_glaze(cast.studio) == []
        assert says in not_ready_reasons([again(pot)], "glaze")[pot.pk]

    def test_a_stage_or_a_loss_stands_against_it(self, cast: School) -> None:
        pot = a_pot(cast)
        assert not_ready_reasons([pot], "bisque") == {pot.pk: f"{pot.code} is wet, not bone dry."}
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        assert not_ready_reasons([again(pot)], "glaze") == {pot.pk: f"{pot.code} is broken."}

    def test_glazed_without_a_check_is_not_ready(self, cast: School) -> None:
        pot = bisqued(a_pot(cast), cast.teacher)
        pot = move(pot, "glazed", cast.teacher)
        assert not_ready_reasons([pot], "glaze") == {pot.pk: f"{pot.code} has no glaze check."}


class TestPhotos:
    def test_one_is_asked_before_each_firing(self, cast: School) -> None:
        dry, ready = dried(a_pot(cast, "One"), cast.teacher), glazed(a_pot(cast, "Two"), cast)
        wet = a_pot(cast, "Three")
        asked = photos_missing([dry, ready, wet])
        assert asked == {dry.pk: "before_bisque", ready.pk: "before_glaze"}
        add_pot_photo(pot=dry, occasion="building", file=photo(1), by=cast.teacher, at=NOW)
        assert dry.pk in photos_missing([dry])
        add_pot_photo(pot=dry, occasion="before_bisque", file=photo(2), by=cast.teacher, at=NOW)
        assert photos_missing([dry]) == {}

    def test_one_that_could_not_be_read_is_asked_for_again(self, cast: School) -> None:
        dry = dried(a_pot(cast), cast.teacher)
        add_pot_photo(pot=dry, occasion="before_bisque", file=photo(2), by=cast.teacher, at=NOW)
        StoredImage.objects.filter(pot_photo__pot=dry).update(
            state=StoredImage.State.REFUSED, refusal_code="broken", full_file="", small_file=""
        )
        assert dry.pk in photos_missing([dry])


class TestToday:
    def test_who_says_built_waits_the_longest_first(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        say_built(pot=pots[0], by=cast.student, at=LATER)
        say_built(pot=pots[1], by=cast.classmate, at=NOW)
        for by in (cast.teacher, cast.technician):
            assert ware_today(by, {}, TODAY).checks == pots[::-1]
        assert ware_today(cast.other_teacher, {}, TODAY).checks == []

    def test_classes_that_meet_have_their_covers_and_days(self, cast: School) -> None:
        pot = a_pot(cast)
        meeting = {cast.section: MONDAY, cast.other_section: None}
        [found] = ware_today(cast.head, meeting, TODAY).covers
        assert (found.section, found.pots, found.days) == (cast.section, [pot], 5)
        [found] = ware_today(cast.head, {cast.section: None}, TODAY).covers
        assert found.days is None

    def test_photos_are_asked_before_a_firing_only(self, cast: School) -> None:
        dry, ready = dried(a_pot(cast, "One"), cast.teacher), glazed(a_pot(cast, "Two"), cast)
        a_pot(cast, "Three")
        assert set(ware_today(cast.teacher, {}, TODAY).photos) == {dry, ready}
        add_pot_photo(pot=dry, occasion="before_bisque", file=photo(2), by=cast.teacher, at=NOW)
        assert ware_today(cast.teacher, {}, TODAY).photos == [ready]
        lose_pots(pots=[ready], kind="broken", by=cast.teacher, at=NOW)
        now = ware_today(cast.teacher, {}, TODAY)
        assert now.photos == []
        assert now.built == {dry.piece_id, ready.piece_id}
