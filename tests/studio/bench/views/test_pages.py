"""The pages of the bench: what a student reads with clay on the hands."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from planning.geometry.inputs import Outline
from planning.services.plans import approve
from studio.bench.models import BuildCheck, RowLaid, WallMeasure
from studio.bench.services import lay_rows, strike_out
from studio.people.models import Studio
from studio.ware.services import begin_pot
from tests.cast import NOW, School, signed_in
from tests.planning.work import a_piece_with_a_plan
from tests.studio.bench.pots import SOON, TOO_WIDE, WITHIN, checked, laid
from tests.studio.bench.reading import page, post, words
from tests.studio.ware.pots import a_pot, check

pytestmark = pytest.mark.django_db


def places(*typed: dict[str, str], **more: str) -> dict[str, str]:
    """A form of the check as a browser sends it."""
    sent = {"form-TOTAL_FORMS": str(len(typed)), "form-INITIAL_FORMS": "0", **more}
    for n, place in enumerate(typed):
        sent |= {f"form-{n}-{name}": value for name, value in place.items()}
        sent.setdefault(f"form-{n}-state", "soft")
    return sent


# --- the row to lay now


def test_the_row_to_lay_now_stands_first(cast: School) -> None:
    pot = laid(cast, 4)
    text = page(cast.student, "bench", pot.pk)
    assert "Row 5 of 11" in text
    assert "Roll a coil" in text
    assert "Seam at 12 o’clock, counted from your mark at the front" in text
    assert "Row 5 stands" in text
    assert "Row 4 does not stand after all" in text
    assert "6 rows to come" in text
    assert "4 rows stand" in text


def test_a_plan_that_is_refused_by_today_s_rules_says_why(cast: School) -> None:
    pot = a_pot(cast)
    pot.plan.inputs["base_mm"] = 500
    pot.plan.save()
    answer = signed_in(cast.student).get(reverse("bench", args=[pot.pk]))
    assert answer.status_code == 422
    assert "base" in answer.content.decode()
    assert signed_in(cast.student).get(f"/api/pots/{pot.pk}/rows/").status_code == 422


def test_seams_go_on_by_a_quarter(cast: School) -> None:
    """Common practice, no source: 12, 3, 6, 9 and round again."""
    pot = a_pot(cast)
    for row, hour in enumerate(("12", "3", "6", "9", "12"), start=1):
        assert f"Seam at {hour} o’clock" in page(cast.student, "bench", pot.pk)
        lay_rows(pot=pot, row=row, by=cast.student, at=NOW)


def test_a_short_table_asks_for_several_coils(cast: School) -> None:
    pot = a_pot(cast)
    terms = pot.piece.assignment
    terms.longest_coil_mm = 250
    terms.save()
    text = page(cast.student, "bench", pot.pk)
    assert re.search(r"Roll 2 coils, each 2\d\.\d cm long", text)
    assert "Seams at 12, 6 o’clock" in text


def test_the_lesson_says_how_far_the_wall_should_be(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The class meets on Mondays and Wednesdays and lays 60 mm of wall in each."""
    monkeypatch.setattr(timezone, "now", lambda: NOW)
    pot = a_pot(cast)
    text = page(cast.student, "bench", pot.pk)
    assert re.search(r"By the end of the lesson \(today\): row 3, [56]\.\d cm high", text)
    monkeypatch.setattr(timezone, "now", lambda: NOW + timedelta(days=1))
    assert re.search(
        r"By the end of the lesson \(Monday\): row \d, 1\d\.\d cm",
        page(cast.student, "bench", pot.pk),
    )


