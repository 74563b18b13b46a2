"""The trailer with its wires, below the wire bench, following its sliders."""

from __future__ import annotations

import ipywidgets as widgets

from trailerlib.bench.style import STYLE
from trailerlib.bench.wire_bench import WireBench
from trailerlib.pictures import route_plan
from trailerlib.studies.answer import Answer


def routes(bench: WireBench) -> widgets.VBox:
    """Where the wires run, from above and from the side; it follows the bench.

    Parameters
    ----------
    bench : the bench of “Which wire, which fuse?”
    """
    picture = widgets.HTML()
    picture.add_class("trailer-below")

    def show(answer: Answer, ghost: Answer | None) -> None:
        picture.value = route_plan(answer, ghost, bench.design, circuit=bench.focus)

    bench.follow(show)
    box = widgets.VBox([widgets.HTML(STYLE), picture])
    box.add_class("trailer")
    return box
