"""What a design was before: before each move, and before each Keep in its file."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.design.files import read_design, save_design, take_back

MOST_STEPS = 200


class Past:
    """The steps that Undo takes back, and the design as its file has it."""

    def __init__(self, design: Design) -> None:
        self._kept, self._moves, self._keeps = design, list[Design](), 0

    def note(self, design: Design) -> None:
        """Remember a design as it was before a move."""
        self._moves = [*self._moves[-MOST_STEPS:], design]

    def keep(self, design: Design) -> Design:
        """Write a design to its file; a newer file is never overwritten."""
        self._kept = save_design(design)
        self._keeps += 1
        self._moves = []
        return self._kept

    def back(self) -> tuple[Design, str] | None:
        """The design before the last move, or, when nothing has moved since, before the last Keep, and what was done.

        None when there is nothing to take back.
        """
        if self._moves:
            return self._moves.pop(), "Took back the last move."
        if self._keeps > 0:
            self._kept = take_back(self._kept)
            self._keeps -= 1
            words = f"Took back the last Keep; the file is as it was before, now revision {self._kept.revision}."
            return self._kept, words
        return None

    def reset(self, design: Design) -> Design:
        """The design as its file says now; what it was is one step of Undo."""
        if self._kept.origin is not None:
            self._kept = read_design(self._kept.origin.path)
        self._moves = [*self._moves, design]
        return self._kept
