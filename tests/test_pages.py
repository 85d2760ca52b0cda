"""What holds for every page: few queries however many rows, no raw number, forms that work
without JavaScript, something to read where there is nothing yet.
"""

import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.template.base import VariableNode
from django.template.context import Context
from django.test.utils import CaptureQueriesContext

from planning.models import Assignment
from studio.people.models import Role, Section, User
from tests.cast import person, signed_in
from tests.markup import forms_in
from tests.routes import pages_for
from tests.school_size import a_school, fill
from tests.world import World

ROLES = ("head", "teacher", "technician", "student")
# The pages of a technician are mostly those of a teacher; so are those of a head, which are counted
# in the long run.
COUNTED = (pytest.param("head", marks=pytest.mark.slow), "teacher", "student")
MOST_QUERIES = 15


def queries(walked: World, who: str) -> dict[str, int]:
    """How many each page of a role makes, the second time it is opened."""
    client, counted = walked.client(who), {}
    for line in pages_for(who):
        address = line.address(walked.things)
        client.get(address)
        with CaptureQueriesContext(connection) as captured:
            assert client.get(address).status_code == 200, address
        counted[str(line)] = len(captured)
    return counted


@pytest.mark.both_databases
@pytest.mark.parametrize("who", COUNTED)
def test_a_page_makes_as_few_queries_for_400_pieces_as_for_24(who: str, walked: World) -> None:
    assignment = Assignment.objects.get(pk=walked.things["assignment"])
    fill(assignment, 23)
    few = queries(walked, who)
    fill(assignment, 376)
    many = queries(walked, who)
    assert {page: n for page, n in many.items() if n != few[page]} == {}
    assert {page: n for page, n in many.items() if n > MOST_QUERIES} == {}


@pytest.mark.slow
@pytest.mark.both_databases
@pytest.mark.parametrize("who", ["head", "teacher"])
def test_a_page_makes_as_few_queries_for_twelve_classes_as_for_one(who: str, walked: World) -> None:
    few = queries(walked, who)
    a_school(Assignment.objects.get(pk=walked.things["assignment"]))
    many = queries(walked, who)
    assert {page: n for page, n in many.items() if n != few[page]} == {}


@pytest.fixture
def raw_numbers(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What templates print that is no text yet: measures and dates that went through no filter."""
    found: list[str] = []
    render = VariableNode.render

    def watched(self: VariableNode, context: Context) -> Any:
        value = self.filter_expression.resolve(context)
        if isinstance(value, float | Decimal | datetime.date | datetime.time):
            found.append(f"{{{{ {self.filter_expression} }}}} is {value!r}")
        return render(self, context)

    monkeypatch.setattr(VariableNode, "render", watched)
    return found


@pytest.mark.parametrize("who", ROLES)
def test_no_page_prints_a_measure_or_a_date_raw(
    who: str, walked: World, raw_numbers: list[str]
) -> None:
    client = walked.client(who)
    for line in pages_for(who):
        client.get(line.address(walked.things))
    assert set(raw_numbers) == set()


@pytest.mark.parametrize("who", [*ROLES, "nobody", "signed_out"])
def test_every_form_can_be_sent_without_javascript(who: str, walked: World) -> None:
    client, stuck = walked.client(who), []
    for line in pages_for(who):
        html = client.get(line.address(walked.things)).content.decode()
        for form in forms_in(html):
            token = any(each.name == "csrfmiddlewaretoken" for each in form.controls)
            if not form.submits or (form.method == "post") != token:
                stuck.append(f"{line}: {form.method} {form.action}")
            files_ = any(each.kind == "file" for each in form.controls)
            if files_ and form.encoding != "multipart/form-data":
                stuck.append(f"{line}: {form.action} sends no files")
    assert stuck == []


EMPTY = {
    "head": (
        "clay_room",
        "kiln_room",
        "kilns",
        "programs",
        "slot_new",
        "glazes",
        "kiln_schedule",
        "ledger",
        "today",
        "classes",
        "briefs",
        "plans",
        "bodies",
        "marking",
        "rubrics",
        "people",
        "past_keeping",
        "prints",
        "settings",
        "tokens",
    ),
    "teacher": (
        "clay_room",
        "kiln_room",
        "kilns",
        "programs",
        "slot_new",
        "glazes",
        "kiln_schedule",
        "ledger",
        "today",
        "classes",
        "briefs",
        "plans",
        "bodies",
        "source_forms",
        "marking",
        "rubrics",
        "prints",
        "tokens",
    ),
    "technician": (
        "clay_room",
        "kiln_room",
        "kilns",
        "programs",
        "slot_new",
        "glazes",
        "kiln_schedule",
        "ledger",
        "today",
        "classes",
        "bodies",
        "prints",
        "tokens",
    ),
    "student": ("pieces",),
}


@pytest.mark.parametrize("role", list(EMPTY))
def test_a_page_with_nothing_on_it_says_what_to_do(role: str, walked: World) -> None:
    """In a studio of one day: every list says a sentence instead of showing an empty table."""
    there = walked.cast.elsewhere
    Section.objects.filter(pk=there.section.pk).delete()
    User.objects.filter(pk=there.student.pk).delete()
    who = there.head if role == "head" else person(there.head, Role(role), "Wim", "Aster")
    client, silent = signed_in(who), []
    for line in pages_for(role):
        if line.name not in EMPTY[role] or line.of:
            continue
        html = client.get(line.address({})).content.decode()
        main = html[html.index("<main") : html.index("</main>")]
        if "<p" not in main.partition("</h1>")[2]:
            silent.append(line.name)
    assert silent == []
