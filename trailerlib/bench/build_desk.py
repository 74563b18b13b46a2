"""The desk where the build file is written."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from html import escape
from pathlib import Path
from urllib.parse import quote

import ipywidgets as widgets

from trailerlib.bench import faults
from trailerlib.bench.style import STYLE
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError

FOLDER = "build files"
Writer = Callable[..., Mapping[str, Path]]


class BuildDesk(widgets.VBox):
    """A folder, a date and a button. ``writer`` is what writes the build file: design, folder, date to paths."""

    def __init__(self, design: Design, writer: Writer) -> None:
        self._design, self._writer = design, writer
        self._followers: list[Callable[[], None]] = []
        wide = {"width": "460px"}
        self.folder = widgets.Text(FOLDER, description="Folder", layout=wide)
        self.date = widgets.Text(datetime.date.today().isoformat(), description="Date", layout=wide)
        self._said = widgets.HTML(layout={"min_height": "96px"})
        button = widgets.Button(description="Write the build file", icon="file", layout={"width": "200px"})
        button.add_class("trailer-write")
        button.on_click(lambda _: self.write())
        super().__init__([widgets.HTML(STYLE), self.folder, self.date, button, self._said])
        self.add_class("trailer")

    @property
    def said(self) -> str:
        """What the desk last said, as HTML."""
        return str(self._said.value)

    def write(self) -> None:
        """Write a new dated folder; nothing that is there already is overwritten."""
        self._said.value = "Writing …"
        try:
            paths = self._writer(self._design, self.folder.value or FOLDER, self.date.value)
        except DesignError as error:
            self._said.value = f'<b style="color:var(--trailer-stop)">▲ not written:</b> {escape(str(error))}'
        except Exception as error:
            faults.record("The build file", error)
            words = escape(f"{type(error).__name__}: {error}")
            self._said.value = f'<b style="color:var(--trailer-stop)">▲ not written:</b> {words}'
        else:
            self._said.value = written(list(paths.values()), Path.cwd())
            for tell in self._followers:
                tell()

    def follow(self, tell: Callable[[], None]) -> None:
        """Let something else on the page know of every build file that has been written.

        Parameters
        ----------
        tell : called after each
        """
        self._followers.append(tell)


def written(paths: Sequence[Path], here: Path) -> str:
    """What was written, as HTML: the folder and each file as a link, and where that is on this computer.

    Parameters
    ----------
    paths : the files, all in one folder
    here : the folder of the notebook, from which a link is followed
    """
    folder = paths[0].resolve().parent
    shown = folder.relative_to(here.resolve()) if folder.is_relative_to(here.resolve()) else None
    files = "<br>".join(_link(f"<b>{escape(path.name)}</b>", shown and shown / path.name) for path in paths)
    opened = _link(escape(folder.name if shown is None else shown.as_posix()), shown)
    return f"Written into {opened}:<br>{files}<br>On this computer: {escape(str(folder))}"


def _link(words: str, target: Path | None) -> str:
    """A link that opens in the workbook; what lies elsewhere cannot be reached from a page and stays words."""
    if target is None:
        return words
    address = "/".join(quote(part, safe="") for part in target.parts)
    return f'<a href="{escape(address, quote=True)}" target="_blank">{words}</a>'


def build(design: Design, writer: Writer) -> BuildDesk:
    """The desk that writes the build file of a design with the writer it is given."""
    return BuildDesk(design, writer)
