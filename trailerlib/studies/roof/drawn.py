"""The three drawings of this question from what has been worked out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.rules.finding import Finding, Severity, worst
from trailerlib.rules.roof import SAG_SHARE
from trailerlib.studies.answer import names
from trailerlib.studies.roof import build_up, placing
from trailerlib.studies.roof.picture import Bar, BowCarries, BuildUp, FromOutside, Hole, Mark, RoofPicture, Wall
from trailerlib.studies.roof.result import Result, on_roof
from trailerlib.studies.roof.words import UNKNOWN

ABOUT = ("opening-over-edge", "bow-cut-without-headers", "bow-cut", "opening-in-the-rain", "bow-stress", "bow-sag",
         "trimmer-stress", "wall-too-thin", "wall-too-thick", "roof-too-thin", "roof-too-thick",
         "lid-in-the-wind")  # fmt: skip
THICK = ("wall-too-thin", "wall-too-thick", "roof-too-thin", "roof-too-thick")


def picture_of(design: Design, found: Result, checks: Sequence[Finding], focus: Opening | None) -> RoofPicture:
    """What can be drawn, and what is missing for the rest.

    Parameters
    ----------
    design : the design
    found : what has been worked out
    checks : what has been found
    focus : the opening that is looked at; None where there is none
    """
    missing = {}
    if focus is None:
        missing = {"outside": "the design has no opening", "build-up": "the design has no opening"}
    bows = _bows(found, focus)
    if bows is None:
        missing["bows"] = _why_no_bows(design, found)
    layers = None if focus is None else _build_up(design, focus, checks)
    if layers is None and focus is not None:
        missing["build-up"] = "the layers of that side are not given"
    outside = None if focus is None else side(design, found, checks, focus.wall, focus.name)
    return RoofPicture(design.title, design.units, outside, bows, layers, missing)


def side(design: Design, found: Result, checks: Sequence[Finding], wall: Wall, focus: str | None = None) -> FromOutside:
    """One side of the box with all that is on it, whether it has an opening or not.

    Parameters
    ----------
    design : the design
    found : what has been worked out
    checks : what has been found
    wall : which side
    focus : name of the opening that is looked at; None where there is none
    """
    length, height = placing.size_of(design.trailer, wall)
    holes = tuple(_hole(o, checks) for o in design.openings if o.wall == wall)
    marks = tuple(Mark(c.x, c.y, c.words, "fix") for c in found.conflicts if c.wall == wall)
    return FromOutside(
        wall, length, height, holes, tuple(_bars(design, found, wall)), placing.behind(design, wall),
        placing.against(design, wall), (*marks, *_edge_marks(design, checks, wall)), focus,
    )  # fmt: skip


def _hole(opening: Opening, checks: Sequence[Finding]) -> Hole:
    said = [f for f in checks if f.rule in ABOUT and _is_about(f, opening) and f.severity != "not checked"]
    said += [f for f in checks if f.rule == "opening-in-the-way" and _is_about(f, opening)]
    (x, y), (length, width) = opening.at, opening.size
    return Hole(opening.name, opening.kind, x, y, length, width, opening.flange, opening.shroud, worst(said))


def _is_about(finding: Finding, opening: Opening) -> bool:
    """Whether a finding speaks of this opening: its name alone, under it, in quotes, or first of what it says."""
    name, subject = opening.name, finding.subject
    begins = (f"{name} cuts ", f"{name} and the wall")
    return subject in (name, f"The bow under {name}") or f'"{name}"' in subject or subject.startswith(begins)


def _edge_marks(design: Design, checks: Sequence[Finding], wall: Wall) -> Iterator[Mark]:
    for opening in design.openings:
        if opening.wall != wall:
            continue
        for finding in checks:
            told = finding.rule in ("opening-over-edge", "bow-cut-without-headers", "bow-cut")
            if told and finding.subject == opening.name and finding.severity in ("fix", "note"):
                yield Mark(*opening.at, finding.text(design.units), finding.severity)


def _bars(design: Design, found: Result, wall: Wall) -> Iterator[Bar]:
    height = placing.size_of(design.trailer, wall)[1]
    if wall != "roof":
        cut = {at for o in design.openings if o.wall == wall for at in placing.studs_cut(design, o)}
        face = next((f for f in design.faces if f.name == "walls"), None)
        for at in placing.studs(design, wall):
            yield Bar("stud", (at, 0.0), (at, height), (face.stud_width if face else None) or 0.03, at in cut)
        return
    framing = found.framing
    if framing is None:
        return
    holes = [o for o in design.openings if o.wall == "roof" and o.kind != "door"]
    cut = {at for o in holes for at in framing.cut_by(o)}
    for at in framing.at_m:
        yield Bar("bow", (at, 0.0), (at, height), framing.width_m, at in cut)
    for opening in holes:
        yield from _round(opening, framing.beside(opening), framing.width_m)


def _round(opening: Opening, span: tuple[float, float] | None, broad: float) -> Iterator[Bar]:
    """Trimmers along the hole from bow to bow, headers across it."""
    if span is None:
        return
    (x, y), (along, across) = opening.at, opening.size
    for side in (y - across / 2, y + across / 2):
        yield Bar("trimmer", (span[0], side), (span[1], side), broad)
    for at in (x - along / 2, x + along / 2):
        yield Bar("header", (at, y - across / 2), (at, y + across / 2), broad)


def _bows(found: Result, focus: Opening | None) -> tuple[BowCarries, ...] | None:
    framing = found.framing
    named = focus.name if focus is not None and focus.name in found.carried else next(iter(found.carried), None)
    if framing is None or named is None:
        return None
    one = found.carried[named]
    if one.stress_pa is None:
        return None
    return tuple(
        BowCarries(
            f"bow {n + 1}", at, share, stress, framing.allowed_pa, sag, SAG_SHARE * framing.span_m, at in one.cut,
            one.case, _word(stress, framing.allowed_pa, sag, framing.span_m),
        )
        for n, (at, share, stress, sag) in enumerate(
            zip(framing.at_m, one.share, one.stress_pa, one.sag_m, strict=True)
        )
    )  # fmt: skip


def _why_no_bows(design: Design, found: Result) -> str:
    if found.lacks:
        return f"it needs {names(found.lacks)}"
    if design.roof.shock is None:
        return "it needs roof.shock"
    return f"{names(o.name for o in on_roof(design))}: {UNKNOWN}" if on_roof(design) else "the roof has no opening"


def _word(stress: float, allowed: float, sag: float, span: float) -> Severity:
    return "fix" if stress > allowed or sag > SAG_SHARE * span else "holds"


def _build_up(design: Design, focus: Opening, checks: Sequence[Finding]) -> BuildUp | None:
    face = build_up.face_at(design, focus)
    if face is None:
        return None
    said = [f for f in checks if f.rule in THICK and f.subject == focus.name]
    lacks = build_up.missing_m(design, focus)
    part: Literal["wall", "roof", "door"] = (
        "roof" if focus.wall == "roof" else "door" if face.name == "door" else "wall"
    )
    framed = focus.kind == "door"
    word = worst(said) if said else "holds" if framed else "not checked"
    return BuildUp(focus.name, tuple(face.layers or ()), focus.made_for, lacks, word, part, framed)
