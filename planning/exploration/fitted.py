"""What likeness, ideas and copies were fitted to: `python -m tests.study.fit` prints these again.

300 made-up forms (`tests.planning.exploration.ideas.FITTED`, seeds from 100000), each redrawn five
times with other tools on other papers, by hands from steady to shaky. Nothing that checks them was
used.
"""

from typing import Final

WEIGHTS: Final = (-32.19, 2.363, -10.004)
OFFSET: Final = 24.20
"""Of the three distances of `similarity.compared`, in its order."""

SAME: Final = 0.3
"""Drawings that are so likely one idea in the mean are one."""

SAME_FOR_FEWEST: Final = 0.02
SAME_FOR_MOST: Final = 0.65
"""Between what comes out with these two lie 88 % of the true numbers of the sets fitted to."""

COPY: Final = 0.9
"""Where strokes coincide so far, a drawing is the same again: of 400 careful redrawings one does,
since a false word is worse than a copy that goes through."""
