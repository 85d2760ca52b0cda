"""How long wrong passwords make somebody wait. No database."""

from datetime import timedelta

FREE_GUESSES = 5
FIRST_WAIT = timedelta(seconds=30)
LONGEST_WAIT = timedelta(minutes=15)
FORGOTTEN_AFTER = timedelta(days=1)


def wait_after(wrong: int) -> timedelta:
    """Nothing for the first guesses, then 30 s, 1 min, 2 min … 15 min."""
    if wrong < FREE_GUESSES:
        return timedelta(0)
    doublings = min(wrong - FREE_GUESSES, 10)
    return min(FIRST_WAIT * int(2**doublings), LONGEST_WAIT)
