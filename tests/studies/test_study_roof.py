"""Will the roof carry it: build-up and spacer frames by hand, every rule raised and not checked, what the answer says."""

from __future__ import annotations

from math import isnan
from typing import Any

import numpy as np
import pytest
from roofs import box, hole

import trailerlib as tl
from trailerlib.rules.finding import Finding
from trailerlib.rules.openings import RAIN
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof import build_up
from trailerlib.studies.roof.build_up import Frame
from trailerlib.studies.roof.picture import RoofPicture

INCH, LB, G = 0.0254, 0.45359237, 9.80665
COOLER, FAN, WINDOW = ("opening", "roof cooler"), ("opening", "roof fan"), ("opening", "door window")
Changes = dict[tuple[str, ...], Any]


@pytest.fixture(scope="module")
def cart() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["kiln-cart"])


def said(answer: Answer, rule: str, about: str = "") -> list[Finding]:
    return [f for f in answer.checks if f.rule == rule and about in f.subject]


def frame_of(design: tl.Design) -> Frame:
    (found,) = build_up.frames(design)
    return found


# ── what an opening is clamped through ────────────────────────────────────────────────────────────────


def test_the_thickness_of_each_face_by_hand(demo: tl.Design) -> None:
    rows = {row["name"]: row["thick_m"] / INCH for row in tl.study("roof", demo).rows}
    walls, roof, door = 0.030 + 1 + 0.25, 0.030 + 1.5 + 0.25, 0.030 + 0.75 + 0.25
    assert rows == {"side door": pytest.approx(walls), "door window": pytest.approx(door), "rear ramp": pytest.approx(walls),
                    "roof cooler": pytest.approx(roof), "roof fan": pytest.approx(roof)}  # fmt: skip
    beside = demo.replace((*WINDOW, "at"), ["10 ft", "4 ft"])
    assert tl.study("roof", beside, opening="door window").value("thick_m") == pytest.approx(walls * INCH)


def test_what_is_missing_to_the_range_by_hand(demo: tl.Design) -> None:
    for range_in, missing in (((1.25, 1.75), 0.22), ((1.0, 1.5), 0.0), ((1.03, 2), 0.0), ((0.5, 0.75), -0.28), ((0.5, 1.03), 0)):  # fmt: skip
        design = demo.replace((*WINDOW, "made_for"), [f"{size} in" for size in range_in])
        answer = tl.study("roof", design, opening="door window")
        assert answer.value("spacer_m") / INCH == pytest.approx(missing, abs=1e-9), range_in
        wrong = {f.rule for f in answer.checks if f.rule.startswith("wall-too") and f.subject == "door window"
                 and f.severity == "fix"}  # fmt: skip
        assert wrong == ({"wall-too-thin"} if missing > 0 else {"wall-too-thick"} if missing < 0 else set()), range_in
        steps = {step.title: step.value for step in answer.working}
        assert steps.get("Spacer") == (pytest.approx(missing * INCH) if missing else None), range_in
        assert bool(list(build_up.frames(design))) is (missing > 0)


def test_a_door_that_says_what_it_clamps_is_held_to_it(demo: tl.Design) -> None:
    """The wall at the side door is 1.28 in: too thin for 1 1/2 in, right for 1 to 2, too thick for 1 1/4; unsaid, unasked."""

    def rules(made_for: list[str] | None) -> dict[str, str]:
        design = demo if made_for is None else demo.replace(("opening", "side door", "made_for"), made_for)
        return {f.rule: f.severity for f in tl.study("roof", design).checks if f.subject == "side door"}

    assert not [rule for rule in rules(None) if rule.startswith("wall-too")]
    for made_for, thin, thick in (
        (["1 1/2 in", "2 in"], "fix", "holds"),
        (["1 in", "2 in"], "holds", "holds"),
        (["1 in", "1 1/4 in"], "holds", "fix"),
    ):
        found = rules(made_for)
        assert (found["wall-too-thin"], found["wall-too-thick"]) == (thin, thick)


