"""The form that begins a trailer of one's own: a dozen answers, one button, one design file."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Any, cast

import ipywidgets as widgets

from trailerlib import quantities, units
from trailerlib.bench import faults
from trailerlib.bench.style import STYLE
from trailerlib.design import catalogue, supply_classes
from trailerlib.design.begin import assumed_lines, begin
from trailerlib.design.begin_answers import NONE, Answers
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError

SYSTEMS: tuple[tuple[str, units.System], ...] = (("feet, pounds, °F", "us"), ("metres, kilograms, °C", "metric"))
CHEMISTRIES = (("flooded lead", "flooded"), ("AGM lead", "agm"), ("gel lead", "gel"), ("lithium iron phosphate", "lfp"))
QUANTITIES = {
    "length": ("Length inside", "length"), "width": ("Width inside", "length"), "height": ("Height inside", "length"),
    "hottest": ("Hottest day", "temperature"), "coldest": ("Coldest night", "temperature"),
    "elevation": ("Highest place above sea", "elevation"), "capacity": ("Battery", "charge"),
}  # fmt: skip
COUNTS = {
    "sleepers": ("Who sleeps aboard", 8), "lights": ("Ceiling lights", 20),
    "outlets": ("Mains outlets at the bench", 8), "outside": ("Mains outlets outside", 4),
}  # fmt: skip
WIDTH = "400px"


class BeginForm(widgets.VBox):
    """A dozen answers about a trailer; the button writes the design file that every page then reads."""

    def __init__(self, design: Design) -> None:
        self._open = design
        self.fields = self._fields(Answers(system=design.units))
        self.said = widgets.HTML(layout={"min_height": "66px", "flex": "1 1 auto"})
        self.button = widgets.Button(
            description="Begin this trailer", layout={"width": "190px", "min_width": "190px", "height": "36px"}
        )
        self.button.add_class("trailer-begin")
        self.button.on_click(lambda _: self.write())
        self.fields["system"].observe(self._turned, "value")
        names = list(self.fields)
        half = (len(names) + 1) // 2
        columns = [widgets.VBox([self.fields[name] for name in part]) for part in (names[:half], names[half:])]
        below = widgets.HBox([self.button, self.said], layout={"align_items": "flex-start"})
        grid = widgets.HBox(columns, layout={"flex_flow": "row wrap"})
        super().__init__([widgets.HTML(STYLE), grid, below])
        self.add_class("trailer")

    def _fields(self, first: Answers) -> dict[str, Any]:
        """One widget an answer, by the name of the answer, in the order they are asked."""
        shores = [("none", NONE), *((kind, kind) for kind in supply_classes.supply_kinds())]
        engines = [("none", NONE), *((kind, kind) for kind in supply_classes.generator_kinds())]
        coolers = [("none", NONE), *((name, name) for name in catalogue.appliances() if name.startswith("roof cooler"))]
        text = {key: self._text(key, first) for key in QUANTITIES}
        count = {key: _count(words, most, getattr(first, key)) for key, (words, most) in COUNTS.items()}
        found = {
            "title": _field(widgets.Text(first.title), "Name"),
            "system": _pick("Written in", SYSTEMS, first.system),
            **{key: text[key] for key in ("length", "width", "height")},
            "sleepers": count["sleepers"],
            **{key: text[key] for key in ("hottest", "coldest", "elevation")},
            "chemistry": _pick("Kind of battery", CHEMISTRIES, first.chemistry),
            "capacity": text["capacity"],
            "supply": _pick("Supply it is plugged into", shores, first.supply),
            "generator": _pick("Generator", engines, first.generator),
            "cooler": _pick("Roof cooler", coolers, first.cooler),
            "fan": _pick("Roof fan", (("yes", True), ("no", False)), first.fan),
            "fridge": _pick("12 V fridge", (("yes", True), ("no", False)), first.fridge),
            **{key: count[key] for key in ("lights", "outlets", "outside")},
        }
        for key, field in found.items():
            field.add_class(f"trailer-answer-{key}")
        return found

    def _text(self, key: str, first: Answers) -> Any:
        words, kind = QUANTITIES[key]
        return _field(widgets.Text(_shown(getattr(first, key), kind, first.system)), words)

    def _turned(self, change: Any) -> None:
        """Show every quantity in the other units; what cannot be read stays as it is."""
        for key, (_, kind) in QUANTITIES.items():
            field = self.fields[key]
            try:
                field.value = _shown(quantities.read(field.value, kind), kind, change["new"])
            except ValueError:
                continue

    def answers(self) -> Answers:
        """What stands in the form.

        Raises
        ------
        DesignError
            When a quantity cannot be read.
        """
        found = {key: field.value for key, field in self.fields.items()}
        for key, (words, kind) in QUANTITIES.items():
            try:
                found[key] = quantities.read(found[key], kind)
            except ValueError as error:
                raise DesignError(f"{words}: {error}") from None
        return Answers(**found)

    def write(self) -> None:
        """Write the design file; the trailer that was open before goes into its history."""
        try:
            if self._open.origin is None:
                raise DesignError("the open trailer has no file; open the start page beside its notebooks.")
            self._open = begin(self.answers(), Path(self._open.origin.path), self._open)
        except DesignError as error:
            self._say("stop", "▲ not begun:", str(error))
        except Exception as error:
            faults.record("Begin a trailer", error)
            self._say("stop", "▲ not begun:", f"{type(error).__name__}: {error}")
        else:
            self._say("holds", "✓ begun.", self._written())

    def _written(self) -> str:
        file = Path(cast("Any", self._open.origin).path)
        count = assumed_lines(file.read_text(encoding="utf-8"))
        return (
            f"{self._open.title} is now the open trailer, in {file.name}; {count} lines of it are assumed and say so. "
            "The one before is in the history beside it. Run this page again to see its verdicts."
        )

    def _say(self, tint: str, mark: str, words: str) -> None:
        self.said.value = f'<b style="color:var(--trailer-{tint})">{mark}</b> {escape(words)}'


def _shown(value: float, kind: str, system: units.System) -> str:
    digits = 0 if kind in ("temperature", "elevation") else 2
    return units.written(round(units.outside(value, kind, system), digits), kind, system)


def _field(field: Any, words: str) -> Any:
    field.description, field.style = words, {"description_width": "190px"}
    field.layout = {"width": WIDTH, "max_width": "99%"}
    return field


def _pick(words: str, options: Sequence[tuple[str, Any]], value: Any) -> Any:
    return _field(widgets.Dropdown(options=options, value=value), words)


def _count(words: str, most: int, value: int) -> Any:
    return _field(widgets.BoundedIntText(value=value, min=0, max=most), words)


def begin_own(design: Design) -> BeginForm:
    """The form that begins a trailer of one's own, in the file of the open design.

    Parameters
    ----------
    design : the trailer that is open now
    """
    return BeginForm(design)
