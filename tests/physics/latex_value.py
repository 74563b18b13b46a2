"""Reads the small LaTeX of the formulas back as arithmetic, so that what is shown is what is computed."""

from __future__ import annotations

import math

NAMES = {
    r"\max": "max",
    r"\min": "min",
    r"\ln": "math.log",
    r"\pi": "math.pi",
    r"\cos": "math.cos",
    r"\sin": "math.sin",
    r"\lfloor": "math.floor(",
    r"\rfloor": ")",
}


class Reader:
    """Turns LaTeX with numbers in it into one Python expression, left to right."""

    def __init__(self, latex: str) -> None:
        self.text, self.at = latex, 0

    def group(self) -> str:
        """The inside of the next braces, read in turn."""
        while self.text[self.at] == " ":
            self.at += 1
        assert self.text[self.at] == "{", self.text[self.at :]
        begin, depth = self.at + 1, 0
        while True:
            depth += {"{": 1, "}": -1}.get(self.text[self.at], 0)
            self.at += 1
            if depth == 0:
                return "(" + Reader(self.text[begin : self.at - 1]).read() + ")"

    def read(self) -> str:
        parts = []
        while self.at < len(self.text):
            rest = self.text[self.at :]
            for mark, python in (
                (r"\left(", "("), (r"\right)", ")"), (r"\cdot", "*"), (r"\times", "*"), ("^", "**"),
                (r"\frac", ""), (r"\sqrt", ""), *NAMES.items(),
            ):  # fmt: skip
                if rest.startswith(mark):
                    self.at += len(mark)
                    parts.append(self._special(mark) or python)
                    break
            else:
                if rest.startswith("e^"):
                    parts.append("math.e")
                elif rest[0] == "\\":
                    raise AssertionError(f"not in the LaTeX subset: {rest}")
                else:
                    parts.append(rest[0])
                self.at += 1
        return "".join(parts)

    def _special(self, mark: str) -> str:
        if mark == r"\frac":
            return f"({self.group()}/{self.group()})"
        if mark == r"\sqrt":
            return f"math.sqrt{self.group()}"
        return "**" + self.group() if mark == "^" else ""


def latex_value(latex: str) -> float:
    """The number a LaTeX expression without symbols stands for."""
    return float(eval(Reader(latex).read(), {"math": math, "max": max, "min": min}))