def test_a_lesson_whose_rows_stand_is_not_asked_for_again_but_its_stop_is_kept(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)
    pot = a_pot(cast)
    assert "First a slab 1.0 cm thick" in page(cast.student, "bench", pot.pk)
    lay_rows(pot=pot, row=2, by=cast.student, at=NOW)
    text = page(cast.student, "bench", pot.pk)
    assert "By the end of the lesson (today): row 3" in text
    assert "First a slab" not in text
    lay_rows(pot=pot, row=3, by=cast.student, at=NOW)
    text = page(cast.student, "bench", pot.pk)
    assert "By the end of the lesson" not in text
    # What comes between row 3 and the coil of row 4, before that coil is rolled.
    assert text.index("Stop after row 3") < text.index("Roll a coil")


def test_a_tap_lays_the_row_once_and_leads_back(cast: School) -> None:
    pot, client = a_pot(cast), signed_in(cast.student)
    said = {"do": "lay", "row": "1", "once": "one-tap"}
    for _tap in range(2):
        answer = post(client, "bench_row", pot.pk, **said)
        assert (answer.status_code, answer["Location"]) == (302, reverse("bench", args=[pot.pk]))
    assert RowLaid.objects.count() == 1
    post(client, "bench_row", pot.pk, do="take_back", row="1", once="another")
    assert not RowLaid.objects.standing().exists()


def test_what_can_t_be_laid_is_said_on_the_page(cast: School) -> None:
    pot = a_pot(cast)
    text = words(post(cast.student, "bench_row", pot.pk, do="lay", row="44").content.decode())
    assert "The list has 11 rows. Choose one of them." in text
    assert post(cast.student, "bench_row", pot.pk, do="jump", row="x").status_code == 200
    assert not RowLaid.objects.exists()


def test_when_all_rows_stand_the_rim_is_next(cast: School) -> None:
    text = page(cast.student, "bench", laid(cast, 11).pk)
    assert "All rows stand" in text
    assert "Shape the rim" in text


def test_after_the_greenware_check_nothing_is_offered(cast: School) -> None:
    pot = laid(cast, 11)
    check(pot, cast.teacher)
    text = page(cast.student, "bench", pot.pk)
    assert "Building has ended" in text
    assert "11 rows of 11 were noted." in text
    assert "Check the pot" not in text
    assert "does not stand" not in text
    assert "None was made." in text


def test_the_soft_wall_is_told_in_sentences_and_its_figures_are_folded(cast: School) -> None:
    html = signed_in(cast.teacher).get(reverse("bench", args=[a_pot(cast).pk])).content.decode()
    assert "What the soft wall carries" in html
    folded = html.split("The figures, an estimate with a range")[1]
    assert "Soft clay gives way at 10 to 50 kPa" in words(folded)
    assert "kPa" not in words(html.split("The figures, an estimate")[0])
    assert folded.count("<tr>") == 1 + 12


# --- the wall


def test_after_three_rows_the_height_is_asked_and_the_wall_said(cast: School) -> None:
    pot = laid(cast, 2)
    assert "How thick is the wall?" not in page(cast.student, "bench", pot.pk)
    lay_rows(pot=pot, row=3, by=cast.student, at=NOW)
    assert "now that 3 rows stand" in page(cast.student, "bench", pot.pk)
    answer = post(cast.student, "bench_height", pot.pk, height_mm="4.8", after_row="3")
    assert answer.status_code == 302
    text = page(cast.student, "bench", pot.pk)
    assert "How thick is the wall?" not in text
    assert re.search(r"The wall is about 1\.\d cm thick; planned are 0\.8 cm", text)
    assert "4.8 cm after row 3, measured by Ode A." in text


def test_a_height_off_the_wall_comes_back_with_its_reason(cast: School) -> None:
    pot = laid(cast, 3)
    for typed, said in (
        ("90 cm", "This height is not on the wall"),
        ("high", "can't be read as a measure"),
    ):
        answer = post(cast.student, "bench_height", pot.pk, height_mm=typed, after_row="3")
        assert said in words(answer.content.decode())
    assert not WallMeasure.objects.exists()


# --- build checks


