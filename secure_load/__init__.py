"""secure_load: will the weights in a small sailing boat stay where they were stowed?"""

from __future__ import annotations

import os

__version__ = "0.1.0"

# The engine's matrix products are many and small: a linear algebra library that shares each of them out over
# all processors spends more on waiting than on sums (a check took 1.6 times as long). Whoever sets these
# variables, or has numpy loaded already, is left alone.
for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS"):
    os.environ.setdefault(_name, "1")
