"""The mains side as one path: pedestal or generator, cord, inlet, main breaker, panel, branch, receptacle."""

from trailerlib.studies.mains_side.checks import checks
from trailerlib.studies.mains_side.kept import rests_on, sides
from trailerlib.studies.mains_side.said import Branch, MainsSide
from trailerlib.studies.mains_side.short import far_ends_a, prospective_a
from trailerlib.studies.mains_side.sizes import worst_of_each
from trailerlib.studies.mains_side.solved import solve
from trailerlib.studies.mains_side.tried import Sized
from trailerlib.studies.mains_side.way import AcStep, path_of

__all__ = [
    "AcStep",
    "Branch",
    "MainsSide",
    "Sized",
    "checks",
    "far_ends_a",
    "path_of",
    "prospective_a",
    "rests_on",
    "sides",
    "solve",
    "worst_of_each",
]
