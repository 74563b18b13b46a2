"""Will it tow straight? The weight on coupler, axles and tyres, and what holds heavy things on the road."""

from trailerlib.studies.towing.masses import aboard
from trailerlib.studies.towing.question import answer
from trailerlib.studies.towing.result import Box, Force, Strip, Thing, TowingPicture

__all__ = ["Box", "Force", "Strip", "Thing", "TowingPicture", "aboard", "answer"]
