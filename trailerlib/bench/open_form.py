"""Which trailer is open, and in which units everything is shown: chosen in one place, kept in the design file."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from trailerlib.bench import faults
from trailerlib.bench.begin_form import SYSTEMS
from trailerlib.bench.style import STYLE
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.files import open_another, read_design, save_design, shipped_trailers

WORDS: dict[str, str] = {system: words for words, system in SYSTEMS}
AGAIN = (
    '<button data-commandlinker-command="notebook:run-all-cells" style="padding:4px">▶ Run this page again</button>'
    " and every other page that is open."
)
WIDE = {"width": "460px", "max_width": "99%"}


class OpenForm(widgets.VBox):
    """Two choices, units and trailer; each is written at once, and what was there before stays in the history."""

    def __init__(self, design: Design) -> None:
        self._open = design
        wide = {"description_width": "130px"}
        self.system = widgets.Dropdown(
            options=SYSTEMS, value=design.units, description="Shown in", layout=WIDE, style=wide
        )
        offered = [("the one that is open", ""), *((read_design(p).title, n) for n, p in shipped_trailers().items())]
        self.trailer = widgets.Dropdown(options=offered, description="Open instead", layout=WIDE, style=wide)
        self.said = widgets.HTML(layout={"min_height": "34px"})
        super().__init__([widgets.HTML(STYLE), self.system, self.trailer, self.said])
        for name, field, act in (("system", self.system, self._show_in), ("trailer", self.trailer, self._turn_to)):
            field.add_class(f"trailer-open-{name}")
            field.observe(lambda change, call=act: self._try(call, change["new"]), "value")
        self.add_class("trailer")

    def _try(self, act: Callable[[Any], str], value: Any) -> None:
        try:
            words = act(value)
        except DesignError as error:
            self.said.value = f'<b style="color:var(--trailer-stop)">▲ not written:</b> {escape(str(error))}'
        except Exception as error:
            faults.record("Which trailer is open", error)
            named = escape(f"{type(error).__name__}: {error}")
            self.said.value = f'<b style="color:var(--trailer-stop)">▲ not written:</b> {named}'
        else:
            self.said.value = (
                f'<b style="color:var(--trailer-holds)">✓ kept.</b> {escape(words)} {AGAIN}' if words else ""
            )

    def _show_in(self, system: str) -> str:
        if system == self._open.units:
            return ""
        self._open = save_design(self._open.replace("units", system))
        return f"{self._open.title} and all that is written from it is shown in {WORDS[system]}."

    def _turn_to(self, name: str) -> str:
        if not name:
            return ""
        if self._open.origin is None:
            raise DesignError("the open trailer has no file; open the start page beside its notebooks.")
        before = self._open.title
        self._open = open_another(shipped_trailers()[name], Path(self._open.origin.path), self._open)
        self.system.value = self._open.units
        return f"{self._open.title} is open now; {before} is in the history beside it."


def which(design: Design) -> OpenForm:
    """Choose the units everything is shown in, or another of the shipped trailers."""
    return OpenForm(design)