def test_the_spacer_of_the_demos_door_window_by_hand(demo: tl.Design) -> None:
    """1.03 in of door, made for 1.25 to 1.75: 0.22 to 0.72. 1/4 in plywood does unplaned; 3/4 in poplar would lose 0.03."""
    frame = frame_of(demo)
    assert [end / INCH for end in frame.range_m] == pytest.approx([0.22, 0.72])
    assert (frame.board, frame.plane_m) == ("plywood strip stock", 0.0)
    assert frame.thick_m / INCH == pytest.approx(0.25)
    pieces = [(p.name, p.count, p.length_m / INCH, p.ends) for p in frame.pieces]
    assert pieces == [("level", 2, pytest.approx(21), "square"), ("upright", 2, pytest.approx(24), "square")]
    assert frame.strips == 7, "12 1/8 in over 1 5/8 in"
    assert frame.boards == 1, "two strips of 4 ft: 24 and 21 in with a kerf on each"
    assert frame.screws_m is not None and frame.screws_m / INCH == pytest.approx(1.03 + 0.25 + 0.125 + 0.375)


def test_the_poplar_alone_is_planed(demo: tl.Design) -> None:
    frame = frame_of(demo.replace("board.plywood strip stock.thickness", "1/8 in"))
    assert frame.board == "poplar 1 by 8"
    assert (frame.thick_m / INCH, frame.plane_m / INCH) == (pytest.approx(0.72), pytest.approx(0.03))
    assert frame.strips == 4, "7 3/8 in over 1 5/8 in"
    shown = tl.study("roof", demo.replace("board.plywood strip stock.thickness", "1/8 in")).beside
    assert shown is not None and "0.0300 in planed off" in shown.rows[-2]["section"]
    both = demo.replace("board.plywood strip stock.thickness", "0.70 in")
    assert frame_of(both).board == "plywood strip stock", "what needs no planing, before what is thinner"


def test_mitred_corners_are_as_long_as_the_frame(demo: tl.Design) -> None:
    frame = frame_of(demo.replace("shop.corner", "mitre"))
    pieces = [(p.name, p.count, p.length_m / INCH, p.ends) for p in frame.pieces]
    assert pieces == [("level", 2, pytest.approx(21), "mitre"), ("upright", 2, pytest.approx(27), "mitre")]


@pytest.mark.parametrize(("width", "length", "corner", "strips", "boards"), [
    ("3 in", "4 ft", "butt", 1, 2), ("3 in", "4 ft", "mitre", 1, 3), ("3 1/8 in", "4 ft", "mitre", 2, 2),
    ("3 in", "8 ft", "butt", 1, 1), ("3 in", "6 ft", "butt", 1, 2), ("3 in", "24 in", "butt", 1, 4), ("3 in", "23 in", "butt", 1, None),
    ("1 in", "8 ft", "butt", 0, None), ("3 in", "45.125 in", "butt", 1, 2), ("3 in", "45 in", "butt", 1, 3),
])  # fmt: skip
def test_how_many_boards_it_takes(
    width: str, length: str, corner: str, strips: int, boards: int | None, demo: tl.Design
) -> None:
    """Two pieces of 24 in and two of 21 in (mitred 27 and 21), 1/8 in lost between two from one strip."""
    keys = {"thickness": "1/4 in", "width": width, "length": length}
    frame = frame_of(demo.replace_all({("board",): [{"name": "strip", **keys}], ("shop", "corner"): corner}))
    assert (frame.strips, frame.boards) == (strips, boards)


def test_without_a_board_or_a_saw(demo: tl.Design) -> None:
    frame = frame_of(
        demo.replace("board", [{"name": "thin", "thickness": "1/8 in", "width": "6 in", "length": "8 ft"}])
    )
    assert frame.board is None and frame.strips is frame.boards is None
    assert frame.thick_m / INCH == pytest.approx(0.47), "the middle of 0.22 to 0.72"
    assert frame_of(demo.replace("shop.strip", None)).pieces == ()
    assert frame_of(demo.replace("shop.kerf", None)).strips is None
    assert frame_of(demo.replace("shop.bite", None)).screws_m is None
    assert frame_of(demo.replace((*WINDOW, "flange_thickness"), None)).screws_m is None
    for path in ("board", "shop", "shop.strip"):
        answer = tl.study("roof", demo.replace(path, None))
        assert answer.text() and answer.beside is not None and answer.beside.rows[-1]["what"] == "door window"


