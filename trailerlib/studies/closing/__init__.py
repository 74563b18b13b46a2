"""Can the walls close? What to measure before they do, and what the readings say is wrong."""

from trailerlib.studies.closing.question import answer

__all__ = ["answer"]
