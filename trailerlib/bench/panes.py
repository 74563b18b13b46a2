"""An answer as HTML: verdict, numbers and table, findings, the working."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from html import escape
from typing import Any

from trailerlib import units
from trailerlib.bench.style import tone
from trailerlib.physics.formula import Worked
from trailerlib.rules.finding import Finding
from trailerlib.studies.answer import Answer, Column


def verdict(answer: Answer) -> str:
    """The sentence with the worst severity as mark and word."""
    return _verdict(answer.word, answer.mark, answer.sentence)


def not_valid(reason: str) -> str:
    """What stands in the verdict's place when there is no answer."""
    return _verdict("stop", "✗", reason, "not valid")


def spoken(word: str, mark: str, sentence: str, shown: str) -> str:
    """A verdict that is no severity: it has the tone of one, and a word of its own.

    Parameters
    ----------
    word : the severity whose tone it takes
    mark : its mark
    sentence : what it says
    shown : the word that is shown
    """
    return _verdict(word, mark, sentence, shown)


MOST_LARGE = 150  # letters that fit on two lines of the large type
LONG = ' class="trailer-long"'


def _verdict(word: str, mark: str, sentence: str, shown: str | None = None) -> str:
    return (
        f'<div class="trailer-verdict" role="status" style="--tone:{tone(word)}"><b>{mark} {escape(shown or word)}</b>'
        f"<span{LONG if len(sentence) > MOST_LARGE else ''}>{escape(sentence)}</span></div>"
    )


def numbers_and_table(answer: Answer, focus: str | None = None) -> str:
    """The numbers of an answer in a row, and its table; the row in focus stands out."""
    beside = "".join(
        (_table(part.columns, part.rows, answer.system) if part.columns else "") + f"<small>{escape(part.note)}</small>"
        for part in answer.besides
    )
    return numbers(answer) + beside + table(answer, focus)


def numbers(answer: Answer) -> str:
    """The numbers of an answer in a row."""
    cells = "".join(
        f"<div>{escape(q.title)}<b>{escape(q.text(answer.system))}</b></div>" for q in answer.numbers.values()
    )
    return f'<div class="trailer-numbers">{cells}</div>'


def table(answer: Answer, focus: str | None = None) -> str:
    """The table of an answer."""
    return _table(answer.columns, answer.rows, answer.system, focus)


def _table(
    columns: Sequence[Column], rows: Sequence[Mapping[str, Any]], system: units.System, focus: str | None = None
) -> str:
    head = "".join(f"<th{_side(c.numeric)}>{escape(c.head(system))}</th>" for c in columns)
    body = []
    for row in rows:
        cells = "".join(f"<td{_side(c.numeric)}>{escape(c.cell(row.get(c.key), system))}</td>" for c in columns)
        mark = ' class="trailer-focus"' if focus is not None and row.get("name") == focus else ""
        body.append(f"<tr{mark}>{cells}</tr>")
    return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table>"


def _side(numeric: bool) -> str:
    return ' class="n"' if numeric else ""


def findings(answer: Answer) -> str:
    """What does not hold, worst first, each with its limit's source and what to do."""
    held = sum(check.severity == "holds" for check in answer.checks)
    items = "".join(finding(found, answer.system) for found in answer.findings)
    return (
        f'<ul class="trailer-findings">{items}<li><b style="color:{tone("holds")}">✓ holds</b> '
        f"{held} of {len(answer.checks)} checks hold.</li></ul>"
    )


def finding(found: Finding, system: units.System) -> str:
    """One finding as a list item."""
    return (
        f'<li><b style="color:{tone(found.severity)}">{found.mark} {found.severity}</b> '
        f"{escape(found.text(system))} {escape(found.mend(system))}<br>"
        f"<small>{escape(found.clause)}; {escape(found.confidence)}</small></li>"
    )


def working(answer: Answer) -> str:
    """Every step of the working: formula, the same with numbers, result, source."""
    if not answer.working:
        return '<div class="trailer-step">Nothing to work out yet.</div>'
    return "".join(step(worked) for worked in answer.working)


def step(worked: Worked) -> str:
    """One step of the working."""
    result = f"{units.figures(worked.value, 4)} {'' if worked.unit == '-' else worked.unit}".rstrip()
    return (
        f'<div class="trailer-step">{escape(worked.title)}<br>'
        f"{latex(f'{worked.result_symbol} = {worked.formula}')}<br>"
        f"{latex(f'{worked.result_symbol} = {worked.substitution}')} = <b>{escape(result)}</b><br>"
        f'<span class="trailer-source">{escape(worked.source)}</span></div>'
    )


@lru_cache(maxsize=512)
def latex(text: str) -> str:
    """LaTeX of the library's own formulas as MathML."""
    from latex2mathml.converter import convert

    converted: str = convert(text)
    return converted
