"""Will it stay cool, and is there air? The heat of the box, the cooler, the cold night, the sleepers' air."""

from trailerlib.studies.cooling.question import answer

__all__ = ["answer"]
