"""The rubric editor: rows come and go without a script, and nothing typed is lost on the way."""

from typing import Any

import pytest

from assessments.models import Rubric
from assessments.selectors.rubrics import newest_version
from assessments.services.rubrics import create_rubric
from tests.assessments.work import criteria, the_rubric, written
from tests.cast import NOW, School, signed_in
from tests.markup import forms_in

pytestmark = pytest.mark.django_db


def text_of(response: Any) -> str:
    return str(response.content.decode())


def filled(page: str) -> dict[str, str]:
    """The editor's form as it stands."""
    [form] = [each for each in forms_in(page) if "criteria" in each.names]
    values = {name: sent[0] for name, sent in form.filled().items() if sent}
    # A browser drops the line end with which Django begins a textarea.
    return {
        name: value.removeprefix("\n")
        for name, value in values.items()
        if name not in {"change", "keep"}
    }


def test_the_list_makes_the_shipped_rubric_only_when_asked(cast: School) -> None:
    client = signed_in(cast.teacher)
    assert "No rubric yet" in text_of(client.get("/rubrics/"))
    assert not Rubric.objects.exists()
    page = text_of(client.post("/rubrics/", follow=True))
    assert "The coil pot" in page
    client.post("/rubrics/")
    assert Rubric.objects.count() == 1


def test_a_rubric_is_written_row_by_row(cast: School) -> None:
    client = signed_in(cast.teacher)
    page = text_of(client.get("/rubrics/new/"))
    data = filled(page) | {"title": "Lids", "c0-title": "fit", "c0-l0-descriptor": "It closes."}
    for change in ("add", "remove-0-3", "remove-0-2", "add-0", "remove-0-2"):
        page = text_of(client.post("/rubrics/new/", data | {"change": change}))
        data = filled(page)
    assert (data["criteria"], data["c0-levels"], data["c1-levels"]) == ("2", "2", "4")
    assert (data["title"], data["c0-l0-descriptor"]) == ("Lids", "It closes.")
    assert not Rubric.objects.exists()
    data |= {"c0-l1-descriptor": "It lies on top.", "c1-title": "knob"}
    data |= {f"c1-l{n}-descriptor": f"Knob, {n}" for n in range(4)}
    page = text_of(client.post("/rubrics/new/", data | {"change": "up-1"}))
    data = filled(page)
    assert (data["c0-title"], data["c1-title"]) == ("knob", "fit")
    made = client.post("/rubrics/new/", data | {"keep": "1"})
    assert made.status_code == 302
    seen = criteria(newest_version(Rubric.objects.get(title="Lids")))
    assert [each.title for each in seen] == ["knob", "fit"]
    assert [level.descriptor for level in seen[1].levels] == ["It lies on top.", "It closes."]


def test_what_is_wrong_is_said_at_its_field_and_nothing_is_lost(cast: School) -> None:
    client = signed_in(cast.teacher)
    data = filled(text_of(client.get("/rubrics/new/")))
    data |= {"title": "Lids", "c0-title": "fit", "c0-weight": "heavy", "c0-l0-points": "3"}
    data |= {f"c0-l{n}-descriptor": f"Fit, {n}" for n in range(4)}
    page = text_of(client.post("/rubrics/new/", data))
    assert "This is not a number." in page
    assert filled(page)["c0-l2-descriptor"] == "Fit, 2"
    data["c0-weight"] = "1"
    page = text_of(client.post("/rubrics/new/", data))
    assert page.count("Two levels have the same points. Give each its own.") == 2
    data |= {"c0-l0-points": "0", "c0-l1-points": "0", "c0-levels": "1"}
    assert "2 to 9 levels" in text_of(client.post("/rubrics/new/", data))
    data["criteria"] = "0"
    assert "at least one criterion" in text_of(client.post("/rubrics/new/", data))
    assert not Rubric.objects.exists()


@pytest.mark.parametrize("change", ["", "up-0", "up-9", "remove-9", "remove-0-9", "add-9", "x-y-z"])
def test_a_change_of_somebody_s_own_making_changes_nothing(cast: School, change: str) -> None:
    client = signed_in(cast.teacher)
    data = filled(text_of(client.get("/rubrics/new/")))
    page = text_of(client.post("/rubrics/new/", data | {"change": change}))
    assert filled(page)["criteria"] == "1"


def test_rows_end_somewhere(cast: School) -> None:
    client = signed_in(cast.teacher)
    data = filled(text_of(client.get("/rubrics/new/"))) | {"criteria": "999", "c0-levels": "99999"}
    assert filled(text_of(client.post("/rubrics/new/", data)))["criteria"] == "13"


def test_a_version_in_use_stays_and_its_change_is_the_next(cast: School) -> None:
    version = the_rubric(cast.studio)
    rubric, client = version.rubric, signed_in(cast.teacher)
    where = f"/rubrics/{rubric.pk}/"
    page = text_of(client.get(f"{where}edit/"))
    data = filled(page) | {"c0-weight": "2"}
    assert "is in use" not in page
    kept = text_of(client.post(f"{where}edit/", data, follow=True))
    assert "Kept as version 1." in kept
    assert "weight 2" in kept
    again = text_of(client.post(f"{where}edit/", data | {"c0-weight": "3"}))
    assert "Somebody changed this rubric meanwhile." in again
    assert 'value="3"' in again


def test_versions_can_be_looked_at(cast: School) -> None:
    the_rubric(cast.studio)
    rubric = create_rubric(
        studio=cast.studio, by=cast.teacher, title="Lids", criteria=[written()], at=NOW
    )
    client = signed_in(cast.teacher)
    for asked in ("", "?version=1", "?version=77", "?version=x"):
        assert "What foot shows at 2." in text_of(client.get(f"/rubrics/{rubric.pk}/{asked}"))
    page = client.post(f"/rubrics/{rubric.pk}/put-away/", follow=True)
    assert "Put away. You find it below the list." in text_of(page)
    assert client.post(f"/rubrics/{rubric.pk}/take-out/").status_code == 302


def test_a_title_that_is_taken_is_said_at_the_title(cast: School) -> None:
    the_rubric(cast.studio)
    client = signed_in(cast.teacher)
    data = filled(text_of(client.get("/rubrics/new/"))) | {"title": "the coil pot"}
    data |= {"c0-title": "fit"} | {f"c0-l{n}-descriptor": f"Fit, {n}" for n in range(4)}
    assert "has a rubric “the coil pot” already" in text_of(client.post("/rubrics/new/", data))
