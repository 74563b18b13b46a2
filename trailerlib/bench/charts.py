"""Charts to explore with the pointer: hover for numbers, drag to zoom. They do not follow the sliders."""

from __future__ import annotations

import sys
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from trailerlib import times, units
from trailerlib.design.design import Design
from trailerlib.pictures.canvas import PALETTE
from trailerlib.studies import generator as generator_study
from trailerlib.studies import night as night_study
from trailerlib.studies import timetable, wiring

if TYPE_CHECKING:
    import plotly.graph_objects as go

HEIGHT = 380


@lru_cache(maxsize=1)
def _plotly() -> Any:
    """The chart library with our template, loaded when the first chart is wanted."""
    # its JSON schema check compiles a grammar for IRIs at import, which no notebook of ours needs: 2 s saved
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
    import plotly.graph_objects as go
    import plotly.io as pio

    ink, grid = PALETTE["ink"], PALETTE["grid"]
    axis = {"gridcolor": grid, "linecolor": ink, "zeroline": False, "ticks": "outside", "tickcolor": grid}
    colours = [PALETTE[name] for name in ("dc", "mains", "watch", "holds", "stop", "ghost", "ink")]
    pio.templates["trailer"] = go.layout.Template(
        layout={
            "font": {"color": ink, "size": 13},
            "paper_bgcolor": PALETTE["paper"],
            "plot_bgcolor": PALETTE["paper"],
            "colorway": colours,
            "xaxis": axis,
            "yaxis": axis,
            "margin": {"l": 64, "r": 24, "t": 48, "b": 52},
            "hovermode": "x unified",
            "legend": {"orientation": "h", "y": 1.12},
            "height": HEIGHT,
        }
    )
    pio.renderers.default = "plotly_mimetype"
    return go


def _figure(title_x: str, title_y: str) -> go.Figure:
    figure: go.Figure = _plotly().Figure(layout={"template": "trailer"})
    figure.update_xaxes(title=title_x)
    figure.update_yaxes(title=title_y)
    return figure


def drop_over_run(design: Design, circuit: str) -> go.Figure:
    """Share of the voltage lost on one circuit over the length of its run, a line for each wire size near its own.

    Parameters
    ----------
    design : the design
    circuit : name of the circuit
    """
    chosen = design.circuit(circuit)
    base = design.run_m(chosen)
    if base is None:
        return _figure("run, one way", "lost on the way [%]")
    runs = np.linspace(0.25 * base, 2.5 * base, 19)
    lines: dict[str, list[float]] = {}
    for run in runs:
        longer = design.replace(("circuit", circuit, "run"), f"{run:.4f} m")
        found = next(r for r in wiring.answer(longer).picture.runs if r.circuit.name == circuit)
        for wire, drop in found.choice.drops_by_wire.items():
            lines.setdefault(wire, []).append(100 * drop)
    figure = _figure(f"run, one way [{units.unit('length', design.units)}]", "lost on the way [%]")
    shown = [units.outside(float(run), "length", design.units) for run in runs]
    for wire, drops in list(lines.items())[:7]:
        width = 4 if wire == chosen.wire else 1.6
        figure.add_scatter(x=shown, y=drops, name=wire, line={"width": width}, hovertemplate="%{y:.2f} %")
    figure.add_hline(
        y=100 * chosen.drop_limit,
        line={"color": PALETTE["stop"], "dash": "dash"},
        annotation_text="allowed here; 3 % for what must work well, 10 % for what may dim (ABYC E-11, from memory)",
    )
    return figure


def battery_over_night(design: Design) -> go.Figure:
    """Charge, voltage and current of the battery over the first stay on it."""
    picture = night_study.answer(design).picture
    figure = _figure("time of day", "charge [%]")
    if picture is None:
        return figure
    clock = [times.clock(float(hour)) for hour in picture.time_h]
    figure.add_scatter(x=clock, y=100 * picture.charge, name="charge [%]", hovertemplate="%{y:.1f} %")
    figure.add_scatter(x=clock, y=picture.current_a, name="current [A]", yaxis="y2", hovertemplate="%{y:.2f} A")
    figure.add_scatter(x=clock, y=picture.battery_v, name="voltage [V]", yaxis="y2", hovertemplate="%{y:.2f} V")
    figure.add_hline(
        y=100 * picture.floor,
        line={"color": PALETTE["stop"], "dash": "dash"},
        annotation_text=f"usable floor {100 * picture.floor:g} %",
    )
    figure.update_layout(
        yaxis={"range": [0, 102]},
        yaxis2={
            "overlaying": "y",
            "side": "right",
            "title": "current [A], voltage [V]",
            "rangemode": "tozero",
            "showgrid": False,
        },
        xaxis={"nticks": 14},
    )
    return figure


def power_over_day(design: Design, stay: str) -> go.Figure:
    """What is drawn hour by hour in one stay, each load on top of the other.

    Parameters
    ----------
    design : the design
    stay : name of the stay
    """
    chosen = design.stay(stay)
    parts = timetable.stretches(design, chosen)
    figure = _figure("time of day", "power of what is on [W]")
    clock = [times.clock(part.start_h) for part in parts] + [times.clock(parts[-1].end_h)]
    for load in design.loads:
        if load.name in chosen.on:
            watts = [load.running_w if load.name in part.on else 0.0 for part in parts]
            figure.add_scatter(
                x=clock,
                y=[*watts, watts[-1]],
                name=load.name,
                stackgroup="all",
                line={"shape": "hv", "width": 0.6},
                hovertemplate="%{y:.0f} W",
            )
    return figure


def power_over_height(design: Design) -> go.Figure:
    """What every generator class gives over the height above the sea, and what is asked."""
    figure = _figure(f"elevation [{units.unit('elevation', design.units)}]", "running power [W]")
    heights = np.linspace(0, 3600, 13)
    lines: dict[str, list[float]] = {}
    asked = generator_study.answer(design).value("running_va")
    for height in heights:
        answer = generator_study.answer(design.replace("site.elevation", f"{height:.1f} m"))
        for bar in answer.picture.bars:
            lines.setdefault(bar.name, []).append(float("nan") if bar.running_w is None else bar.running_w)
    shown = [units.outside(float(h), "elevation", design.units) for h in heights]
    for name, watts in lines.items():
        figure.add_scatter(x=shown, y=watts, name=name, hovertemplate="%{y:.0f} W")
    figure.add_hline(y=asked, line={"color": PALETTE["stop"]}, annotation_text="runs together")
    return figure