def test_a_check_in_any_unit_answers_a_sentence_a_place(cast: School) -> None:
    """206 mm are 8 1/8 in within a sixteenth; planned are 190 mm."""
    Studio.objects.filter(pk=cast.studio.pk).update(length_unit="in")
    pot = laid(cast)
    sent = places(
        {"height_mm": "100 mm", "front_mm": "8 1/8"},
        {"height_mm": "2", "front_mm": "15.9 cm", "state": "stiff"},
        {},
        once="one",
    )
    client = signed_in(cast.student)
    answer = post(client, "build_check_new", pot.pk, **sent)
    kept = BuildCheck.objects.get()
    assert answer["Location"] == reverse("build_check", args=[kept.pk])
    assert post(client, "build_check_new", pot.pk, **sent)["Location"] == answer["Location"]
    assert BuildCheck.objects.count() == 1
    text = page(cast.student, "build_check", kept.pk)
    assert "At 3 15/16 in 8 1/8 in wide, planned 7 1/2 in; soft" in text
    assert re.search(r"5/8 in too wide here\. Cut 6 darts, evenly spaced", text)
    assert "As planned: stiffened clay has shrunk" in text
    assert "the blade away from your hand" in text
    assert "rows that have stiffened are right at any size between wet and dry" in text


def test_one_picture_lays_the_pot_over_its_plan(cast: School) -> None:
    kept = checked(laid(cast), cast.student)
    html = signed_in(cast.student).get(reverse("build_check", args=[kept.pk])).content.decode()
    picture = html.split('class="checked-drawing"')[1].split("</svg>")[0]
    assert html.count('class="checked-drawing"') == 1
    assert picture.count('class="dart"') == 3  # six, three of them on the far side
    assert "stroke-dasharray" in picture
    assert "+1.6" in picture


def test_what_is_typed_wrong_stays_with_its_reason_at_its_place(cast: School) -> None:
    pot = laid(cast)
    sent = places({"height_mm": "10", "front_mm": "20.6"}, {"height_mm": "5", "front_mm": "1.2"})
    html = post(cast.student, "build_check_new", pot.pk, **sent).content.decode()
    first, second = html.split("Place 2, lower down")
    assert "1.2 cm is less than the wall's own thickness on both sides" in words(second)
    assert "thickness" not in first
    assert 'value="20.6"' in first
    assert not BuildCheck.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ([{}, {}], "Measure one place at least: its height and its width."),
        ([{"height_mm": "10"}], "Measure the width, the depth or the way round at this height."),
        ([{"front_mm": "20"}], "A measure is missing here."),
        ([{"height_mm": "ten", "front_mm": "20"}], "can't be read as a measure"),
        ([{"height_mm": "10", "front_mm": "20", "state": "dry"}], "is not on the list"),
        (
            [{"height_mm": "10", "front_mm": "20"}, {"height_mm": "10", "front_mm": "20"}],
            "This height is measured already.",
        ),
    ],
)
def test_each_slip_has_a_sentence(cast: School, typed: list[dict[str, str]], said: str) -> None:
    answer = post(cast.student, "build_check_new", a_pot(cast).pk, **places(*typed))
    assert answer.status_code == 200
    assert said in words(answer.content.decode())
    assert not BuildCheck.objects.exists()


def test_a_check_after_building_has_ended_is_refused_on_its_form(cast: School) -> None:
    pot = a_pot(cast)
    check(pot, cast.teacher)
    sent = places({"height_mm": "10", "front_mm": "20"})
    text = words(post(cast.student, "build_check_new", pot.pk, **sent).content.decode())
    assert "building has ended" in text


