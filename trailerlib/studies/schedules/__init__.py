"""What is built and bought from: panel and fuse schedule, wire cut list, colours, spool plan, parts list."""

from __future__ import annotations

from trailerlib.design.design import Design
from trailerlib.studies.answer import Assessment
from trailerlib.studies.schedules import colours, panels, parts, pieces, spools
from trailerlib.studies.schedules.schedule import Schedule

__all__ = ["KEYS", "Schedule", "schedules"]

KEYS = ("panel", "fuses", "cut_list", "colours", "spools", "parts")


def schedules(design: Design, assessment: Assessment) -> dict[str, Schedule]:
    """Every schedule of a design by its key, in the order they are printed.

    Parameters
    ----------
    design : the design
    assessment : every study of it
    """
    cut = pieces.pieces(design)
    groups = spools.groups(design, cut)
    found = (
        panels.panel_schedule(design),
        panels.fuse_schedule(design, assessment["wiring"]),
        pieces.cut_list(design),
        colours.legend(piece.colour for piece in cut),
        spools.spool_plan(design, groups),
        parts.parts_list(design, cut, groups, assessment["roof"]),
    )
    return {schedule.key: schedule for schedule in found}