def test_a_thicker_wall_never_needs_a_thicker_spacer(demo: tl.Design) -> None:
    before = None
    for size in ("1/4 in", "1/2 in", "3/4 in", "1 in", "1 1/2 in", "2 in"):
        layers = ("face", "door", "layers", "extruded polystyrene")
        now = tl.study("roof", demo.replace(layers, size), opening="door window").value("spacer_m")
        assert before is None or now <= before
        before = now


# ── what has to be cut ────────────────────────────────────────────────────────────────────────────────


def test_trimmers_and_headers_by_hand(demo: tl.Design) -> None:
    """From bow to bow less one bow: 24 - 1 and, past the bow that the fan cuts, 48 - 1 in; headers as wide as the hole."""
    beside = tl.study("roof", demo).beside
    assert beside is not None
    cut = [(row["what"], row["piece"], row["count"], round(row["length_m"] / INCH, 6)) for row in beside.rows[:4]]
    assert cut == [("roof cooler", "trimmer", 2, 23), ("roof cooler", "header", 2, 14), ("roof fan", "trimmer", 2, 47),
                   ("roof fan", "header", 2, 14)]  # fmt: skip
    assert beside.rows[0]["section"] == "1.00 in by 1.50 in tube, tube steel" and "common practice" in beside.note
    assert "have the structure looked at" in beside.note and "wind at speed is left out" in beside.note


# ── rules ─────────────────────────────────────────────────────────────────────────────────────────────

RAISED: list[tuple[str, Changes, str, str]] = [
    ("bow-stress", {("roof", "shock"): 4}, "roof cooler", "fix"),
    ("bow-stress", {(*COOLER, "mass"): "101 lb"}, "roof cooler", "fix"),
    ("bow-sag", {(*COOLER, "mass"): "300 lb"}, "roof cooler", "fix"),
    ("bow-shear", {(*COOLER, "mass"): "900 lb", ("roof", "wall"): "0.010 in"}, "roof cooler", "fix"),
    ("trimmer-stress", {(*COOLER, "mass"): "700 lb"}, "roof cooler", "fix"),
    ("person-on-roof", {}, "A person kneeling", "note"),
    ("person-on-roof", {}, "A person standing", "note"),
    ("lid-in-the-wind", {(*FAN, "hinge"): "rear"}, "roof fan", "fix"),
    ("lid-in-the-wind", {(*FAN, "hinge"): "left"}, "roof fan", "fix"),
    ("lid-in-the-wind", {(*WINDOW, "hinge"): "rear"}, "door window", "fix"),
    ("roof-too-thin", {(*FAN, "made_for"): ["2 in", "3 in"]}, "roof fan", "fix"),
    ("roof-too-thick", {("face", "roof", "layers", "plywood"): "1 1/2 in"}, "roof fan", "fix"),
    ("bow-cut-without-headers", {(*FAN, "headers"): False}, "roof fan", "fix"),
    ("bow-cut", {}, "roof fan", "note"),
    ("roof-bolts-hold", {(*COOLER, "bolt_limit"): "36 lb"}, "roof cooler", "fix"),
    ("opening-over-edge", {(*COOLER, "at"): ["6 ft", "8 in"]}, "roof cooler", "fix"),
    ("opening-over-edge", {(*COOLER, "at"): ["6 ft", "14 in"]}, "roof cooler", "fix"),  # its cover of 29 in alone
    ("opening-in-the-way", {(*COOLER, "at"): ["10 ft", "3 ft 6 in"]}, '"roof cooler" and "roof fan"', "fix"),
    ("opening-in-the-way", {(*WINDOW, "at"): ["10 ft", "4 ft"], (*WINDOW, "headers"): False}, "door window cuts 1", "fix"),
    ("opening-in-the-rain", {(*WINDOW, "wall"): "nose", (*WINDOW, "at"): ["3 ft", "4 ft"]}, "door window", "note"),
    ("wall-too-thin", {}, "door window", "fix"),
    ("wall-too-thick", {(*WINDOW, "made_for"): ["1/2 in", "1 in"]}, "door window", "fix"),
    ("second-way-out", {("opening", "rear ramp", "clear"): ["60 in", "16 in"]}, "sleeping space", "stop"),
]  # fmt: skip

