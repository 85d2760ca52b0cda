"""The calendar as a file, against the text of RFC 5545 and with a reader that isn't its writer."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import icalendar
import pytest
import vobject

from studio.kilns.calendar_file import Event, calendar_file
from studio.kilns.hours import unload_window

AMSTERDAM = ZoneInfo("Europe/Amsterdam")
START = datetime(2026, 3, 28, 20, tzinfo=AMSTERDAM)
END = START.astimezone(UTC) + timedelta(hours=13)
LONG = "Pots: " + ", ".join(f"K7-{n}F" for n in range(60))
ODD = "Öven; with, a \\ and a new\nline, 窯のカレンダー " + "ü" * 60


def event(**changed: Any) -> Event:
    values: dict[str, Any] = {
        "uid": UUID("9c1a6c1e-0d3b-4f0e-8a57-0a8ad2a0c001"),
        "edition": 3,
        "changed_at": datetime(2026, 3, 11, 9, 30, 15, 250, tzinfo=UTC),
        "start": START,
        "end": END,
        "summary": "Tall kiln: bisque firing",
        "description": LONG,
        "address": "https://studio.example/kilns/slots/1/",
    }
    return Event(**values | changed)


def unfolded(file: bytes) -> list[str]:
    """Content lines by hand: RFC 5545, 3.1."""
    assert file.endswith(b"\r\n")
    assert b"\n" not in file.replace(b"\r\n", b"")
    return file.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").decode().split("\r\n")[:-1]


def unescaped(value: str) -> str:
    """TEXT by hand: RFC 5545, 3.3.11."""
    parts = value.split("\\\\")
    plain = (
        part.replace("\\n", "\n").replace("\\N", "\n").replace("\\,", ",").replace("\\;", ";")
        for part in parts
    )
    return "\\".join(plain)


def values(file: bytes) -> dict[str, str]:
    """By name with its parameters; of a name that comes again, the last."""
    return dict(line.split(":", 1) for line in unfolded(file))


@pytest.mark.parametrize("text", [LONG, ODD, "", "a\\nb", ";,;", "é" * 200])
def test_long_lines_are_folded_at_75_octets_and_every_text_comes_back(text: str) -> None:
    """RFC 5545, 3.1: "Lines of text SHOULD NOT be longer than 75 octets, excluding the line break".
    Folding never cuts a character: each line alone is UTF-8.
    """
    file = calendar_file("Kilns", [event(description=text)])
    lines = file.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert [line.decode() for line in lines]
    assert unescaped(values(file)["DESCRIPTION"]) == text


def test_an_event_holds_what_the_rfc_asks_for() -> None:
    """RFC 5545, 3.6.1: UID and DTSTAMP once each; 3.3.5, form 2: a time in UTC ends in Z."""
    lines = unfolded(calendar_file("Kilns", [event()]))
    assert lines[:3] == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Coilcourse//Kiln calendar//EN",
    ]
    assert lines[-1] == "END:VCALENDAR"
    inside = lines[lines.index("BEGIN:VEVENT") + 1 : lines.index("END:VEVENT")]
    kept = dict(line.split(":", 1) for line in inside)
    assert len(kept) == len(inside)
    assert kept == {
        "UID": "9c1a6c1e-0d3b-4f0e-8a57-0a8ad2a0c001",
        "SEQUENCE": "3",
        "DTSTAMP": "20260311T093015Z",
        "DTSTART": "20260328T190000Z",
        # Thirteen hours later, whatever the clocks did on the night of the 29th.
        "DTEND": "20260329T080000Z",
        "SUMMARY": "Tall kiln: bisque firing",
        "DESCRIPTION": LONG.replace(",", "\\,"),
        "URL": "https://studio.example/kilns/slots/1/",
        "STATUS": "CONFIRMED",
        "TRANSP": "TRANSPARENT",
    }


def test_an_independent_reader_reads_the_same() -> None:
    file = calendar_file("Kilns, Brookfield", [event(description=ODD), event(cancelled=True)])
    read = vobject.readOne(file.decode())
    first, second = read.vevent_list
    assert first.dtstart.value == START
    assert first.dtend.value - first.dtstart.value == timedelta(hours=13)
    assert (first.summary.value, first.description.value) == (event().summary, ODD)
    assert (first.status.value, second.status.value) == ("CONFIRMED", "CANCELLED")


def test_the_library_reads_back_what_it_wrote_without_complaint() -> None:
    calendar = icalendar.Calendar.from_ical(calendar_file("Kilns", [event()]))
    [found] = calendar.events
    assert (found.errors, calendar.errors) == ([], [])
    assert (found.start, found.end, found["SEQUENCE"]) == (START, END, 3)


def test_an_event_ends_after_its_start_or_says_no_end() -> None:
    """RFC 5545, 3.8.2.2: it "MUST be later in time than the value of the "DTSTART" property"."""
    for end in (None, START, START - timedelta(minutes=1)):
        assert "DTEND" not in values(calendar_file("Kilns", [event(end=end)]))


def test_a_calendar_without_events_still_holds_a_component() -> None:
    """RFC 5545, 3.6: "component = 1*(eventc / todoc / … / timezonec / …)"."""
    assert "BEGIN:VTIMEZONE" in unfolded(calendar_file("Kilns", []))
    assert vobject.readOne(calendar_file("Kilns", []).decode()).version.value == "2.0"


def test_the_same_events_make_the_same_bytes() -> None:
    assert calendar_file("Kilns", [event()]) == calendar_file("Kilns", [event()])


@pytest.mark.parametrize("cools_h", [0.0, 1.0, 10.0, 33.4])
@pytest.mark.parametrize("minute", [0, 1, 14, 15, 59])
def test_a_window_is_never_earlier_than_what_was_computed(cools_h: float, minute: int) -> None:
    off = datetime(2026, 3, 28, 20, minute, tzinfo=UTC)
    cool = off + timedelta(hours=cools_h)
    first, last = unload_window(off, cool)
    assert timedelta(0) <= first - cool < timedelta(minutes=15)
    # A quarter of the cooling more for a dense load.
    assert timedelta(0) <= last - (off + 1.25 * (cool - off)) < timedelta(minutes=15)
    assert {first.minute % 15, last.minute % 15, first.second} == {0}
