"""Run every notebook on a fresh copy of the demo and store what its strict cells print.

Cells tagged ``nbval-ignore-output`` show widgets or charts; their output is not kept, or the
file would carry a plotting library. An error in a cell stops the refresh. Two runs give the same bytes.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

from trailerlib.design.files import OPEN_VARIABLE, shipped_trailers

WORKBOOK = Path(__file__).resolve().parent.parent / "workbook"
WIDGET_TAG = "nbval-ignore-output"


def refresh(path: Path) -> None:
    """Run one notebook and write it back clean."""
    notebook = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "trailer.toml"
        copy.write_text(shipped_trailers()["fen-survey"].read_text(encoding="utf-8"), encoding="utf-8")
        os.environ[OPEN_VARIABLE] = str(copy)
        client = NotebookClient(
            notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": path.parent}}
        )
        client.execute()
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
        if WIDGET_TAG in cell.metadata.get("tags", []):
            cell.outputs = []
        elif cell.cell_type == "code":
            cell.outputs = joined(cell.outputs)
    notebook.metadata.pop("widgets", None)
    notebook.metadata["language_info"] = {"name": "python"}
    nbformat.write(notebook, path)


def joined(outputs: list) -> list:
    """What is printed in one go may arrive in two pieces; the pieces are one text."""
    found: list = []
    for output in outputs:
        if found and output.output_type == "stream" == found[-1].output_type and output.name == found[-1].name:
            found[-1].text += output.text
        else:
            found.append(output)
    return found


def main() -> None:
    """Refresh the notebooks named on the command line, or all of them."""
    chosen = [Path(name).resolve() for name in sys.argv[1:]] or sorted(WORKBOOK.rglob("*.ipynb"))
    for path in chosen:
        if ".ipynb_checkpoints" not in path.parts:
            refresh(path)
            print(path.relative_to(WORKBOOK.parent), f"{path.stat().st_size / 1024:.0f} kB")


if __name__ == "__main__":
    main()