HOLDS: list[tuple[str, Changes, str]] = [
    ("bow-stress", {}, "roof cooler"), ("bow-sag", {}, "roof cooler"), ("trimmer-stress", {}, "roof cooler"), ("bow-shear", {}, "roof cooler"),
    ("bow-stress", {(*COOLER, "mass"): "100 lb"}, "roof cooler"), ("person-on-roof", {("roof", "person"): "80 lb"}, "A person standing"),
    ("lid-in-the-wind", {}, "roof fan"), ("lid-in-the-wind", {(*WINDOW, "hinge"): "top"}, "door window"),
    ("roof-too-thin", {}, "roof fan"), ("roof-too-thick", {}, "roof cooler"),
    ("bow-cut-without-headers", {}, "roof fan"), ("bow-cut-without-headers", {(*COOLER, "headers"): None}, "roof cooler"),
    ("roof-bolts-hold", {(*COOLER, "bolt_limit"): "37 lb"}, "roof cooler"), ("opening-over-edge", {}, "roof cooler"),
    ("opening-over-edge", {(*COOLER, "at"): ["6 ft", "15 in"]}, "roof cooler"),
    ("wall-too-thin", {(*WINDOW, "made_for"): ["1 in", "1 3/4 in"]}, "door window"),
    ("wall-too-thick", {(*WINDOW, "made_for"): ["1 in", "1 3/4 in"]}, "door window"), ("second-way-out", {}, "sleeping space"),
]  # fmt: skip


@pytest.mark.parametrize("case", RAISED, ids=[f"{c[0]} {n}" for n, c in enumerate(RAISED)])
def test_every_rule_is_raised(case: tuple[str, Changes, str, str], demo: tl.Design) -> None:
    rule, changes, about, word = case
    found = said(tl.study("roof", demo.replace_all(changes)), rule, about)
    assert [f.severity for f in found] == [word], found


@pytest.mark.parametrize("case", HOLDS, ids=[f"{c[0]} {n}" for n, c in enumerate(HOLDS)])
def test_every_rule_holds_where_it_should(case: tuple[str, Changes, str], demo: tl.Design) -> None:
    rule, changes, about = case
    assert [f.severity for f in said(tl.study("roof", demo.replace_all(changes)), rule, about)] == ["holds"]


def test_all_rules_of_this_question_are_among_them() -> None:
    from trailerlib.rules.finding import all_rules

    own = {
        name
        for name, (_, function) in all_rules().items()
        if function.__module__.endswith(("rules.roof", "rules.openings"))
    }
    assert own == {case[0] for case in RAISED} and RAIN.id in own


BOWS = ("bow-stress", "bow-shear", "bow-sag", "trimmer-stress", "bow-cut-without-headers", "bow-cut", "person-on-roof")
MISSING: list[tuple[tuple[str, ...], tuple[str, ...], str]] = [
    *[(("roof", key), BOWS, "") for key in ("metal", "width", "depth", "spacing", "first", "ends")],
    (("roof",), BOWS, ""),
    (("face", "roof", "layers"), (*BOWS[:-1], "roof-too-thin", "roof-too-thick"), "roof"),
    (("face", "roof", "layers"), BOWS[-1:], ""),
    (("roof", "shock"), ("bow-stress", "bow-shear", "trimmer-stress", "roof-bolts-hold"), ""),
    (("roof", "person"), ("person-on-roof",), ""),
    ((*COOLER, "height"), ("roof-bolts-hold",), "roof cooler"),
    ((*COOLER, "bolts"), ("roof-bolts-hold",), "roof cooler"),
    ((*COOLER, "bolt_limit"), ("roof-bolts-hold",), "roof cooler"),
    ((*COOLER, "made_for"), ("roof-too-thin", "roof-too-thick"), "roof cooler"),
    ((*FAN, "hinge"), ("lid-in-the-wind",), "roof fan"),
    ((*WINDOW, "made_for"), ("wall-too-thin", "wall-too-thick"), "door window"),
    (("face", "door", "layers"), ("wall-too-thin", "wall-too-thick"), "door window"),
    ((*FAN, "headers"), ("bow-cut-without-headers", "bow-cut"), "roof fan"),
    ((*FAN, "flange"), ("opening-over-edge",), "roof fan"),
    (("use", "sleepers"), ("second-way-out",), ""),
]  # fmt: skip


