"""Will the roof carry it? Bows, openings, what they are clamped through, and the ways out."""

from trailerlib.studies.roof.question import answer

__all__ = ["answer"]
