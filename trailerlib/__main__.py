"""The shell: check a design file, write its build file, verify a snapshot."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from trailerlib.design.errors import DesignError
from trailerlib.units import shorten

if TYPE_CHECKING:
    from trailerlib.buildfile.closing_sheet import Filled

AGREES, DIFFERS, REFUSED = 0, 1, 2
LONGEST = 1000  # characters of a refusal


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the shell asks.

    Parameters
    ----------
    arguments : the words after the program's name; default are those of the shell

    Returns
    -------
    int
        0 when all is well, 1 when something is open or differs, 2 when the input cannot be used.
    """
    parser = _parser()
    given = parser.parse_args(arguments)
    if not hasattr(given, "act"):
        parser.print_help()
        return AGREES
    try:
        code: int = given.act(given)
        if sys.stdout is not None:  # none where a shell has closed it
            sys.stdout.flush()
        return code
    except BrokenPipeError:
        _say_no_more()
        return REFUSED
    except DesignError as error:
        print(shorten(str(error), LONGEST), file=sys.stderr)
    except OSError as error:
        print(f"It cannot be said or written ({error.strerror or error}); make room and try again.", file=sys.stderr)
        _say_no_more()
    return REFUSED


def _say_no_more() -> None:
    """Whoever read along has gone, or there is no room: what is left unsaid must not raise once more at the end."""
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m trailerlib", description=__doc__)
    verbs = parser.add_subparsers(title="verbs", metavar="VERB")
    check = verbs.add_parser("check", help="answer every question about a design file and list the findings")
    check.add_argument("file", help="the design file")
    check.set_defaults(act=_check)
    build = verbs.add_parser("build", help="write PDF, spreadsheet and snapshot into a new dated folder")
    build.add_argument("file", help="the design file")
    build.add_argument("folder", help="where the dated folder is made")
    build.add_argument("--date", metavar="YYYY-MM-DD", help="the date on the build file; default is today")
    build.add_argument("--labels", metavar="SHEET", help="the sheet the labels are printed on; default is plain paper")
    build.set_defaults(act=_build)
    verify = verbs.add_parser("verify", help="recompute a snapshot and name every difference")
    verify.add_argument("snapshot", help="the snapshot.json of a build file")
    verify.set_defaults(act=_verify)
    compare = verbs.add_parser("compare", help="say what changed from one snapshot to another, and what it did")
    compare.add_argument("before", help="the snapshot.json of the earlier build file")
    compare.add_argument("after", help="the snapshot.json of the later one")
    compare.set_defaults(act=_compare)
    return parser


def _check(given: argparse.Namespace) -> int:
    from trailerlib.buildfile.closing_sheet import filled
    from trailerlib.buildfile.pages import verdict
    from trailerlib.design.files import read_design
    from trailerlib.design.readings import read_readings
    from trailerlib.studies import assess
    from trailerlib.studies.closing.sheet import sheet_of

    design, readings = read_design(given.file), read_readings(given.file)
    sheet = filled(sheet_of(design), readings)
    assessment = assess(design, readings.values() if len(readings) else None)
    for answer in assessment.answers.values():
        print("{mark} {word}: ".format(**verdict(answer)) + f"{answer.title} {answer.sentence}")
    findings, system = assessment.finding_list, assessment.system
    print()
    for finding in findings:
        print(
            f"{finding.mark} {finding.severity}: {finding.text(system)} {finding.mend(system)}"
            f" ({finding.clause}; {finding.confidence})"
        )
    if not findings:
        print("Nothing is open: every check holds.")
    if len(readings):
        _say_readings(sheet)
    return DIFFERS if any(finding.severity in ("stop", "fix") for finding in findings) else AGREES


def _say_readings(sheet: Filled) -> None:
    """The readings that lie outside their band, and those that no line asks for any more."""
    from trailerlib.buildfile.closing_sheet import band, shown

    read = [(one.expected, one.reading, one.verdict) for one in sheet.lines if one.reading is not None]
    off = [(expected, reading) for expected, reading, said in read if said == "differs"]
    taken = len(read) + len(sheet.left_over)
    print(f"\n{taken} readings of the closing-in test, {len(off)} of them outside their band.")
    for expected, reading in off:
        line, high = expected.line, expected.high
        right = band(expected) or shown(expected.value, line, high)
        print(f"differs: {line.where}, {line.state}: {shown(reading.value, line, high)}, accepted {right}")
    for key in sheet.left_over:
        print(f"no longer on the sheet: {key}")


def _build(given: argparse.Namespace) -> int:
    from trailerlib.buildfile import write_build_file
    from trailerlib.design.files import read_design

    design = read_design(given.file)
    for path in write_build_file(design, given.folder, given.date, label_sheet=given.labels).values():
        print(path)
    return AGREES


def _verify(given: argparse.Namespace) -> int:
    from trailerlib.buildfile import verify_snapshot

    found = verify_snapshot(given.snapshot)
    for difference in found:
        print(difference.text())
    if not found:
        print("The snapshot agrees with what is computed now.")
    return DIFFERS if found else AGREES


def _compare(given: argparse.Namespace) -> int:
    from trailerlib.buildfile import compare_snapshots

    found = compare_snapshots(given.before, given.after)
    print(found.text())
    return DIFFERS if found.design or found.beside or found.results else AGREES


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.reconfigure(encoding="utf-8", errors="replace")  # type: ignore[union-attr]
    sys.exit(main())
