"""secure_load: will the weights in a small sailing boat stay where they were stowed?

For scripts: ``read_boat(path)``, ``check_boat(boat)`` and ``float_report(boat)``. They are loaded when first used.
"""

from __future__ import annotations

import logging
import os
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from secure_load.afloat.report import float_report
    from secure_load.boat.file import read_boat
    from secure_load.check.check import check_boat

__all__ = ["check_boat", "float_report", "read_boat"]

__version__ = "0.2.0"

# The engine's matrix products are many and small: a linear algebra library that shares each of them out over
# all processors spends more on waiting than on sums (a check took 1.6 times as long). Whoever sets these
# variables, or has numpy loaded already, is left alone.
for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS"):
    os.environ.setdefault(_name, "1")


def __getattr__(name: str) -> Any:
    """One of the public functions, imported when it is asked for: ``--help`` must not wait for the engine."""
    if name not in __all__:
        raise AttributeError(f"module 'secure_load' has no attribute '{name}'")
    from secure_load.afloat.report import float_report
    from secure_load.boat.file import read_boat
    from secure_load.check.check import check_boat

    return {"check_boat": check_boat, "float_report": float_report, "read_boat": read_boat}[name]


# Errors are logged with their tracebacks; nothing is printed unless somebody asks for the log.
logging.getLogger(__name__).addHandler(logging.NullHandler())