@pytest.mark.parametrize("case", MISSING, ids=[".".join(case[0]) for case in MISSING])
def test_what_is_not_known_is_not_checked(case: tuple[tuple[str, ...], tuple[str, ...], str], demo: tl.Design) -> None:
    path, rules, about = case
    answer = tl.study("roof", demo.replace(path, None))
    for rule in rules:
        found = said(answer, rule, about)
        assert found and {f.severity for f in found} == {"not checked"}, (rule, found)
    assert answer.word != "holds" and answer.text() and answer.findings_text()


def test_a_unit_of_which_nobody_knows_the_mass_is_not_checked(demo: tl.Design) -> None:
    answer = tl.study("roof", demo.replace("opening.roof cooler.name", "new cooler"), opening="new cooler")
    for rule in ("bow-stress", "bow-shear", "bow-sag", "trimmer-stress", "roof-bolts-hold"):
        assert {f.severity for f in said(answer, rule, "new cooler")} == {"not checked"}, rule
    assert isnan(answer.value("stress")) and isnan(answer.value("bolt_kg")) and isnan(answer.value("share"))
    whole = demo.replace_all(
        {("opening", "roof cooler", "name"): "new cooler", (*WINDOW, "made_for"): ["1 in", "2 in"]}
    )
    sentence = tl.study("roof", whole).sentence
    assert (
        sentence.startswith("The roof carries it: under roof fan") and "Not checked: new cooler; its mass" in sentence
    )


def test_a_window_in_the_roof_that_cuts_a_bow_is_found(demo: tl.Design) -> None:
    sky = hole("skylight", 1.25, 1.0, kind="window", headers=None)
    for headers, word in ((False, "fix"), (None, "not checked"), (True, "holds")):
        answer = tl.study("roof", box([{**sky, **({} if headers is None else {"headers": headers})}]))
        assert [f.severity for f in said(answer, "bow-cut-without-headers", "skylight")] == [word]
        assert [f.severity for f in said(answer, "bow-stress", "skylight")] == ["not checked"]


# ── what the answer says ──────────────────────────────────────────────────────────────────────────────


def test_the_sentence_says_the_worst_first(demo: tl.Design, cart: tl.Design) -> None:
    assert tl.study("roof", demo).sentence == (
        "door window: the wall here is 1.03 in thick; it clamps 1.25 in at least."
    )
    stop = demo.replace(("opening", "rear ramp", "clear"), ["60 in", "16 in"])
    assert tl.study("roof", stop).sentence.startswith("People sleep in it; ways out of at least 24 by 17 in: 1.")
    assert tl.study("roof", stop).word == "stop"
    assert tl.study("roof", cart).sentence == (
        "The roof carries it: under front cooler the worst bow works at 91.4 % of what is allowed, at 2.5 times its weight."
    )
    heavy = cart.replace(("opening", "rear cooler", "mass"), "95 lb")
    assert "under rear cooler" in tl.study("roof", heavy).sentence, "the one whose bow is used most"


