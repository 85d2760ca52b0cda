"""What `similarity` and `ideas` were fitted to: `python -m tests.study.fit` prints these again.

300 made-up forms (`tests.planning.exploration.ideas.FITTED`, seeds from 100000), each redrawn five
times with other tools on other papers. Nothing of what checks them was used.
"""

from typing import Final

WEIGHTS: Final = (-46.06, 4.467, -5.751)
OFFSET: Final = 18.24
SAME: Final = 0.6
SAME_AT_MOST: Final = 0.4
SAME_AT_LEAST: Final = 0.8
"""The same with which as few or as many ideas are found as may be meant."""
COPY: Final = 0.89
