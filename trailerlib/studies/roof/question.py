"""Will the roof carry it? Design → bows, openings and what they meet, build-up and spacer frames, ways out."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.model import Opening
from trailerlib.physics import sections, spacer, strength
from trailerlib.physics.formula import Worked, worked
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof import build_up, words
from trailerlib.studies.roof.checks import findings
from trailerlib.studies.roof.drawn import picture_of
from trailerlib.studies.roof.frame import G_M_S2
from trailerlib.studies.roof.result import Result, on_roof, result_of


def answer(design: Design, opening: str | None = None) -> Answer:
    """Whether the bows carry what sits in the roof, and whether every opening fits where it is cut.

    Parameters
    ----------
    design : the design
    opening : name of the opening that is looked at; None takes the first of the roof

    Raises
    ------
    DesignError
        When the design has no opening of that name.
    """
    focus = focus_of(design, opening)
    found = result_of(design)
    checks = findings(design, found)
    return Answer(
        question="roof",
        title="Will the roof carry it?",
        system=design.units,
        sentence=words.sentence(found, design, checks),
        numbers=words.numbers(found, design, focus),
        columns=words.COLUMNS,
        show_rows=lambda: words.rows(design, found),
        checks=checks,
        picture=picture_of(design, found, checks, focus),
        show_working=lambda: tuple(working(design, found, focus)),
        show_beside=lambda: words.beside(design, found),
    )


def focus_of(design: Design, name: str | None) -> Opening | None:
    """The opening of that name; without one the first of the roof, else the first of all."""
    if name is None:
        return next(iter((*on_roof(design), *design.openings)), None)
    found = next((o for o in design.openings if o.name == name), None)
    if found is None:
        offer = ", ".join(f'"{o.name}"' for o in design.openings) or "none yet"
        raise DesignError(f'there is no opening called "{name}"; there are: {offer}.')
    return found


def working(design: Design, found: Result, focus: Opening | None) -> Iterator[Worked]:
    """The steps to the stress of the busiest bow and to the spacer."""
    framing, one = found.framing, None if focus is None else found.carried.get(focus.name)
    if framing is not None and design.roof.section == "tube" and design.roof.wall is not None:
        hole = framing.width_m - 2 * design.roof.wall, framing.depth_m - 2 * design.roof.wall
        yield worked(
            sections.box_second_m4, width_m=framing.width_m, depth_m=framing.depth_m, hole_width_m=hole[0],
            hole_depth_m=hole[1],
        )  # fmt: skip
    if framing is not None and one is not None and one.stress_pa is not None and design.roof.shock is not None:
        yield worked(strength.shaken_n, weight_n=one.mass_kg * G_M_S2, shock=design.roof.shock)
        modulus = float(framing.section.modulus_m3)
        moment = max(one.stress_pa) * modulus / design.roof.shock
        yield worked(strength.bending_stress_pa, moment_nm=moment, modulus_m3=modulus, shock=design.roof.shock)
        strong = framing.metal.strength_pa(welded=design.roof.welded is not False)
        yield worked(strength.allowable_stress_pa, yield_pa=strong, safety=framing.metal.safety)
    if focus is not None and focus.made_for is not None:
        actual, lacks = build_up.thickness_m(design, focus), build_up.missing_m(design, focus)
        if actual is not None and lacks:
            yield worked(spacer.spacer_m, made_for_m=focus.made_for[0 if lacks > 0.0 else 1], actual_m=actual)