def test_one_more_place_keeps_what_was_typed(cast: School) -> None:
    pot = a_pot(cast)
    sent = places({"height_mm": "ten", "state": "stiff"}, {"height_mm": "5"}, more="1")
    html = post(cast.student, "build_check_new", pot.pk, **sent).content.decode()
    assert 'name="form-2-height_mm"' in html
    assert 'value="ten"' in html
    assert "can't be read" not in html
    assert 'name="form-TOTAL_FORMS" value="3"' in html
    assert 'name="form-INITIAL_FORMS" value="0"' in html
    many = places(*[{"height_mm": str(n)} for n in range(1, 21)], more="1")
    html = post(cast.student, "build_check_new", pot.pk, **many).content.decode()
    assert 'name="form-20-height_mm"' not in html
    assert "One more place" not in html
    fewer = places(*[{"height_mm": str(n)} for n in range(1, 20)], more="1")
    html = post(cast.student, "build_check_new", pot.pk, **fewer).content.decode()
    assert 'name="form-19-height_mm"' in html


def test_a_round_pot_has_no_depth_and_an_oval_one_has(cast: School) -> None:
    plan = a_piece_with_a_plan(cast, "An oval one", outline=Outline("oval", depth_ratio=0.7))
    approve(plan=plan, by=cast.teacher, at=NOW)
    oval = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
    assert "Depth" in page(cast.student, "build_check_new", oval.pk)
    assert "Depth" not in page(cast.student, "build_check_new", a_pot(cast).pk)
    sent = places({"height_mm": "10", "front_mm": "19", "depth_mm": "14.1"})
    post(cast.student, "build_check_new", oval.pk, **sent)
    text = page(cast.student, "build_check", BuildCheck.objects.get().pk)
    assert "19.0 cm wide, planned 19.0 cm; 14.1 cm deep, planned 13.3 cm" in text


def test_a_tape_round_the_pot_is_enough(cast: School) -> None:
    """π × 190 mm is 597 mm."""
    sent = places({"height_mm": "10", "perimeter_mm": "59.7"})
    post(cast.student, "build_check_new", a_pot(cast).pk, **sent)
    text = page(cast.student, "build_check", BuildCheck.objects.get().pk)
    assert "59.7 cm round, planned 59.7 cm" in text
    assert "As planned here." in text


def test_earlier_checks_are_listed_drawn_and_in_a_table(cast: School) -> None:
    pot = laid(cast)
    checked(pot, cast.student)
    checked(pot, cast.teacher, hours=26)
    wrong = checked(pot, cast.student, hours=27)
    strike_out(check=wrong, reason="Upside down", by=cast.student, at=SOON)
    html = signed_in(cast.student).get(reverse("bench", args=[pot.pk])).content.decode()
    text = words(html)
    assert re.search(r"Check 2, .*?at most 1\.6 cm wider Tomas L\. Check 1,", text)
    assert "1 struck out" in text
    assert "Upside down" in text
    assert html.count('class="drift-newest"') == html.count('class="drift-before"') == 1
    table = html.split("The same as a table")[1].split("</table>")[0]
    assert words(table).count("1.6 cm wider") == 2


def test_a_check_is_struck_out_from_its_page(cast: School) -> None:
    kept = checked(laid(cast), cast.student)
    assert "This check is wrong" in page(cast.student, "build_check", kept.pk)
    text = words(post(cast.student, "build_check_strike", kept.pk, reason="").content.decode())
    assert "This can't stay empty." in text
    answer = post(cast.student, "build_check_strike", kept.pk, reason="The other pot")
    assert answer["Location"] == reverse("bench", args=[kept.pot_id])
    text = page(cast.teacher, "build_check", kept.pk)
    assert "Struck out. The other pot Ode Amari" in text
    assert "This check is wrong" not in text
    again = post(cast.teacher, "build_check_strike", kept.pk, reason="Twice")
    assert "This check is struck out already." in words(again.content.decode())


def test_a_check_leads_on_where_all_is_as_planned_and_back_to_the_ruler_where_not(
    cast: School,
) -> None:
    for measured, next_thing in ((WITHIN, "Go on with the rows"), (TOO_WIDE, "Check again")):
        made = checked(laid(cast, 4, f"A pot for {next_thing}"), cast.student, measured)
        html = signed_in(cast.student).get(made.get_absolute_url()).content.decode()
        assert re.search(rf'<a class="button" href="[^"]+">{next_thing}</a>', html)
