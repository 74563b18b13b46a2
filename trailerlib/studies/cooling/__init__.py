"""Will it stay cool, and is there air? The heat of the box, the cooler, the cold night, the sleepers' air."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer


def answer(design: Design) -> Answer:
    """How warm the box gets, what the cooler and the heater must do, and what the sleepers breathe.

    Parameters
    ----------
    design : the design
    """
    # other questions ask the box how long a load runs, and this question asks some of theirs
    from trailerlib.studies.cooling import question

    return question.answer(design)


__all__ = ["answer"]
