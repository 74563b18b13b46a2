"""Pictures drawn by our own hand: an answer goes in, SVG text comes out, the same for screen and paper.

``ink="screen"`` takes its colours from the page (so that a dark theme works), ``ink="paper"``
writes them out. This floor lies between the studies and the two that show them.
"""

from trailerlib.pictures.balance_view import balance_above, balance_side
from trailerlib.pictures.bows import bows_carry
from trailerlib.pictures.box_heat import box_heat
from trailerlib.pictures.build_up import build_up
from trailerlib.pictures.closing_plan import closing_plan
from trailerlib.pictures.closing_stairs import closing_stairs
from trailerlib.pictures.from_outside import from_outside
from trailerlib.pictures.generator_bars import generator_bars
from trailerlib.pictures.hot_day import hot_day
from trailerlib.pictures.load_bars import load_bars
from trailerlib.pictures.mains_bars import mains_bars
from trailerlib.pictures.night_air import night_air
from trailerlib.pictures.night_curve import night_curve
from trailerlib.pictures.one_line import has_one_line, one_line
from trailerlib.pictures.panel_front import panel_front
from trailerlib.pictures.plan import plan
from trailerlib.pictures.route_plan import route_plan
from trailerlib.pictures.run_together import run_together
from trailerlib.pictures.staircase import staircase
from trailerlib.pictures.start_curve import start_curve
from trailerlib.pictures.time_current_chart import time_current_chart
from trailerlib.pictures.trip_curve import no_trip, trip_curve, trip_picture
from trailerlib.pictures.wire_chart import wire_chart

__all__ = [
    "balance_above",
    "balance_side",
    "bows_carry",
    "box_heat",
    "build_up",
    "closing_plan",
    "closing_stairs",
    "from_outside",
    "generator_bars",
    "has_one_line",
    "hot_day",
    "load_bars",
    "mains_bars",
    "night_air",
    "night_curve",
    "no_trip",
    "one_line",
    "panel_front",
    "plan",
    "route_plan",
    "run_together",
    "staircase",
    "start_curve",
    "time_current_chart",
    "trip_curve",
    "trip_picture",
    "wire_chart",
]
