"""What people and loads set free inside over the hours of a day, by the timetables of the stays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trailerlib.design import box_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Load, Stay
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.duty import duty_in
from trailerlib.studies.legs import fed
from trailerlib.studies.timetable import stretches


@dataclass(frozen=True)
class Gains:
    """Heat set free inside, arrays of shape (steps,) [W]: of people, of the water they give off, of loads."""

    people_w: Floats
    latent_w: Floats
    loads_w: Floats

    @property
    def dry_w(self) -> Floats:
        """All that warms the box [W]."""
        return self.people_w + self.loads_w


def hot_day(design: Design, hour_h: Floats) -> Gains:
    """What is set free over the hottest day: at each hour by the warmest stay that covers it.

    Parameters
    ----------
    design : the design
    hour_h : [h after midnight] middles of the steps, shape (steps,)
    """
    order = sorted(design.stays, key=lambda stay: -273.0 if stay.ambient is None else stay.ambient)
    chosen = np.full(len(hour_h), -1)
    for number, stay in enumerate(order):
        chosen[covers(stay, hour_h)] = number
    out = np.zeros((3, len(hour_h)))
    for number, stay in enumerate(order):
        mask = chosen == number
        if mask.any():
            out[:, mask] = np.array(_of_stay(design, stay, hour_h))[:, mask]
    return Gains(*out)


def of_stay(design: Design, stay: Stay, hour_h: Floats) -> Gains:
    """What is set free in one stay; nothing outside of its hours.

    Parameters
    ----------
    design : the design
    stay : one of its stays
    hour_h : [h after midnight] middles of the steps, shape (steps,)
    """
    return Gains(*(np.array(row) * covers(stay, hour_h) for row in _of_stay(design, stay, hour_h)))


def covers(stay: Stay, hour_h: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which hours of the day lie in a stay; shape of ``hour_h``.

    Parameters
    ----------
    stay : the stay
    hour_h : [h after midnight] any shape
    """
    covered: np.ndarray[tuple[int], np.dtype[np.bool_]] = (hour_h - stay.start) % 24.0 < stay.hours
    return covered


def _of_stay(design: Design, stay: Stay, hour_h: Floats) -> tuple[Floats, Floats, Floats]:
    sensible, latent = people_w(stay)
    loads = np.zeros(len(hour_h))
    warm = {load.name: load.running_w * duty_in(load, stay) for load in inside(design) if fed(design, load, stay)}
    for part in stretches(design, stay):
        within = (hour_h - part.start_h) % 24.0 < part.hours
        loads[within] += sum(watts for name, watts in warm.items() if name in part.on)
    return np.full(len(hour_h), sensible), np.full(len(hour_h), latent), loads


def people_w(stay: Stay) -> tuple[float, float]:
    """Warmth of the people in a stay and that of their water [W]; none where their number or doing is not said."""
    if stay.people is None or stay.activity is None:
        return 0.0, 0.0
    each = box_classes.activity(stay.activity)
    return stay.people * each.sensible_w, stay.people * each.latent_w


def inside(design: Design) -> Iterator[Load]:
    """Loads whose power ends as warmth in the box: all but coolers and what stands outside."""
    for load in design.loads:
        if load.on and load.cooling_w is None and stands_inside(design, load):
            yield load


def stands_inside(design: Design, load: Load) -> bool:
    """By its place, else by the place its circuit goes to; what has neither is taken to be inside."""
    name = load.place or design.circuit(load.circuit).to
    if name is None:
        return True
    x, y, z = design.place(name).at
    box = design.trailer
    return -box.nose <= x <= box.length and 0.0 <= y <= box.width and 0.0 <= z <= box.height + 0.05


def left_out(design: Design) -> Iterator[str]:
    """What is not counted, in words."""
    if not design.stays:
        yield "people and loads, no stay says who is in it and what is on"
    for stay in design.stays:
        if stay.people is None or (stay.people > 0 and stay.activity is None):
            yield f"how many people are in “{stay.name}” and what they do"
