"""What must be so of any valid trailer: of every answer, and of each question. Worked out here from the answers alone."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np

import trailerlib as tl
from trailerlib.buildfile import drawings
from trailerlib.buildfile.binder import design_text
from trailerlib.buildfile.closing_sheet import filled
from trailerlib.buildfile.snapshot import snapshot, written
from trailerlib.design.readings import Readings
from trailerlib.studies.answer import Answer, Assessment
from trailerlib.studies.closing.sheet import sheet_of
from trailerlib.studies.schedules import schedules

WORST = ("stop", "fix", "note", "not checked", "holds")
KINDS = {*tl.units.KINDS, "clock", "count", ""}
BARE = re.compile(r"\b(nan|inf|None(?! up to)|NoneType|<[a-z_.]+ object)\b|\{(subject|measured|limit)\}")
CLOSE = 1e-6
DAY = "2026-01-02"


def check(raw: dict[str, object], folder: Path, *, deep: bool) -> None:
    """Everything about one trailer.

    Parameters
    ----------
    raw : the plain data of its file
    folder : where it may be saved
    deep : also recompute its snapshot and draw its pictures, which takes as long again

    Raises
    ------
    AssertionError
        With what does not hold; anything else is a bug too.
    """
    design = tl.design_from(raw)
    assessment = tl.assess(design, {})
    assert assessment.text() and assessment.findings_text()
    assert len(assessment.findings) == len(assessment.finding_list)
    odd = _odd_words(raw)
    for question, answer in assessment.answers.items():
        said_well(answer, odd)
        assert answer.question == question
    for question, answer in assessment.answers.items():
        OF_EACH[question](design, answer)
    saved(design, folder)
    tree = in_snapshot(design, assessment)
    if deep:
        same_again(tree, folder)
        assert all(picture.svg for picture in drawings.drawings(design, assessment).values())


def _odd_words(raw: object) -> set[str]:
    """Texts of the trailer itself that look like slips of the machine."""
    return {hit.group() for hit in BARE.finditer(json.dumps(raw, ensure_ascii=False, default=str))}


def said_well(answer: Answer, odd: set[str]) -> None:
    """What holds of any answer: the verdict is its worst finding, nothing passes unseen, all can be printed."""
    severities = [check.severity for check in answer.checks]
    worst = min(severities, key=WORST.index) if severities else "not checked"
    assert answer.word == worst, (answer.question, answer.word, worst)
    assert answer.sentence and "\n" not in answer.sentence and answer.sentence.rstrip().endswith((".", "”")), (
        answer.sentence
    )
    for check in answer.checks:
        _judged_well(check)
    for key, number in answer.numbers.items():
        assert number.kind in KINDS, (key, number.kind)
        assert number.value is None or math.isfinite(number.value), (answer.question, key, number.value)
        if number.kind == "fraction" and key not in ("drop", "share", "left_share", "stress"):
            assert number.value is None or -CLOSE <= number.value <= 1 + CLOSE, (answer.question, key, number.value)
    table = answer.table()
    assert len(table) == len(answer.rows) and len(table.columns) == len(answer.columns)
    for row in answer.rows:
        for column in answer.columns:
            value = row.get(column.key)
            if column.numeric and isinstance(value, float):
                assert not math.isnan(value), (answer.question, column.key)
    for step in answer.working:
        assert step.value is None or math.isfinite(float(step.value)), (answer.question, step)
    words = "\n".join((answer.text(), answer.findings_text(), *(b.title + b.note for b in answer.besides)))
    found = {hit.group() for hit in BARE.finditer(words)} - odd
    assert not found, (answer.question, found)


def _judged_well(check: tl.rules.finding.Finding) -> None:
    known = check.measured is not None and check.limit is not None
    assert all(value is None or not math.isnan(value) for value in (check.measured, check.limit)), check
    assert known == (check.severity != "not checked"), check
    if known:
        room = check.limit - check.measured if check.sense == "at most" else check.measured - check.limit  # type: ignore[operator]
        assert (check.severity == "holds") == (room >= -1e-9 * max(1.0, abs(check.limit or 0.0))), check


def loads(design: tl.Design, answer: Answer) -> None:
    """Sums are the sums of their rows, and nothing gives power back."""
    sides = {load.name: load.typical.system for load in design.loads}
    for side, key in (("dc", "dc_w"), ("mains", "mains_w")):
        rows = sum(row["running_w"] for row in answer.rows if sides[row["name"]] == side)
        assert _alike(answer.value(key), rows)
    for number in range(len(design.stays)):
        energies = [row[f"stay_{number}"] for row in answer.rows]
        assert all(energy >= 0.0 for energy in energies) and _alike(answer.value(f"stay_{number}"), sum(energies))


def night(design: tl.Design, answer: Answer) -> None:
    """The charge only falls, between full and empty; what is taken is what the charge fell by at least."""
    if answer.picture is None:
        assert all(check.severity != "holds" for check in answer.checks if check.rule == "depth")
        return
    charge = answer.picture.charge
    assert charge.min() >= -CLOSE and charge.max() <= 1 + CLOSE and (np.diff(charge) <= CLOSE).all()
    assert _alike(answer.value("lowest"), max(0.0, float(charge.min())), 1e-4)
    assert answer.value("used_ah") >= 0.0 and answer.value("capacity_ah") > 0.0
    assert (answer.picture.current_a >= -CLOSE).all()
    assert sum(row["share"] for row in answer.rows) <= 1 + CLOSE


def trip(design: tl.Design, answer: Answer) -> None:
    """No energy from nothing: what came in is what went out and what is stored."""
    if answer.picture is None:
        assert "holds" not in {check.severity for check in answer.checks if check.rule in ("trip-depth", "trip-even")}
        return
    from trailerlib.studies.trip import of

    charge, week = answer.picture.charge, of(design).lived[1]
    assert charge.min() >= -CLOSE and charge.max() <= 1 + CLOSE
    turned = sum(float(np.sum(flow)) for flow in week.flows_wh.values())
    assert abs(float(np.max(np.abs(week.imbalance_wh)))) <= 1e-6 * max(1.0, turned)
    assert all(float(np.min(flow)) >= -1e-5 for flow in week.flows_wh.values())


def wiring(design: tl.Design, answer: Answer) -> None:
    """A wire never gives voltage, a fault at its end never more current than one at the battery."""
    for run in answer.picture.runs:
        assert run.drop_v is None or run.drop_v >= -CLOSE, run
        assert run.drop is None or run.drop >= -CLOSE, run
        assert run.current_a is None or run.current_a >= -CLOSE, run
        if run.run_m is None:
            held = {
                check.rule
                for check in answer.checks
                if check.subject == f'circuit "{run.circuit.name}"' and check.severity == "holds"
            }
            assert not held & {"drop", "dc-drop", "voltage-drop"}, held
    source, block = answer.picture.source_v, answer.picture.block_v
    assert source is None or block is None or source >= block - CLOSE
    assert all(
        block is None or math.isnan(volts) or volts <= block + CLOSE for name, volts in answer.picture.load_v.items()
    )
    near, far = answer.numbers["short_a"].value, answer.numbers["far_short_a"].value
    assert near is None or far is None or far <= near * (1 + CLOSE) or not _on_battery(answer)


def _on_battery(answer: Answer) -> bool:
    return answer.picture.focus is not None and answer.picture.focus.circuit.system == "dc"


def mains(design: tl.Design, answer: Answer) -> None:
    """A busiest moment is never below nothing, nor everything at once below it by more than a charger's part."""
    for name, gives, every, peak in answer.picture.bars:
        assert gives > 0.0 and every >= 0.0 and peak >= 0.0, name
    found = answer.picture.together
    assert found is None or found.most_w is None or found.most_w >= 0.0


