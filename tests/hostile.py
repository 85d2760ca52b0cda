"""Values that people, browsers and attackers send and that nobody expects."""

import random

LONG = "long " * 2048
VALUES = [
    "",
    " ",
    "\x00",
    "a\x00b",
    "\ud7ff\ufffe",
    "-1",
    "0",
    "1e400",
    "-1e-400",
    "nan",
    "inf",
    "-Infinity",
    "9" * 40,
    "9" * 50 + ".9",
    "0." + "0" * 40 + "1",
    "1,5",
    "1/0",
    "11 1/0 in",
    "١٢٣",
    "½",
    "0x10",
    "true",
    "null",
    "[]",
    "{}",
    "0001-01-01",
    "9999-12-31",
    "2026-02-30",
    "2026-03-29T02:30",
    "00000000-0000-0000-0000-000000000000",
    "not-a-uuid",
    "../../etc/passwd",
    "C:\\windows",
    "<script>alert(1)</script>",
    "{{ 7|add:7 }}",
    "%s%n%(x)s",
    "' OR 1=1 --",
    "=HYPERLINK(1)",
    "\u202etxt.exe",
    "שלום \u0627\u0644",
    "🏺" * 300,
    "e\u0301" * 500,
    "a\r\nSet-Cookie: x=y",
    "//elsewhere.example/",
    "javascript:alert(1)",
    LONG,
    "x" * 100_000,
]
FILES = [
    ("", b"x"),
    ("a\x00b.jpg", b"\xff\xd8\xff\xe0"),
    ("../../x.png", b"\x89PNG\r\n\x1a\n"),
    ("🏺" * 200 + ".csv", b"a,b\n\x00,\xff\n"),
    ("empty.zip", b""),
    ("cut.zip", b"PK\x03\x04\x14\x00\x00\x00"),
    ("rows.csv", b"\xef\xbb\xbfgiven_name;family_name;class\r\n" + b'"' * 3001),
    ("plan.pdf", b"%PDF-1.7\n1 0 obj\n<<"),
]


def some(count: int, seed: str) -> list[str]:
    """A few of them, the same ones each time for the same field."""
    return random.Random(seed).sample(VALUES, count)
