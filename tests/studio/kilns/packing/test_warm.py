"""After it, a load finds all that is compiled ready."""

import subprocess
import sys

TOLD = """
from numba.core.dispatcher import Dispatcher
from studio.kilns.packing import descent, overlap
from studio.kilns.packing.warm import warm
warm()
of_both = {**vars(descent), **vars(overlap)}
kept = {name: each for name, each in of_both.items() if isinstance(each, Dispatcher)}
print(len(kept), *(name for name, each in kept.items() if not each.signatures))
"""


def test_nothing_is_left_to_compile() -> None:
    done = subprocess.run([sys.executable, "-c", TOLD], capture_output=True, text=True, check=True)
    count, *cold = done.stdout.split()
    assert int(count) > 5
    assert cold == []