def generator(design: tl.Design, answer: Answer) -> None:
    """A start asks for no less than running, and thin hot air never adds power."""
    assert answer.value("start_va") >= answer.value("running_va") - CLOSE
    for key in ("left", "shop"):
        value = answer.numbers[key].value
        assert value is None or 0.0 <= value <= 1.0 + CLOSE, (key, value)
    for bar in answer.picture.bars:
        assert bar.running_w is None or bar.running_w >= 0.0


def cooling(design: tl.Design, answer: Answer) -> None:
    """All ways of heat add up to what is taken out; the cooled air is never over the free one by more than its band."""
    flows, day = answer.picture.heat, answer.picture.day
    if flows is not None:
        assert _alike(flows.total_w, answer.value("asked_w"), 1e-6), (flows.total_w, answer.value("asked_w"))
    if day is not None:
        assert np.isfinite(day.free_c).all() and (np.abs(day.free_c) < 250.0).all()
        assert _alike(float(day.free_c[0]), float(day.free_c[-1]))
    night = answer.picture.night
    if night is not None:
        assert (night.shut_ppm > 0.0).all()


def roof(design: tl.Design, answer: Answer) -> None:
    """Stresses are never below nothing, frames never of less than nothing."""
    for key in ("bows", "stress", "sag_m", "shear", "person", "bolt_kg", "bolt_shear_kg", "ways_out", "share"):
        value = answer.numbers[key].value
        assert value is None or value >= -CLOSE, (key, value)

    thick = {
        check.subject
        for check in answer.checks
        if check.rule.endswith("-too-thick") and check.severity not in ("holds", "not checked")
    }
    clamped = {opening.name for opening in design.openings if opening.kind != "door"}
    for row in answer.rows:
        if row["name"] in clamped and row["spacer_m"] is not None:
            assert (row["spacer_m"] < 0.0) == (row["name"] in thick), row


