"""Rosters: zips and files together."""

import pytest

from studio.errors import Refused
from studio.people.roster.files import MOST_IN_A_FILE, MOST_UPLOADED, packed
from studio.people.roster.reading import roster_in
from tests.studio.people.roster.rosters import (
    TWO_CLASSES,
    USERS,
    bundle,
    zipped,
)


class TestBundles:
    def test_a_bomb_is_refused_before_it_unpacks(self) -> None:
        bomb = zipped({"users.csv": b"0" * (MOST_IN_A_FILE + 1)})
        assert len(bomb) < 100_000
        with pytest.raises(Refused, match="larger than 20 MB"):
            roster_in(bomb)

    def test_many_files_that_are_large_together_are_refused(self) -> None:
        half = b"0" * (MOST_IN_A_FILE // 2 + 1)
        with pytest.raises(Refused, match="larger than 20 MB"):
            roster_in(zipped({"users.csv": half, "classes.csv": half}))

    def test_an_upload_too_large_is_refused(self) -> None:
        with pytest.raises(Refused, match="larger than 10 MB"):
            packed([("list.csv", b"0" * (MOST_UPLOADED + 1))])

    def test_a_zip_of_too_many_files_is_refused(self) -> None:
        with pytest.raises(Refused, match="more than 200 files"):
            roster_in(zipped({f"{number}.csv": "" for number in range(201)}))

    @pytest.mark.parametrize(
        "broken",
        [
            b"PK\x03\x04 not really",
            zipped({"users.csv": USERS})[:-30],
            zipped({"users.csv": USERS * 50}).replace(b"users.csv", b"users.csv", 1)[:60]
            + b"\0" * 40
            + zipped({"users.csv": USERS * 50})[100:],
        ],
    )
    def test_a_broken_zip_is_refused(self, broken: bytes) -> None:
        with pytest.raises(Refused, match="The zip can't be opened"):
            roster_in(broken)

    def test_a_zip_with_a_password_is_refused(self) -> None:
        locked = bytearray(zipped({"users.csv": USERS}))
        for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            locked[locked.index(mark) + offset] |= 1
        with pytest.raises(Refused, match="without a password"):
            roster_in(bytes(locked))

    def test_a_name_twice_is_refused(self) -> None:
        with pytest.raises(Refused, match=r"“users\.csv” is in the zip twice"):
            roster_in(zipped({"a/users.csv": USERS, "b/users.csv": USERS}))

    def test_a_zip_without_a_roster_is_refused(self) -> None:
        with pytest.raises(Refused, match="No roster was found"):
            roster_in(zipped({"orgs.csv": "sourcedId,name\n", "demographics.csv": "a\n"}))
        with pytest.raises(Refused, match="No roster was found"):
            roster_in(zipped({"picture.png": b"\x89PNG"}))

    def test_the_same_files_make_the_same_bytes(self) -> None:
        assert bundle(**TWO_CLASSES) == bundle(**TWO_CLASSES)

    def test_a_zip_beside_other_files_is_refused(self) -> None:
        with pytest.raises(Refused, match="either one zip or single files"):
            packed([("a.zip", zipped({"users.csv": USERS})), ("classes.csv", b"x")])
