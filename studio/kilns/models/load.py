from django.db import models

from studio.people.models import User
from studio.people.models.base import Identified
from studio.ware.models import Pot

from .slot import Slot


class Load(Identified):
    """What goes into a slot. `posts_mm` are the heights of its layers from the bottom up; the top
    layer stands free below the lid and has None. `parts` says which shelf each of them is, empty
    where all are whole: then the left halves, then the right ones follow. Both columns stand on the
    last whole layer; its own posts are under the left one, `right_post_mm` under the right one.
    """

    slot = models.OneToOneField(Slot, on_delete=models.CASCADE, related_name="load")
    posts_mm = models.JSONField(default=list)
    parts = models.JSONField(default=list)
    right_post_mm = models.FloatField(null=True)

    def __str__(self) -> str:
        return f"load of {self.slot}"


class Placement(Identified):
    """One pot on one shelf layer, at the size that was packed, in mm from the shelf's centre; x to
    the right, y to the back, turn counter-clockwise. `done` once the load was unloaded; a pot that
    is taken out before has no row any more. A pot is in one open load at most.

    A guest stands in or on its `host`, at the host's place; a host has no host. `together_mm`, of a
    host, is how high it is with all its guests, as measured.
    """

    load = models.ForeignKey(Load, on_delete=models.CASCADE, related_name="placements")
    pot = models.ForeignKey(Pot, on_delete=models.PROTECT, related_name="placements")
    layer = models.PositiveSmallIntegerField()
    x_mm = models.FloatField()
    y_mm = models.FloatField()
    turn_deg = models.FloatField(default=0.0)
    front_mm = models.FloatField()
    depth_mm = models.FloatField()
    height_mm = models.FloatField()
    # A load goes with all its rows; a host by itself doesn't while guests stand in it.
    host = models.ForeignKey(
        "self", on_delete=models.RESTRICT, null=True, blank=True, related_name="guests"
    )
    together_mm = models.FloatField(null=True, blank=True)
    pinned = models.BooleanField(default=False)
    done = models.BooleanField(default=False)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("layer", "at", "pk")
        constraints = (
            models.UniqueConstraint("load", "pot", name="placement_once_a_load"),
            models.UniqueConstraint(
                "pot", condition=models.Q(done=False), name="placement_in_one_open_load"
            ),
            models.CheckConstraint(
                condition=models.Q(host__isnull=True) | models.Q(together_mm__isnull=True),
                name="placement_together_is_of_a_host",
            ),
            models.CheckConstraint(
                condition=~models.Q(host=models.F("pk")), name="placement_not_its_own_host"
            ),
        )

    def __str__(self) -> str:
        return f"{self.pot} in {self.load}"
