"""What may run together on one supply, what opens where it may not, and what to switch off then."""

from trailerlib.studies.together.limits import Limit
from trailerlib.studies.together.result import Combination, Forbidden, Start, Together, Trip
from trailerlib.studies.together.solved import ask, of
from trailerlib.studies.together.switches import Switch

__all__ = ["Combination", "Forbidden", "Limit", "Start", "Switch", "Together", "Trip", "ask", "of"]
