"""What would I trade: a great many designs that differ in some values, measured as each one's own studies would."""

from trailerlib.studies.trade_offs.axes import Candidates, Span, Steps, evenly, grid, listed, sampled, span, steps
from trailerlib.studies.trade_offs.metrics import COUNTED, METRICS, QUESTIONS, Metric, measured
from trailerlib.studies.trade_offs.result import Result
from trailerlib.studies.trade_offs.sweep import Progress, sweep

__all__ = [
    "COUNTED", "METRICS", "QUESTIONS", "Candidates", "Metric", "Progress", "Result", "Span", "Steps",
    "evenly", "grid", "listed", "measured", "sampled", "span", "steps", "sweep",
]  # fmt: skip
