"""First passwords: read off a card, typed on a phone, changed at once."""

import secrets
from datetime import datetime, timedelta

LASTS = timedelta(days=14)
# Without 0 o, 1 i l, 2 z, 5 s, 6 b 8, 9 g q, u v nothing is taken for something else, and few
# vowels spell few words. Eight of 19 are 34 bits: ample where guesses are limited.
LETTERS = "acdefhjkmnprtwxy347"
GROUP = 4


def first_password() -> str:
    """Two groups of four, such as `k7mf-3wpx`."""
    chars = [secrets.choice(LETTERS) for _ in range(2 * GROUP)]
    return f"{''.join(chars[:GROUP])}-{''.join(chars[GROUP:])}"


def as_printed(typed: str) -> str:
    """A first password as the card has it, however a phone wrote it: `K7mf 3wpx`, `k7mf3wpx`."""
    chars = "".join(char for char in typed.lower() if char.isalnum())
    if len(chars) != 2 * GROUP or not set(chars) <= set(LETTERS):
        return typed
    return f"{chars[:GROUP]}-{chars[GROUP:]}"


def end_of_first_password(at: datetime) -> datetime:
    return at + LASTS
