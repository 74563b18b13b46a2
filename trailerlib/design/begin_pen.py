"""How the lines of a begun design file are written: quantities in its units, and the mark of what was not asked."""

from __future__ import annotations

from trailerlib import units
from trailerlib.design.begin_answers import Answers

MARK = "assumed"


class Pen:
    """Writes lines of the file; subclasses say which."""

    def __init__(self, answers: Answers) -> None:
        self.ask = answers

    def kept(self, key: str, value: str) -> str:
        """A line that was not asked, marked."""
        return f"{key} = {value}  # {MARK}"

    def length(self, metres: float) -> str:
        """A length as it is written."""
        return (
            f'"{units.written(round(units.outside(metres, "length", self.ask.system), 2), "length", self.ask.system)}"'
        )

    def small(self, inches: float) -> str:
        """A small length as it is written, given in inches."""
        system = self.ask.system
        value = units.outside(inches * 0.0254, "small length", system)
        return f'"{units.written(round(value, 3 if system == "us" else 0), "small length", system)}"'

    def quantity(self, value: float, kind: str) -> str:
        """A quantity as it is written."""
        return f'"{units.written(round(units.outside(value, kind, self.ask.system), 1), kind, self.ask.system)}"'

    def at(self, *metres: float) -> str:
        """A place as it is written."""
        return f"[{', '.join(self.length(one) for one in metres)}]"
