"""The first page: which trailer is open, seen from above, and the verdict of every question."""

from __future__ import annotations

from html import escape

from trailerlib.bench.panes import finding
from trailerlib.bench.style import STYLE, tone
from trailerlib.design.design import Design
from trailerlib.pictures import plan
from trailerlib.studies import assess
from trailerlib.studies.answer import Answer, Assessment

NOTEBOOKS = {
    "loads": "01_what_must_it_run.ipynb",
    "night": "02_will_it_last_the_night.ipynb",
    "wiring": "03_which_wire.ipynb",
    "mains": "01_what_must_it_run.ipynb",
    "generator": "05_which_generator.ipynb",
}
MOST_FINDINGS = 5


class StartPage:
    """The page as HTML that a notebook keeps and shows again when it is opened."""

    def __init__(self, design: Design) -> None:
        self.design, self.assessment = design, assess(design)

    def _repr_html_(self) -> str:
        picture = plan(self.design, self.assessment)
        return (
            f"{STYLE}<div class='trailer trailer-page mathjax_ignore'>"
            f"<div class='trailer-plan'>{picture}{_open_findings(self.assessment)}</div>"
            f"<div class='trailer-verdicts'>{_verdicts(self.design, self.assessment)}</div></div>"
        )

    def __repr__(self) -> str:
        answers = self.assessment.answers.values()
        return "\n".join(f"{a.mark} {a.word}: {a.title} {a.sentence}" for a in answers)


def start(design: Design) -> StartPage:
    """The plan of a trailer beside the verdict of each question, and what is open."""
    return StartPage(design)


def _verdicts(design: Design, assessment: Assessment) -> str:
    rows = "".join(_row(answer) for answer in assessment.answers.values())
    return f"<h3 style='margin:0 0 6px 0'>{escape(design.title)}, revision {design.revision}</h3>{rows}"


def _row(answer: Answer) -> str:
    return (
        f'<div class="trailer-question"><b style="color:{tone(answer.word)}">{answer.mark} {answer.word}</b>'
        f'<div><a href="{NOTEBOOKS[answer.question]}">{escape(answer.title)}</a><br>'
        f"{escape(answer.sentence)}</div></div>"
    )


def _open_findings(assessment: Assessment) -> str:
    found = assessment.finding_list
    items = "".join(finding(one, assessment.system) for one in found[:MOST_FINDINGS])
    more = f"<li>… and {len(found) - MOST_FINDINGS} more, in the questions.</li>" if len(found) > MOST_FINDINGS else ""
    return f'<ul class="trailer-findings" style="margin-top:10px">{items}{more}</ul>'
