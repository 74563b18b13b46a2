"""What a change to the box buys: each as one row, less heat without power and less cold to pay for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from typing import Any

import numpy as np

from trailerlib.design.box_classes import skins
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.cooling import hold, sleep
from trailerlib.studies.cooling.case import Case, case_of, last_day, rests_on, with_flow
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.kept import Kept

INCH_M = 0.0254
SHADED = 0.8  # what a cloth over roof and walls keeps off of the direct sun; common practice, no source
LIGHTEST = "white paint"


def changes(design: Design) -> Iterator[tuple[str, Design]]:
    """Every change that can be made here, in words, with the changed design."""
    for name, words in (("walls", "walls"), ("roof", "roof"), ("floor", "floor")):
        face = next((f for f in design.faces if f.name == name), None)
        if face is None or face.insulation is None:
            continue
        thick = face.thickness_of(face.insulation) or 0.0
        path = ("face", name, "layers", face.insulation)
        with suppress(DesignError):  # thicker than a face may be
            yield f"one inch more {face.insulation} in the {words}", design.replace(path, f"{thick + INCH_M:.6g} m")
    if design.envelope.roof_colour is not None and _darker(design.envelope.roof_colour):
        yield "a white roof", design.replace("envelope.roof_skin", LIGHTEST)
    if (design.envelope.shade or 0.0) < SHADED:
        yield (
            f"shade: {100 * SHADED:g} % of the direct sun kept off",
            design.replace("envelope.shade", f"{100 * SHADED:g} %"),
        )
    if design.envelope.leakage:
        yield "half the leaks", design.replace("envelope.leakage", design.envelope.leakage / 2)


def _darker(colour: str) -> bool:
    return skins()[colour].absorptance > skins()[LIGHTEST].absorptance


def rows(design: Design, set_c: float | None) -> tuple[Mapping[str, Any], ...]:
    """One row for each change against the design as it stands.

    Parameters
    ----------
    design : nothing of its hot day may be ``missing``
    set_c : [degC] set point of the cooler; None leaves the cold out
    """
    found, peaks = _FOUND.of(rests_on(design), lambda: _found(design))
    need = [None] * len(found) if set_c is None else _cold(found, set_c)
    return tuple(
        {
            "change": words,
            "peak_c": float(peaks[n]),
            "saves_k": None if n == 0 else float(peaks[0] - peaks[n]),
            "cold_w": need[n] if n == 0 or not words.startswith("the fan") else None,
            "saves_w": None if n == 0 or need[0] is None or words.startswith("the fan") else _less(need[0], need[n]),
        }
        for n, (words, _) in enumerate(found)
    )


_FOUND: Kept[tuple[list[tuple[str, Case]], Floats]] = Kept()


def _found(design: Design) -> tuple[list[tuple[str, Case]], Floats]:
    """The design and every change of it, and how warm each gets without power [degC]."""
    found = [("as it stands", case_of(design)), *((words, case_of(changed)) for words, changed in changes(design))]
    fanned = with_fan(design, found[0][1])
    found += [] if fanned is None else [fanned]
    return found, hold.settled_air_c(*hold.stacked([case for _, case in found])).max(axis=-1)


def _less(before: float, after: float | None) -> float | None:
    return None if after is None else before - after


def _cold(found: list[tuple[str, Case]], set_c: float) -> list[float | None]:
    """Most cold that each asks for, water counted [W]."""
    box, drive = hold.stacked([case for _, case in found])
    run = hold.held_over(box, drive, set_c)
    dry = -last_day(run.added_w)
    damp = np.stack([hold.damp_w(case, set_c) for _, case in found])
    return [float(value) for value in hold.hourly(np.where(dry > 0, dry + damp, 0.0)).max(axis=-1)]


def with_fan(design: Design, case: Case) -> tuple[str, Case] | None:
    """The day without power for the cooler, but with the fan running and the window cracked as set."""
    stay = sleep.stay_of(design) or next(iter(design.stays), None)
    opened = sleep.effective_m2(design)
    load = None if stay is None else sleep.fan_of(design, stay)
    if load is None or not opened:
        return None
    return "the fan on, window as cracked, no cooler", replace(case, box=with_flow(case, sleep.flow_of(load, opened)))
