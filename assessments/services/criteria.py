"""The rubric's criteria that a studio begins with."""

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from assessments.models import Criterion
from studio.people.models import Studio
from studio.people.services.checking import locked_studio

SHIPPED = (
    gettext_noop("exploration before commitment"),
    gettext_noop("silhouette control"),
    gettext_noop("joint quality"),
    gettext_noop("rim finish"),
)


def ensure_criteria(*, studio: Studio) -> None:
    """The shipped criteria, for a studio that has none."""
    if Criterion.objects.filter(studio=studio).exists():
        return
    with transaction.atomic():
        locked_studio(studio)
        if not Criterion.objects.filter(studio=studio).exists():
            Criterion.objects.bulk_create(
                Criterion(studio=studio, title=_(title), position=place)
                for place, title in enumerate(SHIPPED, start=1)
            )
