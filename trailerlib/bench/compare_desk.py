"""Two build files side by side: what was changed in the design, and what that did to the answers."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from html import escape
from pathlib import Path
from typing import Protocol

import ipywidgets as widgets

from trailerlib.bench import faults
from trailerlib.bench.build_desk import FOLDER, BuildDesk
from trailerlib.bench.style import STYLE
from trailerlib.design.errors import DesignError

MOST_OFFERED = 50
NONE_YET = "Two build files are needed: write one, change the design, write another."
LOOK = """<style>
.trailer .trailer-compared { max-height:420px; overflow:auto; font-size:13px; line-height:1.4; }
.trailer .trailer-compared h4 { margin:8px 0 2px 0; font-size:13.5px; font-weight:600; }
.trailer .trailer-compared ul { margin:0; padding:0 0 0 18px; }
</style>"""


class Compared(Protocol):
    """What two snapshots differ in, in sentences."""

    @property
    def design(self) -> tuple[str, ...]:
        """What was changed in the design."""

    @property
    def beside(self) -> tuple[str, ...]:
        """What else the numbers rest on that is not the same."""

    @property
    def results(self) -> Mapping[str, tuple[str, ...]]:
        """What it did, by the title of the question or schedule."""

    @property
    def too_small(self) -> int:
        """How many numbers moved by less than is shown."""


Comparer = Callable[[str | os.PathLike[str], str | os.PathLike[str]], Compared]


class CompareDesk(widgets.VBox):
    """Two lists of the build files in the folder of the desk above, newest first; below them what differs."""

    def __init__(self, folder: Callable[[], str], comparer: Comparer) -> None:
        self._folder, self._comparer = folder, comparer
        wide = {"layout": {"width": "560px", "max_width": "99%"}, "style": {"description_width": "70px"}}
        self.before = widgets.Dropdown(description="Earlier", **wide)
        self.after = widgets.Dropdown(description="Later", **wide)
        again = widgets.Button(description="Look again", tooltip="Read the folder again", layout={"width": "140px"})
        again.on_click(lambda _: self.refresh())
        self._told = widgets.HTML()
        self._quiet = False
        super().__init__([widgets.HTML(STYLE + LOOK), self.before, self.after, again, self._told])
        self.add_class("trailer")
        for name, field in (("before", self.before), ("after", self.after)):
            field.add_class(f"trailer-compare-{name}")
            field.observe(lambda change: self._against(), "value")
        self.refresh()

    @property
    def told(self) -> str:
        """What the desk says, as HTML."""
        return str(self._told.value)

    def refresh(self) -> None:
        """Offer what lies in the folder now; the newest two stand against each other."""
        found = snapshots(Path(self._folder() or FOLDER))
        offered = [(path.parent.name, str(path)) for path in found]
        self._quiet = True
        self.before.options = self.after.options = offered
        if len(offered) > 1:
            self.after.value, self.before.value = offered[0][1], offered[1][1]
        self._quiet = False
        self._against()

    def _against(self) -> None:
        if self._quiet:
            return
        if len(self.before.options) < 2:
            self._told.value = escape(NONE_YET)
            return
        try:
            self._told.value = in_html(self._comparer(self.before.value, self.after.value))
        except DesignError as error:
            self._told.value = f'<b style="color:var(--trailer-stop)">▲ not compared:</b> {escape(str(error))}'
        except Exception as error:
            faults.record("Compare two build files", error)
            words = escape(f"{type(error).__name__}: {error}")
            self._told.value = f'<b style="color:var(--trailer-stop)">▲ not compared:</b> {words}'


def snapshots(folder: Path) -> list[Path]:
    """The snapshots of the build files in a folder, newest first.

    Parameters
    ----------
    folder : where build files are written; one that is not there holds none
    """
    try:
        found = [(path.stat().st_mtime, path.parent.name, path) for path in folder.glob("*/snapshot.json")]
    except OSError:
        return []
    return [path for _, _, path in sorted(found, reverse=True)[:MOST_OFFERED]]


def in_html(compared: Compared) -> str:
    """A comparison as headings and lists.

    Parameters
    ----------
    compared : what differs
    """
    parts = [("What was changed in the design", compared.design or ("Nothing.",))]
    if compared.beside:
        parts.append(("What else is not the same", compared.beside))
    parts += list(compared.results.items()) or [("What it did", ("Nothing that is shown.",))]
    if compared.too_small:
        parts.append(
            ("Too small to show", (f"{compared.too_small} more numbers moved by less than the three figures shown.",))
        )
    items = (
        f"<h4>{escape(title)}</h4><ul>{''.join(f'<li>{escape(line.strip())}</li>' for line in lines)}</ul>"
        for title, lines in parts
    )
    return f'<div class="trailer-compared">{"".join(items)}</div>'


def compare(desk: BuildDesk, comparer: Comparer) -> CompareDesk:
    """The desk that compares two build files of the folder another desk writes into; it follows every writing."""
    made = CompareDesk(lambda: desk.folder.value, comparer)
    desk.follow(made.refresh)
    return made
