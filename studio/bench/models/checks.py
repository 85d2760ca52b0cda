from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified
from studio.ware.models import Pot


class BuildCheckQuerySet(models.QuerySet["BuildCheck"]):
    def visible_to(self, person: User) -> Self:
        """Those of the pots that the person sees."""
        return self.filter(pot__in=Pot.objects.visible_to(person).order_by())

    def standing(self) -> Self:
        return self.filter(struck_out_at__isnull=True)


class BuildCheck(Identified):
    """A pot under way against its plan. Never changed; a wrong one is struck out with a reason.

    `places` has, for each place in the order given, what was `measured`, what the plan has
    there (`planned`), the width that a picture shows (`width_mm`), and the answer: `deviation_mm`,
    `action`, `darts`, `code` and `values` of `planning.bench.sentences`.
    """

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="build_checks")
    places = models.JSONField()
    computation = models.CharField(max_length=40)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    struck_out_at = models.DateTimeField(null=True, blank=True)
    struck_out_by = models.ForeignKey(
        User, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    reason = models.CharField(_("why it is struck out"), max_length=400, blank=True)

    objects = BuildCheckQuerySet.as_manager()

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return f"{self.pot} build check"

    @property
    def worst_mm(self) -> float:
        """The deviation that is farthest from nothing, with its sign."""
        return max((float(each["deviation_mm"]) for each in self.places), key=abs)

    def get_absolute_url(self) -> str:
        return reverse("build_check", args=[self.pk])
