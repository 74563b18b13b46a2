"""The run-together cards in large type, one page a supply, to tape beside the panel: plain data, in plain words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from trailerlib.design.design import Design
from trailerlib.pictures.together_rows import HEATS, MOST_PAIRS, dead_words, idle_words, rows_on_paper
from trailerlib.studies import together
from trailerlib.studies.answer import names
from trailerlib.studies.together.result import REST_MIN, Combination, Forbidden, Together, Trip

Data = dict[str, Any]

STALLS = (
    "It stalls or its breaker opens: switch everything off, get it going, then switch on one after another. If it "
    "stops again at once, leave it off and have it looked at."
)
OPENS = (
    "A breaker opens: switch off what stands above, wait a minute, push the handle fully off, then on. If it opens "
    "again at once, leave it off and have it looked at."
)
PEDESTAL = "The main is the breaker of the whole panel; the pedestal is the post outside that the cord plugs into."
STOP = "Stop: a cord or a plug over its rating opens nothing, it overheats. Do not try it out."


def cards(design: Design) -> list[Data]:
    """One card for every supply; none for a trailer without a mains side.

    Parameters
    ----------
    design : the design

    Returns
    -------
    list of dict
        Texts and lists only.
    """
    if not design.circuits_of("mains"):
        return []
    return [_card(together.of(design, supply.name)) for supply in design.supplies]


def _card(found: Together) -> Data:
    gaps = [f"Not checked: {gap}." for gap in (*found.gaps, *((found.too_many,) if found.too_many else ()))]
    head: Data = {
        "supply": found.supply, "kind": f"{found.kind}, {found.volts_words}", "gaps": gaps, "everything": [],
        "free": "", "groups": [], "apart": [], "apart_more": "", "after": [],
        "dead": " ".join(_cannot(found)),
    }  # fmt: skip
    if found.too_many:
        return head
    apart = found.forbidden[:MOST_PAIRS]
    return {
        **head,
        "everything": _everything(found),
        "free": names(switch.name for switch in found.always),
        "groups": list(_groups(found)),
        "apart": [[" + ".join(one.on), _pair(one, found.everything)] for one in apart],
        "apart_more": _more(found.forbidden_count - len(apart), "that are too much"),
        "after": list(_after(found)),
    }


def _cannot(found: Together) -> Iterator[str]:
    if found.dead:
        yield dead_words(found)
    if found.not_starting:
        words = idle_words(found)
        yield f"{words[:1].upper()}{words[1:]} Leave {'it' if len(found.not_starting) == 1 else 'them'} off."


def _everything(found: Together) -> list[str]:
    """Severity word and sentence about all of it at once."""
    if not found.switches:
        return ["not checked", "Nothing is in use on the mains side."]
    if found.everything is not None:
        return ["stop", f"Everything at once is too much: {_opens(found.everything)}."]
    if found.checked:
        lasting = "" if found.free_lasts else ", for less than three hours"
        return ["holds", f"Everything at once holds{lasting}: nothing opens."]
    return ["not checked", "Everything at once passes no limit that is known."]


def _opens(one: Forbidden) -> str:
    """What opens first and about when, with what heats meanwhile, for somebody who knows no limits."""
    first = one.first
    if first.stop:
        return f"the {first.limit.name} is asked for {first.load}: it overheats, and nothing opens"
    heats = list(dict.fromkeys(HEATS[trip.limit.kind] for trip in one.stops))
    meanwhile = f"; the {names(heats)} overheat{'s' if len(heats) == 1 else ''} meanwhile" if heats else ""
    return f"{_what(one)} is asked for {first.load}: {_when(first)}{meanwhile}"


def _what(one: Forbidden) -> str:
    if one.first.limit.kind in ("generator", "power"):
        return "the generator"
    leg = "" if one.first.limit.leg is None else f", leg {one.first.limit.leg},"
    return f"the {' or '.join(dict.fromkeys(trip.limit.what for trip in one.together_with))}{leg}"


def _when(trip: Trip) -> str:
    if trip.limit.kind in ("generator", "power"):
        return "it stalls, or its own breaker opens"
    return "it may hold for hours, or open" if math.isinf(trip.most_s) else f"it {trip.when}"


def _pair(one: Forbidden, everything: Forbidden | None) -> str:
    """What happens and what to switch off, shorter where the sentence on everything has named what is asked."""
    words = _opens(one)
    if everything is not None and not one.first.stop and _what(one) == _what(everything):
        words = f"asked for {one.first.load}: {_when(one.first)}"
    return f"{words[:1].upper()}{words[1:]}. Switch off {', then '.join(one.switch_off)}."


def _groups(found: Together) -> Iterator[Data]:
    if not found.deciding:
        return
    good, short = rows_on_paper(found)
    known = "" if found.checked else " by what is known: not checked"
    everything = [switch.name for switch in found.deciding]
    for title, rows, count in (
        ("Together for as long as you like", good, found.for_good_count),
        ("Together for less than three hours", short, found.under_three_hours_count),
    ):
        if rows:
            yield {
                "title": title + known, "word": "holds" if found.checked else "not checked",
                "rows": [_row(row, everything) for row in rows],
                "more": _more(count - len(rows), "all smaller"),
            }  # fmt: skip


def _row(row: Combination, everything: Sequence[str]) -> list[str]:
    """What is on, or all but what is off where that is shorter; what has to start first."""
    off = [name for name in everything if name not in row.on]
    on = " + ".join(row.on) if len(row.on) <= max(len(off), 4) else f"all but {names(off)}"
    first = " ".join(f"{start.words[:1].upper()}{start.words[1:]}." for start in row.starts)
    return [on or "none of the others", first]


def _more(count: int, words: str) -> str:
    return f"and {count} more, {words}" if count > 0 else ""


def _after(found: Together) -> Iterator[list[str]]:
    if any(limit.kind == "power" for limit in found.limits):
        words = STALLS
    elif found.forbidden:
        words = OPENS
    else:
        return
    rest = f" A compressor rests {REST_MIN:g} minutes before it starts again."
    yield ["note", words + (rest if any(switch.compressor for switch in found.switches) else "")]
    if any("pedestal" in limit.what for limit in found.limits):
        yield ["note", PEDESTAL]
    if any(one.stops for one in found.forbidden) or (found.everything is not None and found.everything.stops):
        yield ["stop", STOP]
