"""What builds in tests are about."""

from app.core.phases.routes import Route
from app.core.phases.swap import chosen_swap

NO_ENGINE = chosen_swap(Route.NONE, Route.NONE, new_engine=False, gearbox=False)
"""No engine leaves the vehicle: only steps, and the gates of start and drive."""
ENGINE_UP = chosen_swap(Route.ENGINE_UP, Route.ENGINE_UP, new_engine=True, gearbox=True)
"""One engine up and out, another one in; the gearbox stays."""
TOGETHER_UP = chosen_swap(Route.TOGETHER_UP, Route.TOGETHER_UP, new_engine=True, gearbox=True)
"""Engine and gearbox up and out together, and another engine with the gearbox in."""
