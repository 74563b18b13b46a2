"""What the answer says: the sentence, the numbers, the openings as a table, and the frames to cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.design.model import Opening
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Beside, Column, Quantity, mapping, names
from trailerlib.studies.roof import bears, build_up, carry, placing, ways_out
from trailerlib.studies.roof.build_up import Frame
from trailerlib.studies.roof.result import Result, on_roof

COLUMNS = (
    Column("name", "Opening"),
    Column("wall", "Side"),
    Column("mass_kg", "Carries", "mass"),
    Column("cuts", "Cuts"),
    Column("room_m", "Room to the edge", "small length"),
    Column("stress", "Of the stress allowed", "fraction"),
    Column("thick_m", "Thick here", "small length"),
    Column("made_for", "Made for"),
    Column("spacer_m", "Spacer", "small length"),
)
CUTS = (
    Column("what", "To cut"),
    Column("piece", "Piece"),
    Column("count", "Pieces", "count"),
    Column("length_m", "Length", "small length"),
    Column("section", "From"),
)
UNKNOWN = "its mass is not known, or no whole bow carries it on either side"
NOTE = (
    "Trimmers run along the hole from bow to bow, headers across it; two angle brackets and four rivets or screws at "
    "each end, more where the maker says so (common practice, no source). Lift by the wind at speed is left out. A "
    "spacer frame lies inside, under the clamp ring, its drip edge down; dry-fit before sealing. Measure on the "
    "trailer, and have the structure looked at by somebody who answers for it before a bow is cut."
)


def sentence(found: Result, design: Design, checks: Sequence[Finding]) -> str:
    """The verdict: what is worst, else by how much it is carried."""
    first = next((f for f in checks if f.severity in ("stop", "fix")), None)
    stop = next((f for f in checks if f.severity == "stop"), first)
    if stop is not None:
        return stop.text(design.units)
    if found.framing is None and on_roof(design):
        return f"Not checked: the bows are not given ({names(found.lacks)})."
    unknown = [o.name for o in on_roof(design) if o.name not in found.carried]
    if not found.carried:
        if not unknown:
            return "Nothing sits in an opening of the roof."
        return f"Not checked: {names(unknown)}; {UNKNOWN}."
    name, used = _hardest(found)
    if used is None:
        return "Not checked: it is not said how hard the road shakes the roof (roof.shock)."
    share = units.show(used, "fraction", design.units)
    times = f"{design.roof.shock:g} times its weight"
    verdict = f"The roof carries it: under {name} the worst bow works at {share} of what is allowed, at {times}."
    return verdict + (f" Not checked: {names(unknown)}; {UNKNOWN}." if unknown else "")


def _hardest(found: Result) -> tuple[str, float | None]:
    """The opening whose bow is used most, and how much of what is allowed [-]."""
    assert found.framing is not None
    allowed = found.framing.allowed_pa
    told = [(max(c.stress_pa) / allowed, name) for name, c in found.carried.items() if c.stress_pa is not None]
    return (max(told)[1], max(told)[0]) if told else (next(iter(found.carried)), None)


def numbers(found: Result, design: Design, focus: Opening | None) -> Mapping[str, Quantity]:
    """Every number of the answer, of the opening in focus."""
    one = None if focus is None else found.carried.get(focus.name)
    framing = found.framing
    known = one is not None and one.stress_pa is not None and framing is not None
    stress = max(one.stress_pa) if known and one is not None and one.stress_pa is not None else None
    share = None if one is None else max(one.share)
    name, on = "" if focus is None else f" under {focus.name}", found.person
    return mapping(
        bows=Quantity("Bows", None if framing is None else float(len(framing.at_m)), "count"),
        share=Quantity(f"Share of the busiest bow{name}", share, "fraction"),
        stress=Quantity("Bending stress on a bad road", stress, "stress"),
        allowed=Quantity("Stress allowed", None if framing is None else framing.allowed_pa, "stress"),
        sag_m=Quantity("Sag standing still", None if one is None else max(one.sag_m), "small length"),
        shear=Quantity("Shear at the wall", None if one is None else one.shear_pa, "stress"),
        trimmer=Quantity("Stress in the trimmers", None if one is None else one.trimmer_pa, "stress"),
        kneeling=Quantity("With a person kneeling on it", None if on is None else on.kneeling_pa, "stress"),
        person=Quantity("With a person standing on it", None if on is None else on.standing_pa, "stress"),
        bolt_kg=Quantity(
            "Pull of the worst bolt", None if focus is None else carry.bolt_pull_kg(design, focus), "mass"
        ),
        bolt_shear_kg=Quantity(
            "Shear of the worst bolt", None if focus is None else carry.bolt_shear_kg(design, focus), "mass"
        ),
        thick_m=Quantity(
            "Thick there, skin to lining",
            None if focus is None else build_up.thickness_m(design, focus),
            "small length",
        ),
        spacer_m=Quantity(
            "Spacer it needs", None if focus is None else build_up.missing_m(design, focus), "small length"
        ),
        ways_out=Quantity("Ways out", ways_out.count(design), "count"),
    )


def rows(design: Design, found: Result) -> Iterator[Mapping[str, Any]]:
    """Every opening."""
    for opening in design.openings:
        one = found.carried.get(opening.name)
        stress = None if one is None or one.stress_pa is None or found.framing is None else max(one.stress_pa)
        yield {
            "name": opening.name,
            "wall": opening.wall,
            "mass_kg": carry.mass_of(design, opening),
            "cuts": _cuts(design, found, opening),
            "room_m": placing.room_to_edge_m(design.trailer, opening),
            "stress": None if stress is None or found.framing is None else stress / found.framing.allowed_pa,
            "thick_m": build_up.thickness_m(design, opening),
            "made_for": _range(opening, design.units),
            "spacer_m": build_up.missing_m(design, opening),
        }


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'s' if number != 1 else ''}"


def _cuts(design: Design, found: Result, opening: Opening) -> str:
    if opening.wall == "roof":
        count, what = (0 if found.framing is None else len(found.framing.cut_by(opening))), "bow"
    else:
        count, what = len(placing.studs_cut(design, opening)), "stud"
    return "" if count == 0 else _count(count, what)


def _range(opening: Opening, system: units.System) -> str:
    if opening.made_for is None:
        return ""
    thin, thick = (units.show(size, "small length", system) for size in opening.made_for)
    return f"{thin} to {thick}"


def beside(design: Design, found: Result) -> Beside | None:
    """What has to be cut: frames round the openings of the roof and spacer frames; then what each bow carries."""
    cut = (*_framing_rows(design, found), *_spacer_rows(found.frames, design.units))
    note = " ".join([*_at_the_saw(found.frames, design.units), *_at_the_ends(found, design), NOTE])
    return Beside("What to cut", CUTS, tuple(cut), note, bears.besides(found, design.units)) if cut else None


def _framing_rows(design: Design, found: Result) -> Iterator[Mapping[str, Any]]:
    framing, roof = found.framing, design.roof
    if framing is None:
        return
    size = f"{units.show(framing.width_m, 'small length', design.units)} by "
    size += f"{units.show(framing.depth_m, 'small length', design.units)} {roof.section}, {framing.metal.name}"
    for name, one in found.carried.items():
        clear = one.span[1] - one.span[0] - framing.width_m
        yield {"what": name, "piece": "trimmer", "count": 2, "length_m": clear, "section": size}
        yield {"what": name, "piece": "header", "count": 2, "length_m": one.opening.size[1], "section": size}


def _spacer_rows(frames: Sequence[Frame], system: units.System) -> Iterator[Mapping[str, Any]]:
    for frame in frames:
        thick = units.show(frame.thick_m, "small length", system)
        stock = f"{frame.board}, {thick} thick" if frame.board else f"{thick} thick"
        if frame.plane_m > 1e-6:
            stock += f", {units.show(frame.plane_m, 'small length', system)} planed off"
        row = {"what": frame.opening.name, "section": stock}
        for piece in frame.pieces:
            ends = f"spacer, {piece.name}, {piece.ends} ends"
            yield {**row, "piece": ends, "count": piece.count, "length_m": piece.length_m}
        if not frame.pieces:
            yield {**row, "piece": "spacer", "count": 1, "length_m": None}


def _at_the_ends(found: Result, design: Design) -> Iterator[str]:
    """What the fasteners of each frame have to hold."""
    if design.roof.shock is None:
        return
    for name, one in found.carried.items():
        most = units.show(carry.trimmer_end_kg(one, design.roof.shock), "mass", design.units)
        yield f"{name}: on a bad road an end of a trimmer has to hold up to {most}; so must its fasteners."


def _at_the_saw(frames: Sequence[Frame], system: units.System) -> Iterator[str]:
    """How each spacer frame comes out of its board, and how long its fasteners are."""
    for frame in frames:
        strip, left, dust, long = (
            units.show(size, "small length", system)
            for size in (frame.strip_m, frame.left_m, frame.dust_m, frame.screws_m)
        )
        if frame.ripped is not None and frame.boards is not None:
            yield (
                f"{frame.opening.name}: rip {_count(frame.ripped, 'strip')} of {strip}; a board gives {frame.strips}: "
                f"{_count(frame.boards, 'board')}; of the last one's width {left} is left and {dust} goes to the saw."
            )
        if frame.pieces:
            yield f"{frame.opening.name}: the frame is {_sizes(frame, system)}."
        if frame.screws_m is not None:
            yield f"{frame.opening.name}: fasteners {long} under the head."


def _sizes(frame: Frame, system: units.System) -> str:
    inner = frame.opening.size
    told = [" by ".join(units.show(size, "small length", system) for size in sizes) for sizes in (inner, frame.outer)]
    return f"{told[0]} inside and {told[1]} outside"
