"""After it, a load finds all that is compiled ready."""

import subprocess
import sys

from studio.kilns.packing.warm import warm

TOLD = """
from studio.kilns.packing.descent import descend
from studio.kilns.packing.overlap import least_change
from studio.kilns.packing.warm import warm
before = len(descend.signatures), len(least_change.signatures)
warm()
print(*before, len(descend.signatures), len(least_change.signatures))
"""


def test_what_loads_call_is_ready() -> None:
    done = subprocess.run([sys.executable, "-c", TOLD], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["0", "0", "1", "1"]


def test_more_pots_wait_than_fit() -> None:
    """Else nothing would be pushed apart, and nothing compiled."""
    assert all(each.unplaced and each.layers for each in warm())
