"""The first page: which trailer is open, the verdict of every question, the plan, and what does not hold."""

from __future__ import annotations

from html import escape

from trailerlib.bench.panes import finding
from trailerlib.bench.style import STYLE, tone
from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.design.readings import read_readings
from trailerlib.pictures import plan
from trailerlib.studies import assess, study
from trailerlib.studies.answer import Answer, Assessment

NOTEBOOKS = {
    "loads": "01_what_must_it_run.ipynb",
    "night": "02_will_it_last_the_night.ipynb",
    "trip": "02_will_it_last_the_night.ipynb",
    "wiring": "03_which_wire.ipynb",
    "mains": "04_what_trips_first.ipynb",
    "generator": "05_which_generator.ipynb",
    "cooling": "06_will_it_stay_cool.ipynb",
    "roof": "07_will_the_roof_carry_it.ipynb",
    "towing": "08_will_it_tow_straight.ipynb",
    "closing": "09_can_the_walls_close.ipynb",
}
MOST_FINDINGS = 5

# one column on a narrow page, two with the findings below on a notebook's usual width, three on a wide screen
LAYOUT = """<style>
.trailer.trailer-page { display:block; container-type:inline-size; max-width:1720px; padding:12px 14px; }
.trailer-sheet { display:grid; grid-template-columns:minmax(0,1fr); gap:12px 26px; align-items:start; }
.trailer-sheet > .trailer-name { grid-column:1/-1; margin:0; font-size:19px; }
.trailer-tally { font-size:14px; font-weight:400; }
.trailer-tally b { font-weight:600; margin-left:18px; white-space:nowrap; }
.trailer-sheet > .trailer-plan { max-width:none; } .trailer-sheet svg { width:100%; display:block; }
.trailer-sheet .trailer-question { display:block; } .trailer-sheet .trailer-question > div { display:inline; }
.trailer-sheet .trailer-question > b { display:inline-block; min-width:96px; margin-right:8px; }
.trailer-sheet .trailer-question:first-of-type { padding-top:0; }
.trailer-sheet .trailer-question a { font-weight:600; }
.trailer-sheet .trailer-findings li { break-inside:avoid; margin:0; line-height:1.35; }
.trailer-sheet h4 { margin:0 0 4px 0; font-size:14.5px; font-weight:600; }
@container (min-width:680px) {
  .trailer-sheet { grid-template-columns:minmax(0,10fr) minmax(0,12fr); }
  .trailer-open { grid-column:1/-1; } .trailer-open ul { columns:2; column-gap:26px; }
}
@container (min-width:1240px) {
  .trailer-sheet { grid-template-columns:minmax(0,10fr) minmax(0,12fr) minmax(0,10fr); }
  .trailer-open { grid-column:auto; } .trailer-open ul { columns:1; }
}
</style>"""


class StartPage:
    """The page as HTML that a notebook keeps and shows again when it is opened."""

    def __init__(self, design: Design) -> None:
        self.design, self.assessment = design, assess(design)
        self.closing, self.trouble = _closing(design)

    def _repr_html_(self) -> str:
        return (
            f"{STYLE}{LAYOUT}<div class='trailer trailer-page mathjax_ignore'><div class='trailer-sheet'>"
            f"<h3 class='trailer-name'>{escape(self.design.title)}, revision {self.design.revision}"
            f"<small class='trailer-tally'>{_tally(self._answers())}</small></h3>"
            f"<div class='trailer-verdicts'>{''.join(_row(a) for a in self._answers())}{_trouble(self.trouble)}</div>"
            f"<div class='trailer-plan'>{plan(self.design, self.assessment)}</div>"
            f"<div class='trailer-open'>{_open_findings(self.assessment)}</div></div></div>"
        )

    def __repr__(self) -> str:
        return "\n".join(f"{a.mark} {a.word}: {a.title} {a.sentence}" for a in self._answers())

    def _answers(self) -> list[Answer]:
        """Every question, the closing-in test with the readings that are kept beside the design."""
        return [*self.assessment.answers.values(), self.closing]


def start(design: Design) -> StartPage:
    """The verdict of each question beside the plan of a trailer, and what is open."""
    return StartPage(design)


def _closing(design: Design) -> tuple[Answer, str]:
    """The closing-in test with the readings beside the design, and why they cannot be read when they cannot."""
    if design.origin is None:
        return study("closing", design), ""
    try:
        return study("closing", design, readings=read_readings(design.origin.path).values()), ""
    except DesignError as error:
        return study("closing", design), str(error)


def _row(answer: Answer) -> str:
    return (
        f'<div class="trailer-question"><b style="color:{tone(answer.word)}">{answer.mark} {answer.word}</b>'
        f'<div><a href="{NOTEBOOKS[answer.question]}">{escape(answer.title)}</a><br>'
        f"{escape(answer.sentence)}</div></div>"
    )


TALLY = {"stop": "to stop for", "fix": "to fix", "not checked": "not checked", "note": "to note", "holds": "hold"}


def _tally(answers: list[Answer]) -> str:
    """How many questions read what, worst first."""
    count = {word: sum(answer.word == word for answer in answers) for word in TALLY}
    return " ".join(
        f'<b style="color:{tone(word)}">{count[word]} {words}</b>' for word, words in TALLY.items() if count[word]
    )


def _trouble(words: str) -> str:
    return f'<p><b style="color:{tone("stop")}">✗ not read</b> {escape(words)}</p>' if words else ""


def _open_findings(assessment: Assessment) -> str:
    found = assessment.finding_list
    if not found:
        return "<h4>Findings: none</h4>"
    items = "".join(finding(one, assessment.system) for one in found[:MOST_FINDINGS])
    more = f"<li>… and {len(found) - MOST_FINDINGS} more, in the questions.</li>" if len(found) > MOST_FINDINGS else ""
    return f'<h4>Findings ({len(found)})</h4><ul class="trailer-findings">{items}{more}</ul>'
