"""The pictures of the build file: the same drawings as on the bench, in the inks and the font of the page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from trailerlib.buildfile.faces import SECOND
from trailerlib.buildfile.glyphs import MARK, in_first, marked
from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer, Assessment
from trailerlib.studies.generator import motors
from trailerlib.studies.roof.picture import Wall

_LETTERS = re.compile("(<text[^>]*>)([^<]*)")


@dataclass(frozen=True)
class Drawing:
    """One picture: SVG text and what it shows, for those who cannot see it."""

    svg: str
    shows: str


WALLS: dict[Wall, str] = {
    "roof": "The roof",
    "road": "Road side",
    "curb": "Curb side",
    "nose": "The nose",
    "rear": "The rear",
}


def drawings(design: Design, assessment: Assessment, readings: Mapping[str, float] | None = None) -> dict[str, Drawing]:
    """Every picture of the build file by its question; the plan is called ``plan``.

    Parameters
    ----------
    design : the design
    assessment : every study of it
    readings : [inside unit] what was measured in the closing-in test, by key of the line

    Returns
    -------
    dict of str to Drawing
        Only the pictures there is something to draw for.
    """
    import trailerlib.pictures as pictures

    draw = {
        "loads": (pictures.load_bars, "Running and starting power of every load"),
        "night": (pictures.night_curve, "Charge of the battery over the stay"),
        "wiring": (pictures.wire_chart, "Drop of the circuit with the least room, by wire size"),
        "trip": (pictures.trip_picture, "Charge of the battery over the days, what comes in and what the loads take"),
        "mains": (pictures.mains_bars, "What is asked of every supply against what it gives"),
        "generator": (pictures.generator_bars, "What every generator class gives here against what is asked"),
    }
    above = pictures.plan(design, assessment, ink="paper")
    found = {"plan": Drawing(_for_paper(above), "The trailer from above, to scale")}
    for question, (picture, shows) in draw.items():
        answer = assessment[question]
        if answer.picture is not None and _has_content(answer.picture):
            found[question] = Drawing(_for_paper(picture(answer, ink="paper")), shows)
    return (
        found
        | _one_line(design)
        | _wires(design, assessment["wiring"])
        | _mains(design, assessment["mains"])
        | _start(design, assessment["generator"])
        | _heat(assessment["cooling"])
        | _roof(design, assessment["roof"])
        | _balance(assessment["towing"])
        | _closing(design, assessment, readings or {})
    )


def _one_line(design: Design) -> dict[str, Drawing]:
    """Every sheet of the one-line diagram; none where there is nothing on it."""
    import trailerlib.pictures as pictures

    sheets = pictures.one_line(design, ink="paper") if pictures.has_one_line(design) else ()
    return {
        f"one-line-{number}": Drawing(_for_paper(svg), f"One-line diagram, sheet {number} of {len(sheets)}")
        for number, svg in enumerate(sheets, start=1)
    }


def _wires(design: Design, answer: Answer) -> dict[str, Drawing]:
    """Where the wires run; and, of the circuit with the least room, the way of the current and what its fuse does."""
    import trailerlib.pictures as pictures

    found, picture = dict[str, Drawing](), answer.picture
    if any(run.route.legs for run in picture.runs):
        found["routes"] = Drawing(
            _for_paper(pictures.route_plan(answer, None, design, ink="paper")),
            "Where the wires run, from above and from the side, to scale",
        )
    if picture.focus is None:
        return found
    name = picture.focus.circuit.name
    if picture.path is not None:
        way = pictures.staircase(picture.path, title=name, ink="paper")
        found["path"] = Drawing(_for_paper(way), f"Voltage along the way of {name}")
    if picture.focus.guard.device is not None:
        main = [picture.main] if picture.main is not None and picture.focus.circuit.system == "dc" else []
        chart = pictures.time_current_chart(
            picture.focus.guard, title=name, ink="paper", system=answer.system, others=main
        )
        found["time"] = Drawing(_for_paper(chart), f"Fuse and wire of {name} over time and current")
    return found


def _mains(design: Design, answer: Answer) -> dict[str, Drawing]:
    """The panel from the front."""
    import trailerlib.pictures as pictures

    if not design.circuits_of("mains"):
        return {}
    front = pictures.panel_front(answer.picture.panel, ink="paper")
    return {"panel": Drawing(_for_paper(front), "The panel from the front, with everything on")}


def _start(design: Design, answer: Answer) -> dict[str, Drawing]:
    """The hardest start on the generator, over two seconds; what has no motor starts as it runs and is not drawn."""
    import trailerlib.pictures as pictures

    hardest, engines = answer.picture.hardest, [load.name for load in motors(design)]
    shows = f"The start of {hardest} on the generator"
    if hardest not in engines:
        cases = [case for name in engines if (case := answer.picture.start_of(name)) is not None and not case.gap]
        if not cases:
            return {}
        hardest = max(cases, key=lambda case: case.locked_a).load
        shows = f"What happens if {hardest} is started on the generator"
    case = answer.picture.start_of(hardest)
    if case is None:
        return {}
    return {"start": Drawing(_for_paper(pictures.start_curve(case, ink="paper", system=answer.system)), shows)}


def _heat(answer: Answer) -> dict[str, Drawing]:
    """Heat through each side, the hot day, the air of the night; those that can be drawn."""
    import trailerlib.pictures as pictures

    found, picture = dict[str, Drawing](), answer.picture
    if picture.heat is not None:
        found["cooling"] = Drawing(
            _for_paper(pictures.box_heat(answer, ink="paper")), "Heat through each side of the box"
        )
    if picture.day is not None:
        found["day"] = Drawing(_for_paper(pictures.hot_day(answer, ink="paper")), "Temperatures over the hot day")
    if picture.night is not None:
        found["air"] = Drawing(_for_paper(pictures.night_air(answer, ink="paper")), "Carbon dioxide over the night")
    return found


def _roof(design: Design, answer: Answer) -> dict[str, Drawing]:
    """The roof and every side with an opening from outside, how the bows carry, what the first spacer is made for."""
    import trailerlib.pictures as pictures
    from trailerlib.studies import study
    from trailerlib.studies.roof import drawn
    from trailerlib.studies.roof.result import result_of

    found, picture = dict[str, Drawing](), answer.picture
    if picture.bows is not None:
        found["carries"] = Drawing(_for_paper(pictures.bows_carry(answer, ink="paper")), "How the bows carry")
    for wall, words in WALLS.items():
        if wall in ("road", "curb") or any(opening.wall == wall for opening in design.openings):
            told = drawn.side(design, result_of(design), answer.checks, wall)
            view = replace(answer, picture=replace(picture, outside=told))
            key = "roof" if wall == "roof" else f"side-{wall}"
            found[key] = Drawing(
                _for_paper(pictures.from_outside(view, ink="paper")), f"{words} from outside, to scale"
            )
    off = (f for f in answer.findings if f.rule.endswith(("-too-thin", "-too-thick")))
    thin = next((f.subject for f in off if f.severity != "not checked"), None)
    if thin is not None:
        side = study("roof", design, opening=thin)
        clamped = pictures.build_up(side, ink="paper")
        found["clamped"] = Drawing(_for_paper(clamped), f"The {side.picture.build_up.part} at {thin}")
    return found


def _balance(answer: Answer) -> dict[str, Drawing]:
    """The loaded trailer from the side and from above."""
    import trailerlib.pictures as pictures

    if answer.picture.gross_kg is None:
        return {}
    side, above = (draw(answer.picture, ink="paper") for draw in (pictures.balance_side, pictures.balance_above))
    return {
        "towing": Drawing(_for_paper(side), "The loaded trailer from the side: masses, coupler and axles"),
        "above": Drawing(_for_paper(above), "The loaded trailer from above: masses and what each wheel carries"),
    }


def _closing(design: Design, assessment: Assessment, readings: Mapping[str, float]) -> dict[str, Drawing]:
    """The way of the current with what should be read along it and what was, and where on the plan that is.

    The first reading that is off is looked at; while none is, the circuit with the least room with everything on.
    """
    import trailerlib.pictures as pictures
    from trailerlib.studies.closing.battery_lines import ALL
    from trailerlib.studies.closing.drawn import picture_of
    from trailerlib.studies.closing.sheet import sheet_of

    answer = assessment.answers.get("closing")
    if answer is None:
        return {}
    sheet, tightest = sheet_of(design), assessment["wiring"].picture.focus
    name = "" if tightest is None else tightest.circuit.name
    off = [one.line.key for one in sheet.expected if one.verdict(readings.get(one.line.key)) == "differs"]
    here = [one.line.key for one in sheet.expected if one.line.stage == "battery" and name in one.line.where]
    with_all = [key for key in here if key.startswith(f"{ALL}/")]
    for key in [*off[:1], *with_all, *here]:
        found = picture_of(design, sheet, answer.picture, readings, key)
        if found.along is not None or key in off:
            stairs = pictures.closing_stairs(found, ink="paper")
            plan = pictures.closing_plan(found, design, ink="paper")
            shown = {"stairs": Drawing(_for_paper(stairs), "The way of the current: what should be read along it")}
            return shown | ({"stairs-plan": Drawing(_for_paper(plan), "Where to look")} if found.suspects else {})
    return {}


def _has_content(picture: object) -> bool:
    """Whether there is a bar, a run or a curve to draw."""
    for name in ("bars", "runs", "time_h"):
        if hasattr(picture, name):
            return len(getattr(picture, name)) > 0
    return True


def _for_paper(svg: str) -> str:
    """The drawing with a mark for what no shipped font draws, and the second family where the first does not."""
    shown = marked(svg).replace(MARK, "[?]")
    strange = re.escape("".join(letter for letter in dict.fromkeys(shown) if not in_first(letter)))
    if not strange:
        return shown
    second = rf'<tspan font-family="{SECOND}">\1</tspan>'
    return _LETTERS.sub(lambda text: text[1] + re.sub(f"([{strange}]+)", second, text[2]), shown)
