"""Other figures of a clay body count for plans to come, not for those that were sent."""

import pytest
from django.urls import reverse

from planning.models import PlanVersion
from studio.room.models import ClayBody
from tests.world import World

from .test_pages import shown

pytestmark = pytest.mark.django_db


def test_a_plan_that_was_sent_keeps_its_figures(walked: World) -> None:
    plan = PlanVersion.objects.get(pk=walked.things["plan"])
    client, body = walked.client("technician"), walked.things["body"]
    shown(client, reverse("test_bars_use", args=[body]), {"cone": "6"})
    after = PlanVersion.objects.get(pk=plan.pk)
    assert (after.figures, after.inputs, after.issue_g) == (plan.figures, plan.inputs, plan.issue_g)
    assert float(ClayBody.objects.get(pk=body).total_shrinkage_pct) == 10.5
