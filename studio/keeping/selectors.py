"""Who has been gone for longer than the studio keeps work, and what erasing takes."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, DateField, F, Max, Q
from django.db.models.functions import Cast, Coalesce

from planning.models import Piece
from studio.people.models import Studio, User
from studio.people.models.person import UserQuerySet
from studio.uploads.models import StoredImage


def kept_since(studio: Studio, today: date) -> date:
    """Whoever left before this day is past the years that the studio keeps work."""
    years = studio.retention_years
    try:
        return today.replace(year=today.year - years)
    except ValueError:  # the 29th of February
        return today.replace(year=today.year - years, day=28)


def students_past_keeping(studio: Studio, today: date) -> UserQuerySet:
    """Students whose last class ended before that day, each with `last_day`, the longest gone
    first. Whoever never was in a class counts from the day the account was made.

    Nobody is erased because of it: a head reads the list and decides.
    """
    ended = Coalesce("enrolments__left_on", "enrolments__section__ends_on")
    goes_on = Q(enrolments__left_on__isnull=True, enrolments__section__ends_on__isnull=True)
    return (
        User.objects.students()
        .filter(studio=studio, erasure__isnull=True)
        .annotate(
            going_on=Count("enrolments", filter=goes_on & Q(enrolments__isnull=False)),
            last_day=Coalesce(Max(ended), Cast(F("created_at"), DateField())),
        )
        .filter(going_on=0, last_day__lt=kept_since(studio, today))
        .order_by("last_day", "family_name", "given_name", "username")
    )


@dataclass(frozen=True)
class Belongings:
    """What a head reads before erasing a person."""

    pieces: list[Piece]
    pictures: int
    erased: bool


def belongings_of(person: User) -> Belongings:
    """The person's pieces, which stay, and how many pictures go."""
    pieces = Piece.objects.filter(student=person).select_related("assignment__section")
    return Belongings(
        pieces=list(pieces.order_by("created_at")),
        pictures=StoredImage.objects.filter(by=person).count(),
        erased=hasattr(person, "erasure"),
    )
