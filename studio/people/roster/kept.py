"""Uploaded rosters between preview and apply: private, named by content and person, for a day."""

import hashlib
import re
from datetime import datetime, timedelta

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from studio.errors import Conflict
from studio.people.models import User

FOLDER = "roster"
KEPT_FOR = timedelta(days=1)
_DIGEST = re.compile(r"[0-9a-f]{64}")


def keep_upload(*, person: User, bundle: bytes, at: datetime) -> str:
    """Store the bytes and answer their digest."""
    drop_old_uploads(at=at)
    digest = hashlib.sha256(bundle).hexdigest()
    drop_upload(person=person, digest=digest)
    default_storage.save(_name(person, digest), ContentFile(bundle))
    return digest


def kept_upload(*, person: User, digest: str) -> bytes:
    """Exactly the bytes that this person uploaded."""
    gone = Conflict(_("This roster is no longer kept. Upload it again."))
    if not _DIGEST.fullmatch(digest):
        raise gone
    try:
        with default_storage.open(_name(person, digest)) as kept:
            bundle: bytes = kept.read()
    except FileNotFoundError:
        raise gone from None
    if hashlib.sha256(bundle).hexdigest() != digest:
        raise gone
    return bundle


def drop_upload(*, person: User, digest: str) -> None:
    default_storage.delete(_name(person, digest))


def drop_old_uploads(*, at: datetime) -> None:
    """Whatever nobody applied within a day."""
    try:
        _folders, names = default_storage.listdir(FOLDER)
    except FileNotFoundError:
        return
    for name in names:
        path = f"{FOLDER}/{name}"
        try:
            if default_storage.get_modified_time(path) < at - KEPT_FOR:
                default_storage.delete(path)
        except FileNotFoundError:  # somebody else dropped it
            continue


def _name(person: User, digest: str) -> str:
    return f"{FOLDER}/{person.pk.hex}-{digest}.zip"