def test_the_sentence_says_what_is_not_known(cart: tl.Design) -> None:
    assert tl.study("roof", cart.replace(("roof", "shock"), None)).sentence == (
        "Not checked: it is not said how hard the road shakes the roof (roof.shock)."
    )
    assert tl.study("roof", cart.replace(("roof", "ends"), None)).sentence == (
        "Not checked: the bows are not given (roof.ends)."
    )
    bare = cart.replace(("roof", "ends"), None).replace(("opening",), [])
    assert tl.study("roof", bare).sentence == "Nothing sits in an opening of the roof."
    assert tl.study("roof", box([])).sentence == "Nothing sits in an opening of the roof."
    front = box([hole("cooler", 0.5, 1.0, mass="50 kg")], {"first": "1 m"})
    assert tl.study("roof", front).sentence.startswith("Not checked: cooler;"), "no bow before it"
    assert tl.study("roof", box([hole("hatch", 1.0, 1.0)])).sentence.startswith("Not checked: hatch; its mass")


def test_the_working_leads_to_the_numbers(demo: tl.Design) -> None:
    answer = tl.study("roof", demo, opening="roof cooler")
    values = {step.title: step.value for step in answer.working}
    assert values["Bending stress with road shock"] == pytest.approx(answer.value("stress"))
    assert values["Allowable stress"] == pytest.approx(answer.value("allowed"))
    assert values["Weight with road shock"] == pytest.approx(3 * 42 * G)
    assert values["Second moment of a rectangle with a rectangle taken out of its middle"] == pytest.approx(
        (1 * 1.5**3 - 0.87 * 1.37**3) / 12 * INCH**4
    )
    light = demo.replace_all({("roof", "metal"): "aluminium 6061-T6"})
    steps = {step.title: step.value for step in tl.study("roof", light).working}
    assert steps["Allowable stress"] == pytest.approx(103e6 / 1.65), "welded or not is not known: the weaker"


def bare(system: str) -> tl.Design:
    return tl.design_from(
        {"title": "Bare", "units": system, "trailer": {"length": "3 m", "width": "2 m", "height": "2 m"}}
    )


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", [*tl.shipped_trailers(), "bare"])
def test_every_trailer_reads_well(name: str, system: str) -> None:
    design = bare(system) if name == "bare" else tl.read_design(tl.shipped_trailers()[name]).replace("units", system)
    for focus in (None, *(o.name for o in design.openings)):
        answer, again = (tl.study("roof", design, opening=focus) for _ in range(2))
        told = answer.text()
        assert answer == again and told == again.text() and answer.rows == again.rows
        text = "\n".join([told, answer.findings_text(), *(step.title for step in answer.working)])
        assert "None" not in text and "nan" not in text and "{" not in text
        assert max(len(line) for line in told.splitlines()) <= 96
        assert len(answer.rows) == len(design.openings)
        assert system == "us" or ("psi" not in text and " in\n" not in text and "[in]" not in text)
    roof, clamped = ([o for o in design.openings if o.wall == wall] for wall in ("roof", "curb"))
    to_cut = bool(roof) or any(o.made_for is not None for o in clamped)
    assert (answer.beside is not None) is to_cut and (to_cut or name not in ("fen-survey", "kiln-cart"))
    assert answer.word != "holds" or (not roof and name != "bare")


def test_the_same_in_both_units(demo: tl.Design) -> None:
    us, metric = (tl.study("roof", demo.replace("units", system)) for system in ("us", "metric"))
    assert [f.severity for f in us.checks] == [f.severity for f in metric.checks]
    assert {k: q.value for k, q in us.numbers.items()} == {k: q.value for k, q in metric.numbers.items()}
    assert "psi" in us.numbers["stress"].text("us") and "MPa" in us.numbers["stress"].text("metric")


def test_without_a_name_the_first_of_the_roof_is_looked_at(demo: tl.Design) -> None:
    assert tl.study("roof", demo).numbers == tl.study("roof", demo, opening="roof cooler").numbers
    walls = box([hole("one", 1.0, 1.0, wall="road", kind="window")])
    picture: RoofPicture = tl.study("roof", walls).picture
    assert picture.outside is not None and picture.outside.focus == "one"


def test_a_name_that_is_not_there_is_answered_with_an_offer(demo: tl.Design) -> None:
    with pytest.raises(tl.DesignError, match='no opening called "porthole"; there are: "side door", .*"roof fan"'):
        tl.study("roof", demo, opening="porthole")
    with pytest.raises(tl.DesignError, match="none yet"):
        tl.study("roof", bare("us"), opening="porthole")


