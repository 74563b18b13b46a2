"""What stands on the pages, as plain data: answers in, texts out. Nothing here knows how it is set."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.buildfile import cards, closing_sheet, glyphs, hand_over, mathtext, tabled
from trailerlib.buildfile.alike import gathered
from trailerlib.buildfile.closing_sheet import Filled
from trailerlib.buildfile.tabled import table, tables
from trailerlib.design.design import Design
from trailerlib.physics.formula import Worked, number_latex
from trailerlib.rules.finding import MARKS, ORDER, Finding
from trailerlib.studies.answer import Answer, Assessment
from trailerlib.studies.schedules import Schedule

Data = dict[str, Any]

CAUTIONS = (
    "This is design help and teaching, nothing more. The code in force where the trailer is used, the makers' "
    "instructions and a licensed person decide.",
    "Mains work is for a qualified person, with the supply locked off and proved dead before anything is touched.",
    "A battery can drive very large currents through a tool, a ring or a damaged wire. Fuse it at the battery, and "
    "take off rings and watches before working near it.",
    "Engines and burners make carbon monoxide, which kills sleepers without warning; a fan is no protection. Keep an "
    "alarm that works. Never sleep with a heater that burns the air inside, never run a generator near an opening.",
    "Have the structure looked at before a bow is cut. Measure the weight on the coupler with a scale before the first "
    "trip, and never exceed a plate.",
    "“Not checked” means that something was missing. It is never a pass.",
)
HEADINGS = {
    "loads": "Loads",
    "wiring": "Circuits",
    "night": "The night on the battery",
    "trip": "The battery over the trip",
    "mains": "The mains side: what trips first",
    "generator": "The generator",
    "cooling": "Heat and air",
    "roof": "Roof, openings and frames",
    "towing": "Weight on the road",
}
ABBREVIATIONS = {"co": "CO", "gfci": "GFCI"}
WORST_ON_COVER = 2
# further pictures
MORE = {
    "wiring": ("routes", "path", "time"),
    "mains": ("panel",),
    "generator": ("start",),
    "cooling": ("day", "air"),
    "roof": ("carries", "clamped", "side-nose", "side-rear"),
    "towing": ("above",),
}
VIEWS = ("plan", "side-road", "side-curb")
STAIRS = ("stairs", "stairs-plan")
_UNITS = {"AWG", "mm²", "min"} | {word for kind in units.KINDS.values() for word in (kind.us, kind.metric)}
_FIGURE = re.compile(rf"(\d) ({'|'.join(sorted(map(re.escape, _UNITS), key=len, reverse=True))})(?!\w)")


def pages(
    design: Design,
    assessment: Assessment,
    drawn: Mapping[str, str],
    date: str,
    sheet: Filled | None = None,
    schedules: Mapping[str, Schedule] | None = None,
) -> Data:
    """Everything the pages say, as plain data for the page template.

    Parameters
    ----------
    design : the design
    assessment : every study of it
    drawn : what each picture shows, by question and ``plan``
    date : year, month and day as text
    sheet : the test sheet of the closing-in test; None when the assessment does not ask for it
    schedules : what is built and bought from, by key

    Returns
    -------
    dict
        Texts, lists and mappings only; a character that no shipped font draws is marked.
    """
    data = {
        "cover": _cover(design, assessment, date),
        "views": [[name, drawn[name]] for name in VIEWS if name in drawn],
        "one_line": [[name, shows] for name, shows in drawn.items() if name.startswith("one-line-")],
        "schedules": [tabled.schedule(one, design.units) for one in (schedules or {}).values()],
        "cards": cards.cards(design),
        "stairs": [[name, drawn[name]] for name in STAIRS if name in drawn],
        "hand_over": hand_over.hand_over(design, assessment),
        "sections": [_section(assessment[question], heading, drawn) for question, heading in HEADINGS.items()],
        "sheet": None if sheet is None else _sheet(sheet, assessment["closing"]),
        "findings": [
            {**_finding(finding, assessment.system), "alike": names}
            for finding, names in gathered(assessment.finding_list, assessment.system)
        ],
        "checks": _checks(assessment),
        "metric": design.units == "metric",
    }
    shown: Data = _readable(data)
    return {**shown, "formulas": formulas(assessment, (schedules or {}).values())}


def _readable(node: Any) -> Any:
    """Every text marked where it cannot be drawn, and every figure kept on one line with its unit."""
    if isinstance(node, str):
        return _FIGURE.sub("\\1\u00a0\\2", glyphs.marked(node))
    if isinstance(node, Mapping):
        return {key: _readable(child) for key, child in node.items()}
    return [_readable(child) for child in node] if isinstance(node, list) else node


def _cover(design: Design, assessment: Assessment, date: str) -> Data:
    open_ones = assessment.finding_list
    return {
        "title": design.title, "revision": str(design.revision), "date": date, "use": design.use.note,
        "facts": _facts(design), "cautions": list(CAUTIONS),
        "verdicts": [
            {"title": answer.title, "sentence": answer.sentence, **verdict(answer)}
            for answer in assessment.answers.values()
        ],
        "counts": [
            {"mark": MARKS[word], "word": word, "count": str(sum(f.severity == word for f in open_ones))}
            for word in ORDER if word != "holds"
        ],
        "worst": [_finding(finding, assessment.system) for finding in open_ones[:WORST_ON_COVER]],
        "more": max(0, len(open_ones) - WORST_ON_COVER),
        "held": f"{_held(assessment)} of {len(all_checks(assessment))} checks hold.",
        "fonts": glyphs.needs_a_font(design.raw),
    }  # fmt: skip


def _facts(design: Design) -> list[list[str]]:
    site, box, system = design.site, design.trailer, design.units
    inside = " × ".join(units.show(side, "length", system) for side in (box.length, box.width, box.height))
    practice = {"north-america": "North America", "iec": "IEC"}[design.practice]
    return [
        ["Box, inside", inside],
        ["Elevation", units.show(site.elevation, "elevation", system) if site.elevation is not None else "not given"],
        ["Hottest air", _degrees(site.hottest, system)],
        ["Coldest air", _degrees(site.coldest, system)],
        ["Sleepers", "not given" if design.use.sleepers is None else str(design.use.sleepers)],
        ["Practice", practice],
    ]


def _degrees(value: float | None, system: units.System) -> str:
    return "not given" if value is None else units.show(value, "temperature", system)


def verdict(answer: Answer) -> dict[str, str]:
    """Mark and word of an answer.

    Parameters
    ----------
    answer : the answer

    Returns
    -------
    dict of str to str
        ``mark`` and ``word``.
    """
    return {"mark": answer.mark, "word": answer.word}


def _section(answer: Answer, heading: str, drawn: Mapping[str, str]) -> Data:
    head: Data = {"question": answer.question, "heading": heading, **verdict(answer), "sentence": answer.sentence}
    if not answer.checks:  # nothing could be asked: figures without a judgement would mislead
        return {**head, "picture": "", "more": [], "numbers": [], "tables": [], "note": ""}
    numbers = [[number.title, number.text(answer.system)] for number in answer.numbers.values()]
    more = [[name, drawn[name]] for name in MORE.get(answer.question, ()) if name in drawn]
    return {
        **head,
        "picture": drawn.get(answer.question, ""),
        "more": more,
        "numbers": numbers,
        "tables": tables(answer),
        "note": answer.notes,
    }


def _sheet(sheet: Filled, answer: Answer) -> Data:
    beside = answer.beside
    found = [] if beside is None or not beside.columns else [table(beside.columns, beside.rows, answer.system)]
    return closing_sheet.section(sheet, answer, found)


def all_checks(assessment: Assessment) -> list[Finding]:
    """Every check of every study, each once, in the order of the questions.

    Parameters
    ----------
    assessment : every study of one design

    Returns
    -------
    list of Finding
        Those that hold among them.
    """
    return list(dict.fromkeys(check for answer in assessment.answers.values() for check in answer.checks))


def _held(assessment: Assessment) -> int:
    return sum(check.severity == "holds" for check in all_checks(assessment))


def is_claim(finding: Finding) -> bool:
    """Whether it says something that is so or not so, without a number worth printing.

    Parameters
    ----------
    finding : the finding

    Returns
    -------
    bool
        True for such as an alarm that is there or not.
    """
    return finding.kind == "" and finding.limit in (0.0, None) and finding.measured in (0.0, 1.0, None)


def _finding(finding: Finding, system: units.System) -> Data:
    claim = is_claim(finding)
    return {
        "mark": finding.mark, "word": finding.severity, "subject": finding.subject, "what": finding.text(system),
        "remedy": finding.mend(system), "clause": finding.clause, "confidence": finding.confidence,
        "measured": "–" if claim else finding.number(finding.measured, system),
        "limit": "–" if claim or finding.limit is None else f"{finding.sense} {finding.number(finding.limit, system)}",
    }  # fmt: skip


def _checks(assessment: Assessment) -> list[list[str]]:
    """One row a rule: how many things were checked, how many hold, the tightest of them, and the clause."""
    by_rule: dict[str, list[Finding]] = {}
    for check in all_checks(assessment):
        by_rule.setdefault(check.rule, []).append(check)
    return [_check_row(rule, checks, assessment.system) for rule, checks in by_rule.items()]


def _check_row(rule: str, checks: Sequence[Finding], system: units.System) -> list[str]:
    known = [check for check in checks if check.margin is not None]
    tightest = min(known, key=lambda check: check.margin or 0.0, default=checks[0])
    shown = _finding(tightest, system)
    held = sum(check.severity == "holds" for check in checks)
    return [
        " ".join(ABBREVIATIONS.get(word, word) for word in rule.split("-")), str(len(checks)), str(held),
        tightest.subject, shown["measured"], shown["limit"], tightest.clause,
    ]  # fmt: skip


def formulas(assessment: Assessment, schedules: Iterable[Schedule] = ()) -> list[Data]:
    """Every number's working, each once: title, formula, the numbers put in, result, source, in maths markup.

    Parameters
    ----------
    assessment : every study
    schedules : what is built and bought from

    Returns
    -------
    list of dict
        In the order of the questions, then of the schedules.
    """
    parts: list[Answer | Schedule] = [*assessment.answers.values(), *schedules]
    steps = {(w.title, w.substitution): w for part in parts for w in part.working}
    return [_formula(step) for step in steps.values()]


def _formula(step: Worked) -> Data:
    return {
        "title": step.title,
        "symbol": mathtext.typeset(step.result_symbol),
        "formula": mathtext.typeset(step.formula),
        "numbers": mathtext.typeset(step.substitution),
        "result": mathtext.typeset(number_latex(step.value)) + mathtext.unit(step.unit),
        "inputs": [
            f"{mathtext.typeset(symbol)} = {mathtext.typeset(number_latex(value))}{mathtext.unit(unit)}"
            for symbol, value, unit in step.inputs
        ],
        "source": step.source,
    }
