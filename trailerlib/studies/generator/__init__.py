"""Which generator: what is asked of it, what it gives where the trailer stands, and each motor's start on it."""

from trailerlib.studies.generator.question import ClassBar, GeneratorPicture, answer
from trailerlib.studies.generator.site import opening_centre, site_factors
from trailerlib.studies.generator.start_case import StartCase, motors, start_case

__all__ = [
    "ClassBar",
    "GeneratorPicture",
    "StartCase",
    "answer",
    "motors",
    "opening_centre",
    "site_factors",
    "start_case",
]
