"""What may be wrong with everything dead, and what the meters then show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies.closing.block import OPEN_OHM, Fault, Floats
from trailerlib.studies.closing.dead_bonds import Bond
from trailerlib.studies.closing.dead_lines import INSULATION_LIMIT_OHM, OVER_OHM, Read

# How often each is met beside the others: common practice, no source.
WEIGHTS = {"bond": 2.0, "rails": 1.0, "frame": 1.0, "across": 0.5, "neutral": 2.0, "insulation": 1.0, "polarity": 1.5}
BOND_OHM = np.append(np.geomspace(5e-3, 20.0, 39), OPEN_OHM)
TOUCHING_OHM = np.geomspace(0.1, 5e3, 50)
LEAKY = np.geomspace(1e-3, 0.9, 32)  # share of the least insulation that is asked for
JOINED_OHM = 0.3  # neutral and ground on one bar, or a bonding screw: anywhere from 0 to twice this, practice
ANYWHERE = OVER_OHM / 2.0, OVER_OHM / 2.0 / 3.0**0.5
NONE = np.zeros(1)


@dataclass(frozen=True)
class Change:
    """What a fault does, over its s sizes: ``shown`` (s,) and its standard uncertainty, by key of the line.

    ``added`` (s,) is more resistance in bonds, by key of the line.
    """

    shown: Mapping[str, tuple[Floats | float, float]] = field(default_factory=dict)
    added: Mapping[str, Floats] = field(default_factory=dict)


Wrong = tuple[Fault, Floats, Change]


def faults(design: Design, reads: tuple[Read, ...]) -> Iterator[Wrong]:
    """Every fault that is looked for, its sizes, and what it changes.

    Parameters
    ----------
    design : the design
    reads : the lines
    """
    panel = (design.panel,) if design.panel else ()
    for read in reads:
        if read.bond is not None and not read.bond.missing:
            yield _bond(read.bond, reads)
        elif read.line.key.startswith("polarity/") and read.line.key.endswith("/plus"):
            yield _reversed(read)
        elif read.what in ("rails", "frame", "across"):
            yield _touching(read)
        elif read.what == "insulation":
            yield _leaky(read)
        elif read.what == "neutral":
            yield (
                Fault(
                    "neutral/bonded", "neutral bonded in the trailer", "neutral bar", "neutral and ground are joined",
                    "Take out the bonding screw or strap, and part white and green wires that share a bar.",
                    WEIGHTS["neutral"], places=panel,
                ),
                NONE, Change({read.line.key: (JOINED_OHM, JOINED_OHM / 3.0**0.5)}),
            )  # fmt: skip


def _places(read: Read) -> tuple[str, ...]:
    return (read.line.at,) if read.line.at else ()


def _bond(bond: Bond, reads: tuple[Read, ...]) -> Wrong:
    """A bond that is poor or open; what is bonded through the frame hangs on the frame's wire."""
    hit = [r.line.key for r in reads if r.bond is not None and (r.bond.name == bond.name or _through(r.bond, bond))]
    fault = Fault(
        f"bond/{bond.name}", "bond poor", bond.name, f"the bond to {bond.where}: {{size}} too much",
        "Scrape to bare metal, a star washer, draw it down, grease it, read again.", WEIGHTS["bond"], "resistance",
        circuit=bond.circuit, places=(bond.at,) if bond.at else (),
    )  # fmt: skip
    return fault, BOND_OHM, Change(added=dict.fromkeys(hit, BOND_OHM))


def _through(other: Bond, bond: Bond) -> bool:
    """Whether another bond goes through the frame's wire, which is this one."""
    return bond.name == "frame" and not other.missing and other.frame_ohm > 0.0


def _reversed(read: Read) -> Wrong:
    fault = Fault(
        f"reversed/{read.of}", "legs reversed", read.of, f"plus and minus of {read.of} are exchanged on the way",
        "Exchange the two wires at one end only, and mark them.", WEIGHTS["polarity"], circuit=read.of,
        places=_places(read),
    )  # fmt: skip
    return fault, NONE, Change({f"polarity/{read.of}/{end}": (0.0, 0.0) for end in ("plus", "minus")})


def _touching(read: Read) -> Wrong:
    """Two conductors that touch. Whether plus then reaches frame or minus as well hangs on what else is joined."""
    kind, says = {
        "rails": ("dc rails shorted", f"plus and minus of {read.of} touch: {{size}} between them"),
        "frame": ("dc run to frame", f"the plus of {read.of} touches the frame: {{size}} between them"),
        "across": ("mains wires shorted", f"the live wires of {read.of} touch: {{size}} between them"),
    }[read.what]
    other = {"rails": f"frame/{read.of}", "frame": f"rails/{read.of}"}.get(read.what)
    shown: dict[str, tuple[Floats | float, float]] = {read.line.key: (TOUCHING_OHM, 0.0)}
    if other is not None:
        shown[other] = ANYWHERE
    fault = Fault(
        f"{read.what}/{read.of}", kind, read.of, says,
        "Find the screw, staple or pinched spot before anything is switched on; take the run apart from its far end.",
        WEIGHTS[read.what], "resistance", circuit=read.of, places=_places(read),
    )  # fmt: skip
    return fault, TOUCHING_OHM, Change(shown)


def _leaky(read: Read) -> Wrong:
    """Poor insulation; whether it is the neutral that leaks, and shows at the bar, nobody knows."""
    fault = Fault(
        f"insulation/{read.of}", "insulation poor", read.of,
        f"the insulation of {read.of} is only {{size}} times what is asked",
        "Take off what is still connected and test again; then replace the damaged or wet piece.",
        WEIGHTS["insulation"], "factor", circuit=read.of, places=_places(read),
    )  # fmt: skip
    return fault, LEAKY, Change({read.line.key: (LEAKY * INSULATION_LIMIT_OHM, 0.0), "neutral/ground": ANYWHERE})
