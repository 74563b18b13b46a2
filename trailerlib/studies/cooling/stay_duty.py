"""How much of a stay a cooler runs, and how warm the air is round what stands inside."""

from __future__ import annotations

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Load, Stay
from trailerlib.physics.cooler import running_share
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import gains
from trailerlib.studies.cooling.picture import Floats
from trailerlib.studies.cooling.stay_run import cooled_by, lacks, on_at, stay_run


def cooler_duty(design: Design, load: Load, stay: Stay) -> float | None:
    """Share of the time a cooler runs while it is switched on in a stay [-]; None where the box is not known.

    The air outside is that of the stay at every hour, the sun that of the site's day, and each day is like the next.
    Coolers that are on together share the work by their size, and what has warmed up before takes as long as it takes.
    A cooler hangs on the mains side, and no design has an inverter: in a stay on the battery or on the road it stands
    still, and the battery meets it only through the air that it leaves inside.
    """
    ready = load.cooling_w is not None and stay.ambient is not None and design.comfort.set_point is not None
    if not ready or load.name not in cooled_by(design, stay) or heat.missing(design):
        return None
    run = stay_run(design, stay, float(stay.ambient or 0.0))
    if not run.cooled.any():
        return None
    share = np.minimum(1.0, run.asked_w[run.cooled] / run.able_w[run.cooled])
    return float(np.mean(np.asarray(running_share(share))))


def air_inside_c(design: Design, load: Load, stay: Stay, outside_c: float) -> Floats | None:
    """Air round a load inside while it is on in a stay, each quarter of an hour [degC]; None where it is not known.

    Without a heater; a load that is on for a few minutes meets the air of the whole stay.

    Parameters
    ----------
    design : the design
    load : what stands inside
    stay : the stay
    outside_c : [degC] air outside
    """
    if not gains.stands_inside(design, load) or lacks(design, stay):
        return None
    run = stay_run(design, stay, outside_c)
    on = on_at(design, stay, (load.name,), run.hour_h)
    chosen: Floats = run.air_c[on if on.any() else gains.covers(stay, run.hour_h)]
    return chosen if chosen.size else None
