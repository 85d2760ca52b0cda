"""Names as people write them, and sign-in names made from them. No database."""

import itertools
import re
import unicodedata
from collections.abc import Container, Iterator

SIGN_IN_NAME_LENGTH = 150
_FROM_A_NAME = 24
_PLAIN_LETTERS = str.maketrans({"ß": "ss", "ø": "o", "đ": "d", "ł": "l", "æ": "ae", "œ": "oe"})
_SIGN_IN_NAME = re.compile(r"[\w.@+'\-]+")


def tidy(text: str) -> str:
    """One line in composed characters: no control characters, single spaces."""
    visible = "".join(
        " " if unicodedata.category(char) in {"Cc", "Cs", "Zl", "Zp"} else char
        for char in unicodedata.normalize("NFC", text)
    )
    return " ".join(visible.split())


def tidy_text(text: str) -> str:
    """Several lines in composed characters: line ends alike, no other control characters."""
    lines = unicodedata.normalize("NFC", text).replace("\r\n", "\n").replace("\r", "\n")
    return "".join(
        char for char in lines if char in "\n\t" or unicodedata.category(char) not in {"Cc", "Cs"}
    ).strip()


def sign_in_name(text: str) -> str:
    """As it is kept and compared: small letters, so that a phone's capital doesn't matter."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", text.strip()).lower())


def is_sign_in_name(text: str) -> bool:
    return len(text) <= SIGN_IN_NAME_LENGTH and bool(_SIGN_IN_NAME.fullmatch(text))


def sign_in_name_from(given: str, family: str) -> str:
    """`Zoë Ångström-Lee` becomes `zoe.angstromlee`: plain letters that any keyboard has."""
    parts = (_plain(given), _plain(family))
    return ".".join(part[:_FROM_A_NAME] for part in parts if part) or "person"


def names_like(wanted: str) -> Iterator[str]:
    """The wanted name, then `wanted2`, `wanted3` …"""
    yield wanted
    for number in itertools.count(2):
        yield f"{wanted[: SIGN_IN_NAME_LENGTH - 8]}{number}"


def unique_name(wanted: str, taken: Container[str]) -> str:
    """The wanted name, else the first of `wanted2`, `wanted3` … that is free."""
    return next(name for name in names_like(wanted) if name not in taken)


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text.lower().translate(_PLAIN_LETTERS))
    kept = "".join(char for char in letters if char.isalnum())
    # A name in another script stays in that script: its owner can type it.
    return re.sub(r"[^a-z0-9]", "", kept) or kept
