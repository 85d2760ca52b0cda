"""Every text that the database can hold has somebody who thought about it."""

from typing import Any

import pytest
from django.apps import apps
from django.db import models

from studio.keeping.fates import FATES
from studio.keeping.tables import kept_models
from studio.people.models import User

NO_WORDS = (
    models.BooleanField,
    models.DateField,
    models.TimeField,
    models.DecimalField,
    models.FloatField,
    models.IntegerField,
    models.UUIDField,
    models.ForeignKey,
)


def words_of(model: type[models.Model]) -> set[str]:
    """Fields in which letters can stand: whatever isn't known to hold numbers, dates or ids."""
    return {f.name for f in model._meta.local_fields if not isinstance(f, NO_WORDS)}


@pytest.mark.parametrize("model", kept_models(), ids=lambda each: each._meta.label)
def test_it_says_what_happens_to_every_text_of_a_table(model: type[models.Model]) -> None:
    """Whoever adds a text or a JSON field to a model says here whether it outlives its writer."""
    fate = FATES.get(model._meta.label)
    if fate is None:
        assert words_of(model) == set(), "name it in studio/keeping/fates.py"
        return
    named = [*fate.emptied, *fate.by_hand, *fate.kept]
    assert len(named) == len(set(named))
    assert set(named) == (set() if fate.gone else words_of(model))


def test_it_names_no_table_that_is_not_there() -> None:
    assert FATES.keys() - {model._meta.label for model in kept_models()} == set()


@pytest.mark.parametrize("label", [label for label, fate in FATES.items() if fate.path])
def test_its_paths_lead_to_people(label: str) -> None:
    at: Any = apps.get_model(label)
    path = FATES[label].path
    for step in () if path == "pk" else path.split("__"):
        at = at._meta.get_field(step).related_model
    assert at is User


def test_what_is_only_kept_or_replaced_by_hand_is_not_emptied_too() -> None:
    without_path = {label for label, fate in FATES.items() if not fate.path}
    assert [label for label in without_path if FATES[label].emptied or FATES[label].gone] == []
