"""Photos of pots, asked for before every firing: a pot that breaks is marked from its last ones."""

from datetime import datetime

from django.core.files.base import File
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.services import receive_image
from studio.ware.models import Occasion, Pot, PotPhoto

from .locking import locked_pot

MOST_PHOTOS = 60


def add_pot_photo(
    *, pot: Pot, occasion: str, file: File[bytes], by: User, at: datetime
) -> PotPhoto:
    """One more photo of the pot, also of one that broke. The same photo sent twice stays one."""
    if occasion not in Occasion.values:
        raise Refused(_("Say when the photo was taken; choose from the list."), field="occasion")
    made: list[PotPhoto] = []

    def attach(image: StoredImage) -> None:
        held = locked_pot(pot, by)
        _make_room(held, image)
        photo = PotPhoto.objects.create(pot=held, image=image, occasion=occasion, at=at)
        record(
            studio=held.studio,
            by=by,
            action="photo of a pot added",
            subject=held,
            after={"occasion": occasion},
        )
        made.append(photo)

    receive_image(studio=pot.studio, by=by, file=file, at=at, field="photos", attach=attach)
    return made[0]


def _make_room(pot: Pot, image: StoredImage) -> None:
    here = PotPhoto.objects.filter(pot=pot)
    # One that could not be read doesn't count: the same file may be read the next time.
    twins = here.filter(image__original_sha256=image.original_sha256)
    if twins.exclude(image__state=StoredImage.State.REFUSED).exists():
        raise Refused(_("This photo is here already."), field="photos")
    if here.count() >= MOST_PHOTOS:
        message = _("A pot holds at most %(most)d photos.")
        raise Refused(message % {"most": MOST_PHOTOS}, field="photos")
