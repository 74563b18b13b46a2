"""Whether the walls may close: every line of the test sheet read, and read within its band."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

PRACTICE = "common practice, no source"
BAND = "JCGM 100 (GUM) 5.1.2 and 6.2: band of three combined standard uncertainties about the expected reading"

MEASURED = Rule(
    "test-sheet-measured",
    "stop",
    "",
    "at least",
    "{subject}: {measured} of {limit} lines are measured.",
    "Measure the rest before anything is covered.",
    "no line of it has been measured",
    f"{PRACTICE}; before first use IEC 60364-6 and NFPA 70 551.60 ask for tests of the mains side",
    "from memory",
)


@enforces(MEASURED)
def all_measured(subject: str, measured: float | None, lines: float | None) -> Finding:
    """Lines that have been read of those on the sheet; a sheet that nobody has begun is not checked.

    Parameters
    ----------
    subject : which part of the sheet
    measured : [-] lines with a reading, None when there is none
    lines : [-] routine lines of that part
    """
    return judge(MEASURED, subject, measured, lines)


OUTSIDE = Rule(
    "reading-outside-its-band",
    "stop",
    "",
    "at most",
    "{subject}: {measured} readings lie outside their band.",
    "Find out why before the walls close; the sheet says what is likeliest and what to measure next.",
    "no line of it has been measured",
    BAND,
    "seen in a copy of the source",
)


@enforces(OUTSIDE)
def within_band(subject: str, outside: float | None) -> Finding:
    """Readings outside their band.

    Parameters
    ----------
    subject : which part of the sheet
    outside : [-] how many, None when nothing was read
    """
    return judge(OUTSIDE, subject, outside, 0.0)


SUSPECT = Rule(
    "fault-likely",
    "stop",
    "",
    "at most",
    "{subject}.",
    "Mend it, take the reading again, and leave the wall open until it agrees.",
    "no line has been measured",
    f"likelihood of all readings together; how often each fault is met: {PRACTICE}",
    PRACTICE,
)


@enforces(SUSPECT)
def no_fault_likely(subject: str, claimed: bool | None) -> Finding:
    """Whether the readings together speak for a fault.

    Parameters
    ----------
    subject : the fault as a sentence
    claimed : whether it is claimed, None when nothing was read
    """
    return claim(SUSPECT, subject, claimed)
