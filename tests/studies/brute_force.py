"""Which wire does, found by trying: each size, and each size with each standard fuse, put into the design and judged."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import by_hand
from random_designs import SIZES

import trailerlib as tl

Pair = tuple[str, float]
# What speaks against the wire behind the fuse that is there, and what speaks against the fuse itself.
WIRE_RULES = ("wire-drop", "wire-ampacity", "fuse-guards-wire", "far-end-short", "short-heats-wire", "guards-at-every-current")  # fmt: skip
FUSE_RULES = ("fuse-carries-load", "standard-rating")
SHORT_RULES = WIRE_RULES[3:]


def ratings(device: str) -> list[float]:
    """The standard ratings of a kind of fuse [A], out of the raw table."""
    return sorted(
        float(row["rating_a"]) for row in by_hand.rows("tables/protection_ratings") if row["device"] == device
    )


def battery_side_only(design: tl.Design) -> tl.Design:
    """The same trailer without its mains side, which no dc circuit feels: a third of the work for every trial."""
    dc = {circuit.name for circuit in design.circuits_of("dc")}
    raw = {key: value for key, value in design.raw.items() if key not in ("charger", "supply", "stay")}
    raw["circuit"] = [circuit for circuit in raw["circuit"] if circuit["name"] in dc]
    raw["load"] = [load for load in raw["load"] if load["circuit"] in dc]
    return tl.design_from(raw)


def small(design: tl.Design, circuit: str) -> tl.Design:
    """What has to be tried again and again; a dc circuit reads the same in it, word for word."""
    if design.circuit(circuit).system != "dc":
        return design
    less = battery_side_only(design)
    assert judged(less, circuit) == judged(design, circuit)
    return less


def judged(design: tl.Design, circuit: str) -> tuple[dict[str, str], float]:
    """The word of every rule on a circuit, and what its loads ask for at nominal voltage [A]."""
    answer = tl.study("wiring", design)
    (run,) = [run for run in answer.picture.runs if run.circuit.name == circuit]
    words = {c.rule: c.severity for c in answer.checks if c.subject == f'circuit "{circuit}"'}
    return words, run.needed_a


def against(words: Mapping[str, str], rules: Iterable[str]) -> list[str]:
    """The rules that speak against a circuit; what is not known of a short is not held against it."""
    return [
        rule
        for rule in rules
        if rule in words and words[rule] != "holds" and not (rule in SHORT_RULES and words[rule] == "not checked")
    ]


def thinnest_behind(design: tl.Design, circuit: str) -> str | None:
    """The first size against which nothing speaks, behind the fuse that is fitted."""
    less = small(design, circuit)
    for wire in SIZES:
        words, _ = judged(less.replace(("circuit", circuit, "wire"), wire), circuit)
        if not against(words, WIRE_RULES):
            return wire
    return None


def pairs(design: tl.Design, circuit: str) -> Iterator[Pair]:
    """Every size with every standard fuse against which nothing speaks; thin first, small fuses first.

    A fuse larger than the load asks for must not go beyond the low-voltage table.
    """
    less, fuses = small(design, circuit), ratings(design.circuit(circuit).device)
    for wire in SIZES:
        smallest = True
        for amps in list(fuses):
            tried = {("circuit", circuit, "wire"): wire, ("circuit", circuit, "protection"): f"{amps:g} A"}
            words, asked = judged(less.replace_all(tried), circuit)
            if asked > amps:
                fuses.remove(amps)  # what its loads ask for is the same with every wire, what flows is not
            if words["fuse-guards-wire"] == "stop":
                break  # nor does a larger one guard this wire
            if words["fuse-carries-load"] == "fix":
                continue
            rules = (*FUSE_RULES, *WIRE_RULES) if smallest else (*FUSE_RULES, *WIRE_RULES, "low-voltage-table")
            smallest = False
            if not against(words, rules):
                yield wire, amps


def near_its_limit(design: tl.Design, circuit: str, wire: str, amps: float | None = None) -> bool:
    """Whether a size's drop stands at the limit itself: what the last round of a wire's warming moves decides there."""
    changes = {("circuit", circuit, "wire"): wire}
    if amps is not None:
        changes["circuit", circuit, "protection"] = f"{amps:g} A"
    (run,) = [r for r in tl.study("wiring", design.replace_all(changes)).picture.runs if r.circuit.name == circuit]
    near = 1e-9 if run.circuit.system == "dc" else 1e-5
    return run.drop is not None and abs(run.drop / run.circuit.drop_limit - 1.0) < near


def agree_on_the_wire(design: tl.Design, circuit: str) -> None:
    """The thinnest size behind the fuse that is fitted, by the study and by trying."""
    (run,) = [r for r in tl.study("wiring", design).picture.runs if r.circuit.name == circuit]
    tried = thinnest_behind(design, circuit)
    thinner = min((w for w in (tried, run.choice.smallest) if w is not None), key=SIZES.index, default=None)
    if run.choice.smallest != tried and not (thinner and near_its_limit(design, circuit, thinner)):
        raise AssertionError(f"{circuit}: the study says {run.choice.smallest}, trying says {tried}")


def agree_on_the_pair(design: tl.Design, circuit: str) -> None:
    """The thinnest size with any fuse and the smallest fuse for it, by the study and by trying."""
    (run,) = [r for r in tl.study("wiring", design).picture.runs if r.circuit.name == circuit]
    pair, tried = run.choice.pair, next(iter(pairs(design, circuit)), None)
    said = None if pair is None else (pair.wire, pair.fuse_a)
    if said == tried:
        return
    first = min((p for p in (said, tried) if p is not None), key=lambda p: (SIZES.index(p[0]), p[1]))
    if not near_its_limit(design, circuit, *first):
        raise AssertionError(f"{circuit}: the study says {said}, trying says {tried}")
