"""The one-line diagram of a design: what feeds what, through which protection and wire, sheet by sheet."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.pictures import one_line_foot, one_line_sheet
from trailerlib.pictures.canvas import Ink
from trailerlib.pictures.one_line_layout import FOOT_AIR, HEIGHT, WIDTH, Page, pages
from trailerlib.pictures.one_line_model import sides


def one_line(design: Design, ink: Ink = "screen") -> tuple[str, ...]:
    """Every sheet of the diagram, each as large as a page on its side; the same design gives the same text.

    Parameters
    ----------
    design : the design
    ink : ``screen`` or ``paper``

    Returns
    -------
    tuple of str
        SVG, at least one.
    """
    found = sides(design)
    foot = one_line_foot.foot(found)
    sheets = pages(found, foot)
    height = min(HEIGHT, max(page.bottom for page in sheets) + FOOT_AIR + foot.height)
    drawn = list[str]()
    for number, page in enumerate(sheets, 1):
        sheet = _sheet(design, page, foot, (number, len(sheets)), height, ink)
        drawn.append(sheet.svg())
    return tuple(drawn)


def has_one_line(design: Design) -> bool:
    """Whether there is anything on the diagram.

    Parameters
    ----------
    design : the design
    """
    return bool(sides(design))


def _sheet(
    design: Design, page: Page, foot: one_line_foot.Foot, which: tuple[int, int], height: float, ink: Ink
) -> one_line_sheet.Drawing:
    number, count = which
    title = f"One-line diagram of {design.title}, sheet {number} of {count}"
    sheet = one_line_sheet.Drawing(WIDTH, height, title, ink)
    one_line_sheet.head(sheet, design.title, number, count)
    for block in page.blocks:
        one_line_sheet.block(sheet, block, page)
    if page.joined:
        one_line_sheet.charger_wire(sheet, page)
    if not page.blocks:
        words = "Nothing to draw yet: the design has no circuit, no battery and no supply."
        sheet.text(WIDTH / 2, height / 2, words, 15, anchor="middle")
    one_line_sheet.foot(sheet, foot)
    return sheet
