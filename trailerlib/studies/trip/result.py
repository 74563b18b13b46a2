"""What came of a trip: its picture, its balance, and what is worked out only when somebody asks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from trailerlib.physics.battery_week import Week
from trailerlib.studies.feeder import Floats
from trailerlib.studies.trip import search
from trailerlib.studies.trip.case import Case
from trailerlib.studies.trip.timeline import Span as Span


@dataclass(frozen=True)
class TripPicture:
    """What the drawing needs: charge [-] at ``edges_h`` [h] (n + 1), powers at the battery [W] in each step (n).

    ``floor`` [-] should stay; ``starts_even`` is whether the end is not below the begin.
    """

    edges_h: Floats
    charge: Floats
    floor: float
    load_w: Floats
    solar_w: Floats
    charger_w: Floats
    tow_w: Floats
    spans: tuple[Span, ...]
    starts_even: bool


@dataclass(frozen=True)
class Trip:
    """The trip worked out; without a picture ``missing`` says in words what it would need.

    ``said`` is what was taken where the design says nothing; ``left_out`` what could not be counted.
    """

    picture: TripPicture | None
    missing: str = ""
    said: tuple[str, ...] = ()
    left_out: str = ""
    case: Case | None = None
    week: Week | None = None

    @property
    def lived(self) -> tuple[Case, Week]:
        """What was marched, and what came of it.

        Raises
        ------
        ValueError
            When the trip could not be worked out.
        """
        if self.case is None or self.week is None:
            raise ValueError(f"the trip is not worked out: {self.missing}.")
        return self.case, self.week

    @property
    def lowest(self) -> float:
        """Lowest charge [-], as a share of what can be drawn."""
        return float(self.lived[1].lowest)

    @property
    def lowest_at_h(self) -> float:
        """When that is [h after midnight of the first day]."""
        return float(self.lived[0].timeline.edges_h[0] + self.lived[1].lowest_at_h)

    @property
    def begin(self) -> float:
        """Charge at the begin as a share of full, the same in any weather [-]."""
        return search.of_full(search.stored_share(self.lived[0], self.lived[0].start, 0))

    @property
    def end(self) -> float:
        """Charge at the end as a share of full, the same in any weather [-]."""
        return search.of_full(search.stored_at_end(*self.lived))

    @property
    def even(self) -> bool:
        """Whether it ends with what it began with, within a hundredth of full."""
        return search.is_even(*self.lived)

    def wh(self, *flows: str) -> float:
        """Energy of flows of the march, by their names [Wh]."""
        return float(sum(np.sum(self.lived[1].flows_wh[name]) for name in flows))

    @property
    def unmet_wh(self) -> dict[str, float]:
        """What each load did not get, by name [Wh]."""
        case, week = self.lived
        return dict(zip(case.names, np.atleast_1d(week.unmet_wh).tolist(), strict=True)) if case.names else {}

    @property
    def mains_h_a_day(self) -> float:
        """Hours on shore or generator a day, as the trip has them [h]; of a trip under a day, hours of that trip."""
        lived = self.lived[0].timeline
        return float(lived.on_mains() @ lived.step_h) / max(1.0, lived.hours / 24.0)

    @cached_property
    def even_h_a_day(self) -> float | None:
        """Hours of charging a day that would keep it even [h]; infinite when none would, None without a charger."""
        return search.even_hours(self.lived[0])

    @cached_property
    def full_h(self) -> dict[str, float]:
        """Hours to full from the lowest charge, from each source alone and ``together`` [h]; infinite when never."""
        case, week = self.lived
        step = max(0, int(np.argmin(week.charge)) - 1)
        return search.full_hours(case, self.lowest, step)

    @cached_property
    def days_without_mains(self) -> float:
        """Days until the floor without shore or generator, the trip lived again and again [d]; infinite when never."""
        return search.days_without_mains(self.lived[0])
