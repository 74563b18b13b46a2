"""Design workbook for a one-person shop that turns bare enclosed trailers into places to work and sleep.

The public names are loaded when they are first used, so that importing the package stays cheap.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

_HOMES = {
    "Design": "trailerlib.design.design",
    "DesignError": "trailerlib.design.errors",
    "design_from": "trailerlib.design.design",
    "Reading": "trailerlib.design.readings",
    "open_design": "trailerlib.design.files",
    "read_design": "trailerlib.design.files",
    "read_readings": "trailerlib.design.readings",
    "save_design": "trailerlib.design.files",
    "save_readings": "trailerlib.design.readings",
    "shipped_trailers": "trailerlib.design.files",
    "take_back": "trailerlib.design.files",
    "assess": "trailerlib.studies",
    "run_together": "trailerlib.studies.together.words",
    "study": "trailerlib.studies",
    "worked": "trailerlib.physics.formula",
    "write_build_file": "trailerlib.buildfile",
    "write_class_sheet": "trailerlib.buildfile.class_sheet",
    "write_problem_sheet": "trailerlib.buildfile.problem_sheet",
    "glossary": "trailerlib.studies.lessons.glossary",
    "verify_snapshot": "trailerlib.buildfile",
    "compare_snapshots": "trailerlib.buildfile",
}
_INNER = {"trade_offs": "trailerlib.studies.trade_offs"}
_ROOMS = (
    "bench",
    "buildfile",
    "design",
    "physics",
    "pictures",
    "quantities",
    "reference",
    "rules",
    "studies",
    "times",
    "units",
)

if TYPE_CHECKING:
    from trailerlib.buildfile import compare_snapshots as compare_snapshots
    from trailerlib.buildfile import verify_snapshot as verify_snapshot
    from trailerlib.buildfile import write_build_file as write_build_file
    from trailerlib.buildfile.class_sheet import write_class_sheet as write_class_sheet
    from trailerlib.buildfile.problem_sheet import write_problem_sheet as write_problem_sheet
    from trailerlib.design.design import Design as Design
    from trailerlib.design.design import design_from as design_from
    from trailerlib.design.errors import DesignError as DesignError
    from trailerlib.design.files import open_design as open_design
    from trailerlib.design.files import read_design as read_design
    from trailerlib.design.files import save_design as save_design
    from trailerlib.design.files import shipped_trailers as shipped_trailers
    from trailerlib.design.files import take_back as take_back
    from trailerlib.design.readings import Reading as Reading
    from trailerlib.design.readings import read_readings as read_readings
    from trailerlib.design.readings import save_readings as save_readings
    from trailerlib.physics.formula import worked as worked
    from trailerlib.studies import assess as assess
    from trailerlib.studies import study as study
    from trailerlib.studies import trade_offs as trade_offs
    from trailerlib.studies.lessons.glossary import glossary as glossary
    from trailerlib.studies.together.words import run_together as run_together

__all__ = [*_HOMES]  # noqa: PLE0604


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(importlib.import_module(_HOMES[name]), name)
    if name in _INNER:
        return importlib.import_module(_INNER[name])
    if name in _ROOMS:
        return importlib.import_module(f"trailerlib.{name}")
    raise AttributeError(f"module 'trailerlib' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOMES, *_INNER, *_ROOMS])
