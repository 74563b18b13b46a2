"""The one-line diagram on the screen: one sheet at a time, a button for each."""

from __future__ import annotations

import ipywidgets as widgets

from trailerlib.bench.style import STYLE
from trailerlib.design.design import Design
from trailerlib.pictures import one_line as drawn

LOOK = "<style>.trailer-one-line svg { width:100%; max-width:1150px; display:block; margin:0 auto; }</style>"


class OneLine(widgets.VBox):
    """Every sheet of the diagram of a design; ``which`` is there when there are several to choose from."""

    def __init__(self, design: Design) -> None:
        self.sheets = drawn(design)
        self._picture = widgets.HTML(self.sheets[0])
        self._picture.add_class("trailer-one-line")
        self.which: widgets.ToggleButtons | None = None
        if len(self.sheets) > 1:
            numbers = range(len(self.sheets))
            self.which = widgets.ToggleButtons(
                options=[(f"sheet {n + 1}", n) for n in numbers], style={"button_width": "auto"}
            )
            self.which.add_class("trailer-pictures")
            self.which.observe(lambda change: self._turn(change["new"]), "value")
        shown = [self._picture] if self.which is None else [self.which, self._picture]
        super().__init__([widgets.HTML(STYLE + LOOK), *shown])
        self.add_class("trailer")

    @property
    def picture_text(self) -> str:
        """The sheet that is shown, as SVG."""
        return str(self._picture.value)

    def _turn(self, number: int) -> None:
        self._picture.value = self.sheets[number]


def one_line(design: Design) -> OneLine:
    """What feeds what, through which protection and wire: the sheets that the build file prints.

    Parameters
    ----------
    design : the design
    """
    return OneLine(design)
