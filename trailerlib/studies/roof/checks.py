"""What can be found wrong with roof and openings."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.rules import openings
from trailerlib.rules import roof as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies.roof import build_up, carry, placing, ways_out
from trailerlib.studies.roof.result import Result, on_roof


def findings(design: Design, found: Result) -> tuple[Finding, ...]:
    """The rules roof and openings are held against; "not checked" where something is not known."""
    return (*_carried(design, found), *_placed(design, found), *_clamped(design), *_out(design))


def _carried(design: Design, found: Result) -> Iterator[Finding]:
    framing = found.framing
    allowed = None if framing is None else framing.allowed_pa
    for opening in on_roof(design):
        one, name = found.carried.get(opening.name), opening.name
        stress = None if one is None or one.stress_pa is None else max(one.stress_pa)
        yield rules.bow_stress(f"The bow under {name}", stress, allowed)
        yield rules.bow_shear(f"The bow under {name}", None if one is None else one.shear_pa, allowed)
        sag = None if one is None else max(one.sag_m)
        yield rules.bow_sag(f"The bow under {name}", sag, None if framing is None else framing.span_m)
        yield rules.trimmer_stress(name, None if one is None else one.trimmer_pa, allowed)
        cut = None if framing is None else framing.cut_by(opening)
        bare = None if cut is None or (cut and opening.headers is None) else bool(cut) and opening.headers is False
        yield rules.cut_without_headers(name, bare)
        if opening.headers is not False and cut != ():
            yield rules.bows_cut(name, float(len(cut)) if cut and opening.headers else None)
        if opening.kind == "roof cooler":
            yield openings.bolts_hold(name, carry.bolt_pull_kg(design, opening), opening.bolt_limit)
    if design.roof.person is not None or on_roof(design):
        on = found.person
        yield rules.person_on_roof("A person kneeling", None if on is None else on.kneeling_pa, allowed)
        yield rules.person_on_roof("A person standing", None if on is None else on.standing_pa, allowed)


def _placed(design: Design, found: Result) -> Iterator[Finding]:
    for opening in design.openings:
        room = placing.room_to_edge_m(design.trailer, opening)
        bare = opening.flange is None and opening.kind != "door"
        yield openings.over_edge(opening.name, None if bare and room >= 0.0 else room)
        if opening.wall == "nose":
            yield openings.in_the_rain(opening.name, True)
        if placing.asks_for_hinge(opening):
            yield openings.lid_in_the_wind(opening.name, placing.hangs_wrong(opening))
        yield from _studs(design, opening)
    for conflict in found.conflicts:
        yield openings.in_the_way(conflict.words, True)


def _studs(design: Design, opening: Opening) -> Iterator[Finding]:
    """Whether an opening of a wall cuts studs that no header carries."""
    if not placing.asks_for_studs(design, opening) or opening.headers is True:
        return
    if not placing.studs(design, opening.wall):
        yield openings.in_the_way(f"{opening.name} and the wall's studs", None)
    elif studs := placing.studs_cut(design, opening):
        yield openings.in_the_way(f"{opening.name} cuts {len(studs)} of the wall's studs", True)


def _clamped(design: Design) -> Iterator[Finding]:
    for opening in design.openings:
        if opening.kind == "door" and opening.made_for is None:
            continue  # most doors come with a frame of their own; one that says what it clamps is held to it
        actual, made_for = build_up.thickness_m(design, opening), opening.made_for or (None, None)
        above = opening.wall == "roof"
        yield (openings.roof_too_thin if above else openings.too_thin)(opening.name, actual, made_for[0])
        yield (openings.roof_too_thick if above else openings.too_thick)(opening.name, actual, made_for[1])


def _out(design: Design) -> Iterator[Finding]:
    sleepers = design.use.sleepers
    if sleepers == 0:
        return
    yield openings.ways_out(None if sleepers is None else ways_out.count(design))