def towing(design: tl.Design, answer: Answer) -> None:
    """Coupler and axles together carry the weight and hold its moment; the wheels carry what the axles do."""
    picture = answer.picture
    if picture.coupler is None:
        assert all(answer.numbers[key].value is None for key in ("gross_kg", "tongue_kg", "share"))
        return
    gross = sum(thing.mass_kg for thing in picture.things)
    assert _alike(picture.gross_kg, gross)
    assert _alike(picture.coupler.load_kg + sum(axle.load_kg for axle in picture.axles), gross)
    moment = picture.coupler.load_kg * picture.coupler.x + sum(axle.load_kg * axle.x for axle in picture.axles)
    assert abs(moment - sum(thing.mass_kg * thing.at[0] for thing in picture.things)) <= 1e-6 * gross * 20.0
    if picture.wheels:
        assert _alike(sum(w.load_kg for w in picture.wheels), sum(a.load_kg for a in picture.axles))


def closing(design: tl.Design, answer: Answer) -> None:
    """With nothing measured nothing is said of the wires."""
    assert answer.value("measured") == 0.0 and not answer.picture.claimed
    assert answer.word == "not checked", answer.word


OF_EACH: dict[str, Callable[[tl.Design, Answer], None]] = {
    "loads": loads, "night": night, "trip": trip, "wiring": wiring, "mains": mains, "generator": generator,
    "cooling": cooling, "roof": roof, "towing": towing, "closing": closing,
}  # fmt: skip


def _alike(one: float, other: float, share: float = 1e-6) -> bool:
    return abs(one - other) <= share * max(1.0, abs(one), abs(other))


def saved(design: tl.Design, folder: Path) -> None:
    """Saved and read again it is the same; saved once more with a change, only the change differs."""
    file = folder / "trailer.toml"
    for old in (file, *folder.glob("trailer.history/*")):
        old.unlink(missing_ok=True)
    first = tl.save_design(design, file)
    again = tl.read_design(file)
    assert dict(again.raw) == {**design.raw, "revision": first.revision} and again == first
    changed = tl.save_design(again.replace("title", "Another title"))
    last = tl.read_design(file)
    assert dict(last.raw) == {**again.raw, "title": "Another title", "revision": changed.revision}
    assert changed.revision == first.revision + 1


def in_snapshot(design: tl.Design, assessment: Assessment) -> bytes:
    """The snapshot of a trailer; read again it holds the same."""
    sheet, found = filled(sheet_of(design), Readings()), schedules(design, assessment)
    tree = snapshot(design, assessment, design_text(design), DAY, sheet, found)
    data = written(tree)
    assert json.loads(data) == tree
    for one in found.values():
        assert not {hit.group() for hit in BARE.finditer(one.note)} - _odd_words(dict(design.raw)), one.note
    return data


def same_again(data: bytes, folder: Path) -> None:
    """Worked out once more from the snapshot alone, nothing differs."""
    file = folder / "snapshot.json"
    file.write_bytes(data)
    differences = tl.verify_snapshot(file)
    assert not differences, [difference.text() for difference in differences][:3]
