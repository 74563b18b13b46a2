"""Where labels lie on a sheet: stock by its dimensions, or plain paper to be cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from trailerlib import reference
from trailerlib.buildfile.label_texts import SIZES_MM, Label
from trailerlib.design.errors import DesignError
from trailerlib.units import System, shorten

PAPERS_MM = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
PLAIN = {"us": "plain letter", "metric": "plain a4"}
MARGIN_MM, GAP_MM = 13.0, 0.0


@dataclass(frozen=True)
class Stock:
    """A sheet of label stock, or plain paper when it has no labels across. All lengths [mm]."""

    name: str
    paper: str
    across: int = 0
    down: int = 0
    size: tuple[float, float] = (0.0, 0.0)
    first: tuple[float, float] = (0.0, 0.0)
    pitch: tuple[float, float] = (0.0, 0.0)
    round: float = 0.0

    @property
    def plain(self) -> bool:
        """Whether it is plain paper, on which each kind has a size of its own."""
        return not self.across

    def size_of(self, kind: str) -> tuple[float, float]:
        """Width and height of a label of a kind on it [mm].

        Parameters
        ----------
        kind : kind of label
        """
        return SIZES_MM[kind] if self.plain else self.size


@dataclass(frozen=True)
class Slot:
    """Where one label lies: page from 0, left and upper edge, width and height [mm]."""

    page: int
    x: float
    y: float
    width: float
    height: float


@lru_cache(maxsize=1)
def stocks() -> dict[str, Stock]:
    """Every sheet by its name, plain paper first.

    Returns
    -------
    dict of str to Stock
        Common stock by dimension, from the table of label sheets.
    """
    found = {f"plain {paper}": Stock(f"plain {paper}", paper) for paper in PAPERS_MM}
    for row in reference.table("label_sheets").rows:
        width, height, left, top, right, below, corner = (
            float(row[key])
            for key in ("width_mm", "height_mm", "left_mm", "top_mm", "pitch_x_mm", "pitch_y_mm", "round_mm")
        )
        found[row["sheet"]] = Stock(
            row["sheet"], row["paper"], int(row["across"]), int(row["down"]), (width, height), (left, top),
            (right, below), corner,
        )  # fmt: skip
    return found


def stock(name: str | None, system: System) -> Stock:
    """The sheet of that name; plain paper of the usual size without one.

    Parameters
    ----------
    name : such as ``letter 1 by 2 5/8 in``, or None
    system : ``us`` or ``metric``, for the usual size of paper

    Raises
    ------
    DesignError
        When there is no such sheet; the sentence lists those there are.
    """
    wanted = PLAIN[system] if name is None else name
    if wanted not in stocks():
        raise DesignError(f'"{shorten(wanted, 40)}" is not a sheet of labels; there are: {", ".join(stocks())}.')
    return stocks()[wanted]


def slots(sheet: Stock, labels: Sequence[Label], skip: int = 0) -> Iterator[Slot]:
    """Where each label lies, in their order.

    Parameters
    ----------
    sheet : the sheet
    labels : the labels
    skip : [-] places of the first sheet of stock that are used already
    """
    if sheet.plain:
        yield from _cut_from_paper(sheet, labels)
        return
    each = sheet.across * sheet.down
    for place in range(skip, skip + len(labels)):
        page, here = divmod(place, each)
        row, column = divmod(here, sheet.across)
        yield Slot(page, sheet.first[0] + column * sheet.pitch[0], sheet.first[1] + row * sheet.pitch[1], *sheet.size)


def _cut_from_paper(sheet: Stock, labels: Sequence[Label]) -> Iterator[Slot]:
    """Side by side from the upper left; a new row for each kind, so that a straight cut parts them."""
    wide, tall = PAPERS_MM[sheet.paper]
    page, x, y, row, kind = 0, MARGIN_MM, MARGIN_MM, 0.0, ""
    for label in labels:
        width, height = sheet.size_of(label.kind)
        if kind and (label.kind != kind or x + width > wide - MARGIN_MM):
            x, y, row = MARGIN_MM, y + row + GAP_MM, 0.0
        if y + height > tall - MARGIN_MM:
            page, x, y, row = page + 1, MARGIN_MM, MARGIN_MM, 0.0
        yield Slot(page, x, y, width, height)
        x, row, kind = x + width + GAP_MM, max(row, height), label.kind
