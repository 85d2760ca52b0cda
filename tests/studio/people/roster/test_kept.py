"""An uploaded roster between its preview and being applied."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.storage import default_storage

from studio.errors import Conflict
from studio.people.roster.kept import drop_old_uploads, keep_upload, kept_upload
from tests.cast import NOW, School
from tests.studio.people.roster.rosters import TWO_CLASSES, apply, bundle


@pytest.mark.django_db
@pytest.mark.both_databases
class TestKept:
    def test_an_upload_is_its_person_s_own_and_goes_when_applied(self, cast: School) -> None:
        upload = bundle(**TWO_CLASSES)
        digest = keep_upload(person=cast.head, bundle=upload, at=NOW)
        with pytest.raises(Conflict, match="no longer kept"):
            kept_upload(person=cast.elsewhere.head, digest=digest)
        apply(cast, upload)
        with pytest.raises(Conflict, match="Upload it again"):
            kept_upload(person=cast.head, digest=digest)

    @pytest.mark.parametrize("digest", ["", "../../etc/passwd", "0" * 63, "G" * 64, "\0" * 64])
    def test_a_made_up_digest_is_refused(self, cast: School, digest: str) -> None:
        with pytest.raises(Conflict, match="no longer kept"):
            kept_upload(person=cast.head, digest=digest)

    def test_bytes_changed_on_disk_are_not_applied(self, cast: School) -> None:
        digest = keep_upload(person=cast.head, bundle=bundle(**TWO_CLASSES), at=NOW)
        Path(default_storage.path(f"roster/{cast.head.pk.hex}-{digest}.zip")).write_bytes(b"PK")
        with pytest.raises(Conflict, match="no longer kept"):
            kept_upload(person=cast.head, digest=digest)

    def test_uploads_that_nobody_applied_go_after_a_day(self, cast: School) -> None:
        digest = keep_upload(person=cast.head, bundle=bundle(**TWO_CLASSES), at=NOW)
        name = f"roster/{cast.head.pk.hex}-{digest}.zip"
        written = default_storage.get_modified_time(name)
        drop_old_uploads(at=written + timedelta(hours=23))
        assert default_storage.exists(name)
        drop_old_uploads(at=written + timedelta(hours=25))
        assert not default_storage.exists(name)
