"""How long tests wait for programs and browsers: longer on a slow machine, and longer while it is busy.

A wait that is too long costs a green run nothing, since it ends with what it waits for.
"""

import hashlib
import os
import time
from functools import cache

MOST = 20.0
"""However busy the machine is, a wait is at most so many times as long, [-]."""

_WORK = bytes(16 << 20)
_WORK_ON_A_QUIET_MACHINE_S = 0.02
"""What hashing `_WORK` takes on a machine with nothing else to do, generously, [s]."""


def seconds(quiet: float) -> float:
    """Return how long to wait for what takes at most so long on a quiet machine, [s]."""
    return quiet * factor()


def milliseconds(quiet: float) -> float:
    """Return the same in the browser driver's unit, [ms]."""
    return 1000 * seconds(quiet)


def factor() -> float:
    """Return how many times as long a wait is now as on a quiet machine, from 1 to `MOST`."""
    return min(MOST, max(1.0, _slowness(), load_per_core()))


def load_per_core() -> float:
    """Return how many processes want each core, over the last minute; 1 where the system does not say."""
    if not hasattr(os, "getloadavg"):
        return 1.0
    return os.getloadavg()[0] / (os.cpu_count() or 1)


@cache
def _slowness() -> float:
    """Return how much slower a fixed piece of work is than on a quiet machine: once, as the tests begin."""
    begun = time.perf_counter()
    hashlib.sha256(_WORK).hexdigest()
    return (time.perf_counter() - begun) / _WORK_ON_A_QUIET_MACHINE_S
