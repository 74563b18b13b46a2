"""The printed build file: plain data and pictures into the page template, a PDF out, the same bytes every time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trailerlib.buildfile.drawings import Drawing
from trailerlib.buildfile.faces import font_folder

TEMPLATE = Path(__file__).with_name("build-file.typ")


def printed(data: Mapping[str, Any], pictures: Mapping[str, Drawing]) -> bytes:
    """The pages as PDF.

    Texts reach the template as JSON, so that nothing a person typed is ever read as markup.

    Parameters
    ----------
    data : what stands on the pages
    pictures : the drawings by question and ``plan``

    Returns
    -------
    bytes
        The PDF; the same data gives the same bytes.
    """
    drawn = {name: drawing.svg for name, drawing in pictures.items()}
    inputs = {"data": json.dumps(data, ensure_ascii=False), "pictures": json.dumps(drawn, ensure_ascii=False)}
    return compiled(TEMPLATE, inputs)


def compiled(template: Path, inputs: Mapping[str, str]) -> bytes:
    """A page template with its inputs as PDF, with the shipped fonts alone.

    Parameters
    ----------
    template : the template, beside this module
    inputs : texts by the name the template reads them by

    Returns
    -------
    bytes
        The PDF; the same inputs give the same bytes.
    """
    import typst

    return typst.compile(
        str(template), root=str(template.parent), font_paths=[str(font_folder())], ignore_system_fonts=True,
        sys_inputs=dict(inputs), timestamp=0,
    )  # fmt: skip
