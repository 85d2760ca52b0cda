"""Dryness before the bisque, the glaze before the second firing."""

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.room.models import Glaze
from studio.ware.models import DrynessCheck, GlazeCheck, StageEntry
from studio.ware.services import check_dryness, check_glaze, lose_pots
from tests.cast import NOW, School
from tests.studio.ware.pots import LATER, a_glaze, a_pot, again, bisqued, check, dried, move

pytestmark = pytest.mark.both_databases


class TestDryness:
    def test_air_dry_brings_leather_hard_ware_to_bone_dry(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        for pot in pots:
            move(pot, "leather_hard", cast.teacher)
            check(pot, cast.teacher)
        made = check_dryness(pots=pots, air_dry=True, note="no chill", by=cast.technician, at=LATER)
        assert [each.note for each in made] == ["no chill", "no chill"]
        assert {again(pot).stage for pot in pots} == {"bone_dry"}
        assert StageEntry.objects.filter(stage="bone_dry", by=cast.technician).count() == 2
        assert AuditEntry.objects.filter(action="dryness checked").count() == 2

    def test_not_dry_is_kept_and_moves_nothing(self, cast: School) -> None:
        pot = move(a_pot(cast), "leather_hard", cast.teacher)
        check(pot, cast.teacher)
        check_dryness(pots=[pot], air_dry=False, by=cast.teacher, at=LATER)
        assert again(pot).stage == "leather_hard"
        assert not DrynessCheck.objects.get().air_dry

    def test_it_has_its_time_between_leather_hard_and_bisque(self, cast: School) -> None:
        wet, fired = a_pot(cast, "One"), bisqued(a_pot(cast, "Two"), cast.teacher)
        with pytest.raises(Refused) as refused:
            check_dryness(pots=[wet, fired], air_dry=True, by=cast.teacher, at=LATER)
        said = {problem.message for problem in refused.value.problems}
        said_of_all = "dryness is checked between leather-hard and the bisque."
        assert said == {
            f"{wet.code} is wet; {said_of_all}",
            f"{fired.code} is bisque fired; {said_of_all}",
        }

    def test_the_greenware_check_comes_first(self, cast: School) -> None:
        pot = move(a_pot(cast), "leather_hard", cast.teacher)
        with pytest.raises(Refused, match="has no greenware check; that one comes first"):
            check_dryness(pots=[pot], air_dry=True, by=cast.teacher, at=LATER)

    def test_students_judge_no_dryness(self, cast: School) -> None:
        pot = dried(a_pot(cast), cast.teacher)
        with pytest.raises(PermissionDenied):
            check_dryness(pots=[pot], air_dry=True, by=cast.student, at=LATER)

    def test_a_missing_pot_is_not_felt(self, cast: School) -> None:
        pot = dried(a_pot(cast), cast.teacher)
        lose_pots(pots=[pot], kind="missing", by=cast.teacher, at=NOW)
        with pytest.raises(Refused, match="is missing"):
            check_dryness(pots=[pot], air_dry=True, by=cast.teacher, at=LATER)


class TestGlaze:
    def checked(self, cast: School, *glazes: Glaze, **changed: object) -> GlazeCheck:
        said = {"foot_clean": True, "thickness_fits": True, "by": cast.teacher} | changed
        return check_glaze(pot=self.pot, glazes=glazes, at=LATER, **said)  # type: ignore[arg-type]

    @pytest.fixture(autouse=True)
    def _pot(self, cast: School) -> None:
        self.pot = bisqued(a_pot(cast), cast.teacher)

    def test_a_bisque_fired_pot_comes_to_glazed(self, cast: School) -> None:
        inside, outside = a_glaze(cast, "White", "4", "7"), a_glaze(cast, "Moss", "6", "10")
        made = self.checked(cast, inside, outside)
        assert made.passed
        assert set(made.glazes.all()) == {inside, outside}
        assert again(self.pot).stage == "glazed"
        kept = AuditEntry.objects.get(action="glaze checked")
        assert kept.after["glazes"] == ["Moss", "White"]

    def test_a_foot_with_glaze_is_kept_as_not_passed_and_checked_again(self, cast: School) -> None:
        glaze = a_glaze(cast)
        assert not self.checked(cast, glaze, foot_clean=False).passed
        assert self.checked(cast, glaze).passed
        assert GlazeCheck.objects.count() == 2

    def test_glazes_without_a_common_cone_suit_no_firing(self, cast: School) -> None:
        low, high = a_glaze(cast, "Majolica", "06", "04"), a_glaze(cast, "Celadon", "5", "6")
        with pytest.raises(Refused, match="don't ripen at one cone") as refused:
            self.checked(cast, low, high)
        assert refused.value.problems[0].field == "glazes"
        assert again(self.pot).stage == "bisque_fired"

    def test_glazes_are_those_of_the_studio_that_are_in_use(self, cast: School) -> None:
        with pytest.raises(Refused, match="Choose the glazes that are on the pot"):
            self.checked(cast)
        retired = a_glaze(cast, "Old")
        Glaze.objects.update(retired=True)
        elsewhere = Glaze.objects.create(
            studio=cast.elsewhere.studio, name="Tenmoku", cone_from="9", cone_to="10"
        )
        for glaze in (retired, elsewhere):
            with pytest.raises(Refused, match="from the studio's list"):
                self.checked(cast, glaze)

    def test_it_is_for_staff_and_before_the_glaze_firing(self, cast: School) -> None:
        glaze = a_glaze(cast)
        with pytest.raises(PermissionDenied):
            self.checked(cast, glaze, by=cast.student)
        self.checked(cast, glaze)
        move(self.pot, "glaze_fired", cast.teacher, reason="Unloaded")
        with pytest.raises(Conflict, match="is checked before the glaze firing"):
            self.checked(cast, glaze)