def test_what_a_drawing_is_told(demo: tl.Design) -> None:
    """What is drawn says the same as the checks; what cannot be drawn says why."""
    picture: RoofPicture = tl.study("roof", demo, opening="roof fan").picture
    assert picture.outside is not None and picture.bows is not None and picture.missing == {}
    assert {h.name: h.word for h in picture.outside.holes} == {"roof cooler": "holds", "roof fan": "note"}
    assert [b.cut for b in picture.bows] == [False, False, False, False, False, True, False]
    over: RoofPicture = tl.study("roof", demo.replace(("roof", "shock"), 4)).picture
    assert over.bows is not None and [b.word for b in over.bows].count("fix") == 2
    named = box([hole("cooler", 1.0, 1.0, mass="1 kg"), hole("front cooler", 0.25, 1.0, mass="1 kg", headers=False)])
    holes = tl.study("roof", named).picture.outside.holes
    assert {h.name: h.word for h in holes}["front cooler"] == "fix", "it cuts a bow"
    assert {h.name: h.word for h in holes}["cooler"] == "holds", "whose name is only a part of that"
    for path, why in ((("roof", "shock"), "it needs roof.shock"), (("roof", "metal"), "it needs roof.metal")):
        assert tl.study("roof", demo.replace(path, None)).picture.missing["bows"] == why
    assert (
        tl.study("roof", box([hole("hatch", 1.0, 1.0)]))
        .picture.missing["bows"]
        .startswith("hatch: its mass is not known")
    )
    nothing = tl.study("roof", bare("us")).picture.missing
    assert set(nothing) == {"outside", "bows", "build-up"} and nothing["outside"] == "the design has no opening"
    lacking = tl.study("roof", demo.replace(("face", "door", "layers"), None), opening="door window").picture
    assert lacking.build_up is None and lacking.missing["build-up"] == "the layers of that side are not given"


def test_nothing_known_of_walls_and_boards() -> None:
    """An opening in a box of which nothing is known beyond its size."""
    raw = {"title": "Bare", "trailer": {"length": "3 m", "width": "2 m", "height": "2 m"},
           "opening": [hole("hatch", 1.0, 1.0), hole("one", 1.0, 1.0, wall="road", kind="window", flange=None, headers=None)]}  # fmt: skip
    answer = tl.study("roof", tl.design_from(raw))
    words = {(f.rule, f.subject): f.severity for f in answer.checks}
    assert words.pop(("opening-over-edge", "hatch")) == "holds", "its place, size and flange are known"
    assert set(words.values()) == {"not checked"}
    assert list(build_up.frames(tl.design_from(raw))) == [] and answer.beside is None


def test_shear_at_the_wall_by_hand(demo: tl.Design) -> None:
    """Half of what a bow bears, times the shock, over both walls of the tube."""
    from trailerlib.studies.roof.result import result_of

    found = result_of(demo)
    framing = found.framing
    assert framing is not None
    onto = np.abs(found.carried["roof cooler"].onto_n).sum(axis=2).max()
    wall_n = (onto + framing.per_m_n * framing.span_m) / 2
    webs_m2 = 2 * 0.065 * 1.5 * 0.0254**2
    shear = found.carried["roof cooler"].shear_pa
    assert shear == pytest.approx(3 * wall_n / webs_m2, rel=1e-6)
    assert tl.study("roof", demo.replace("roof.wall", "0.030 in")).value("shear") > shear
    bar = demo.replace_all({("roof", "section"): "solid", ("roof", "wall"): None})
    solid, heavy = result_of(bar).carried["roof cooler"], result_of(bar).framing
    assert heavy is not None
    wall_n = (np.abs(solid.onto_n).sum(axis=2).max() + heavy.per_m_n * heavy.span_m) / 2
    assert solid.shear_pa == pytest.approx(1.5 * 3 * wall_n / (1.0 * 1.5 * 0.0254**2), rel=1e-6)  # peak of the parabola
