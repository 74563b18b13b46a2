"""Plugs and adapters between a supply and the inlet, what one leg cannot run, and the size of a converter."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

SEEN, MEMORY, PRACTICE = "seen in a copy of the source", "from memory", "common practice, no source"

FITS = Rule(
    "plug-chain-fits",
    "fix",
    "",
    "at most",
    "{subject}: its plugs do not go together.",
    "Use an adapter from the supply's receptacle to the inlet, with both types on its label.",
    "the type of the inlet is not given",
    "551.46(C), NEMA WD 6: a plug goes into its own type, 5-15 into 5-20 as well",
    SEEN,
)
ADAPTER = Rule(
    "adapter-missing",
    "fix",
    "",
    "at most",
    "{subject} has another plug than the inlet and no adapter is listed: it cannot be plugged in.",
    "Carry the adapter, and list it.",
    "the type of the inlet is not given",
    "551.46(C), NEMA WD 6",
    SEEN,
)
LIMIT = Rule(
    "plug-chain-limit",
    "fix",
    "current",
    "at most",
    "{subject}: its stays ask for {measured} and an adapter or inlet on the way is good for {limit}.",
    "Let large loads take turns, or go without that adapter.",
    "the type of the inlet is not given, or no stay says what runs on it and which leg each load is on",
    "rating of each plug and receptacle (NEMA WD 6)",
    SEEN,
)
OVERHEATS = Rule(
    "plug-chain-overheats",
    "stop",
    "current",
    "at most",
    "{subject}: its stays ask for {measured}, a plug or adapter on the way is good for {limit}, and no breaker opens "
    "before it overheats.",
    "Do not use it so. Fit a main no larger than that plug, let large loads take turns, or go without that adapter.",
    "the type of the inlet is not given, or no stay says what runs on it and which leg each load is on",
    "240.4 and 240.5: protection not above the rating of cord and plug",
    MEMORY,
)
BEHIND = Rule(
    "adapter-behind-larger-breaker",
    "note",
    "current",
    "at most",
    "{subject}: a breaker of {measured} stands ahead of a plug good for {limit}.",
    "The trailer's main, no larger than that plug, guards it against too many loads; nothing guards it against a "
    "fault. Carry an adapter that is good for the breaker.",
    "the type of the inlet is not given",
    "240.4 and 240.5: protection not above the rating of cord and plug",
    MEMORY,
)
BARE = Rule(
    "plug-not-guarded",
    "fix",
    "current",
    "at most",
    "{subject}: a breaker of {measured} stands ahead of a plug good for {limit}, and no main as small guards it.",
    "Carry an adapter that is good for the breaker, or fit a main no larger than that plug.",
    "the type of the inlet, or the main breaker, is not given",
    "240.4 and 240.5: protection not above the rating of cord and plug",
    MEMORY,
)
DEAD = Rule(
    "two-leg-circuit-dead",
    "fix",
    "",
    "at most",
    "{subject} runs between two legs and one arrives: it is dead there, and a stay wants it.",
    "Plug into a supply that brings both legs, or feed it from one leg if it is made for that voltage too.",
    "the type of the inlet is not given",
    "210.4(C): a circuit of two legs feeds what runs from one to the other; one leg has nothing to run it by",
    MEMORY,
)
RESTS = Rule(
    "two-leg-circuit-rests",
    "note",
    "",
    "at most",
    "{subject} runs between two legs and one arrives: it cannot run there. No stay wants it to.",
    "Nothing is wrong; it starts again on a supply that brings both legs.",
    "the type of the inlet is not given",
    "210.4(C): a circuit of two legs feeds what runs from one to the other; one leg has nothing to run it by",
    MEMORY,
)
ONE_HOT = Rule(
    "one-hot-on-both-legs",
    "note",
    "",
    "at most",
    "{subject}: the adapter joins both legs of the panel to one hot wire. There is no 240 V, both legs together may "
    "draw what that one wire gives, and a neutral shared by two circuits carries the sum of both.",
    "Split shared neutrals, or keep the sum of both circuits within the wire, before plugging in this way.",
    "the type of the inlet is not given",
    "210.4, multiwire circuits; adapter practice",
    PRACTICE,
)


@enforces(FITS)
def plug_chain_fits(subject: str, apart: bool | None) -> Finding:
    """Whether some plug on the way does not go into what comes before it."""
    return claim(FITS, subject, apart)


@enforces(ADAPTER)
def adapter_missing(subject: str, missing: bool | None) -> Finding:
    """Whether an adapter is needed and none is listed."""
    return claim(ADAPTER, subject, missing)


@enforces(LIMIT)
def plug_chain_limit(subject: str, asked_a: float | None, limit_a: float | None) -> Finding:
    """What the stays ask of a supply against the smallest rating on the way.

    Parameters
    ----------
    subject : what it is about
    asked_a : [A] on the busiest leg
    limit_a : [A] smallest rating from the receptacle to the inlet
    """
    return judge(LIMIT, subject, asked_a, limit_a)


@enforces(OVERHEATS)
def plug_chain_overheats(subject: str, asked_a: float | None, limit_a: float | None) -> Finding:
    """What the stays ask against the smallest rating on the way, where no breaker as small stands in it.

    Parameters
    ----------
    subject : what it is about
    asked_a : [A] on the busiest leg
    limit_a : [A] smallest rating from the receptacle to the inlet
    """
    return judge(OVERHEATS, subject, asked_a, limit_a)


@enforces(BARE)
def plug_not_guarded(subject: str, supply_a: float | None, smallest_a: float | None) -> Finding:
    """The supply's breaker against the smallest rating behind it, where the trailer's main does not guard that.

    Parameters
    ----------
    subject : what it is about
    supply_a : [A] of the supply's receptacle
    smallest_a : [A] smallest rating behind it
    """
    return judge(BARE, subject, supply_a, smallest_a)


@enforces(DEAD)
def two_leg_circuit_dead(subject: str, dead: bool | None) -> Finding:
    """Whether a stay wants what runs between two legs on a supply of which one arrives."""
    return claim(DEAD, subject, dead)


@enforces(RESTS)
def two_leg_circuit_rests(subject: str, rests: bool | None) -> Finding:
    """Whether a circuit between two legs cannot run on a supply that no stay wants it on."""
    return claim(RESTS, subject, rests)


@enforces(BEHIND)
def adapter_behind_larger_breaker(subject: str, supply_a: float | None, smallest_a: float | None) -> Finding:
    """The supply's breaker against the smallest rating behind it.

    Parameters
    ----------
    subject : what it is about
    supply_a : [A] of the supply's receptacle
    smallest_a : [A] smallest rating behind it
    """
    return judge(BEHIND, subject, supply_a, smallest_a)


@enforces(ONE_HOT)
def one_hot_on_both_legs(subject: str, joined: bool | None) -> Finding:
    """Whether an adapter joins both legs to one hot wire."""
    return claim(ONE_HOT, subject, joined)


IEC = Rule(
    "iec-mains-practice",
    "note",
    "",
    "at most",
    "The {subject} follows IEC practice: IEC 60364-7-721 applies, and none of its rules is checked here.",
    "Ask an electrician who knows it: double-pole breakers, a 30 mA RCD, inlet, cord, bonding.",
    "the practice is not given",
    "IEC 60364-7-721",
    SEEN,
)


@enforces(IEC)
def iec_practice(subject: str, applies: bool | None) -> Finding:
    """Whether IEC practice applies, which is not checked."""
    return claim(IEC, subject, applies)


CONVERTER = Rule(
    "converter-size",
    "note",
    "current",
    "at least",
    "{subject} gives {measured}; the dc loads ask for {limit} even before any charging is counted.",
    "Fit a larger converter, or let the battery help out.",
    "it needs a charger and dc loads",
    "551.20(B): 100 % of the first 20 A, 50 % of the second 20 A, 25 % of the rest",
    MEMORY,
)


def converter_need_a(dc_load_a: float) -> float:
    """Least rating of a converter for a dc load [A].

    Parameters
    ----------
    dc_load_a : [A] of all dc loads; the clause counts the average charging with them

    Source
    ------
    NFPA 70 551.20(B), from memory.
    """
    first, second = min(dc_load_a, 20.0), min(max(dc_load_a - 20.0, 0.0), 20.0)
    return first + 0.5 * second + 0.25 * max(dc_load_a - 40.0, 0.0)


@enforces(CONVERTER)
def converter_size(subject: str, converter_a: float | None, needed_a: float | None) -> Finding:
    """Rating of the charger that also feeds the dc loads against what they ask for.

    Parameters
    ----------
    subject : what it is about
    converter_a : [A] of the charger
    needed_a : [A] see ``converter_need_a``
    """
    return judge(CONVERTER, subject, converter_a, needed_a)
