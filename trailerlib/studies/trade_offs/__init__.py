"""What would I trade: a great many designs that differ in some values, measured as each one's own studies would."""

from trailerlib.studies.trade_offs.axes import Span, Steps, evenly, span, steps
from trailerlib.studies.trade_offs.candidates import Candidates, grid, listed, sampled
from trailerlib.studies.trade_offs.choose import Limits, best, nearest, passing, why
from trailerlib.studies.trade_offs.matters import matters
from trailerlib.studies.trade_offs.metrics import COUNTED, METRICS, QUESTIONS, Metric, measured
from trailerlib.studies.trade_offs.question import answer, trade_of
from trailerlib.studies.trade_offs.result import Result
from trailerlib.studies.trade_offs.sweeping import Progress, sweep
from trailerlib.studies.trade_offs.tolerance import tolerance
from trailerlib.studies.trade_offs.unbeaten import unbeaten
from trailerlib.studies.trade_offs.usual import usual_axes

__all__ = [
    "COUNTED", "METRICS", "QUESTIONS", "Candidates", "Limits", "Metric", "Progress", "Result", "Span", "Steps",
    "answer", "best", "evenly", "grid", "listed", "matters", "measured", "nearest", "passing", "sampled", "span",
    "steps", "sweep", "tolerance", "trade_of", "unbeaten", "usual_axes", "why",
]  # fmt: skip
