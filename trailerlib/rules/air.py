"""Air and warmth inside: what sleepers breathe, what burns, what settles on the wall, what the cooler can hold."""

from __future__ import annotations

from trailerlib.rules.finding import Finding, Rule, claim, enforces, judge

PRACTICE = "common practice, no source"

CO2_MARK = Rule(
    "air-carbon-dioxide",
    "fix",
    "",
    "at most",
    "{subject}: carbon dioxide comes to {measured} ppm by waking; the mark asked for is {limit} ppm.",
    "Run the fan with a window cracked, or crack it wider; fewer people in the box does it too.",
    "it needs the people, what they do, the size of the box and the air that comes in",
    "the mark is the design's own: ASHRAE 62.1 names no limit for carbon dioxide since 1999; 1000 ppm is the older "
    "mark of stuffy air, about 700 ppm over outside, and no mark of danger",
    "seen in a copy of the source",
)


@enforces(CO2_MARK)
def carbon_dioxide(subject: str, at_waking_ppm: float | None, mark_ppm: float | None) -> Finding:
    """Carbon dioxide at waking against the mark that is asked for.

    Parameters
    ----------
    subject : what it is about
    at_waking_ppm : [ppm] at the end of the night
    mark_ppm : [ppm] asked for
    """
    return judge(CO2_MARK, subject, at_waking_ppm, mark_ppm)


CO2_HARM = Rule(
    "air-carbon-dioxide-harm",
    "stop",
    "",
    "at most",
    "{subject}: carbon dioxide comes to {measured} ppm; over {limit} ppm people get ill.",
    "Nobody sleeps in it shut: an opening that cannot be closed, or a fan with one that stands open.",
    "it needs the people, what they do, the size of the box and the air that comes in",
    "5000 ppm: limit over eight hours at work in the United States (OSHA, NIOSH), the yardstick here",
    "seen in a copy of the source",
)
HARM_PPM = 5000.0


@enforces(CO2_HARM)
def carbon_dioxide_harm(subject: str, highest_ppm: float | None) -> Finding:
    """Highest carbon dioxide of a night against the limit at work.

    Parameters
    ----------
    subject : what it is about
    highest_ppm : [ppm] over the night
    """
    return judge(CO2_HARM, subject, highest_ppm, HARM_PPM)


NO_INLET = Rule(
    "fan-without-inlet",
    "fix",
    "",
    "at most",
    "{subject} runs and nothing is open for air to come in: it moves next to none.",
    "Crack a window or a hatch at the far end of the box, low down.",
    "it is not said how far a window or hatch is cracked",
    PRACTICE,
    PRACTICE,
)


@enforces(NO_INLET)
def fan_without_inlet(subject: str, no_inlet: bool | None) -> Finding:
    """Whether a fan runs with all openings shut."""
    return claim(NO_INLET, subject, no_inlet)


MAKEUP = Rule(
    "air-with-the-fan-off",
    "note",
    "air flow",
    "at least",
    "{subject}: with the fan off {measured} comes in through leaks; {limit} keeps the air at its mark.",
    "When the fan stops, wind and luck are left: open two windows on opposite sides.",
    "it needs the leakage, the people and the mark for carbon dioxide",
    "mass balance in a steady state; wind and the lift of warm air are left out",
    "computed",
)


@enforces(MAKEUP)
def air_with_the_fan_off(subject: str, leaks_m3_s: float | None, needed_m3_s: float | None) -> Finding:
    """Air that comes in without the fan against what the sleepers need.

    Parameters
    ----------
    subject : what it is about
    leaks_m3_s : [m3/s] through leaks
    needed_m3_s : [m3/s] that keeps carbon dioxide at its mark
    """
    return judge(MAKEUP, subject, leaks_m3_s, needed_m3_s)


OPEN_FLAME = Rule(
    "open-flame-heater",
    "stop",
    "",
    "at most",
    "People sleep in this trailer and it is warmed by a flame that burns the air inside.",
    "Never sleep with it lit: use electric heat, or a heater that burns outside air and has a flue.",
    "it is not said whether people sleep aboard or what warms it (comfort.heater)",
    "CDC and CPSC: no fuel-burning heater without a flue where people sleep",
    "from memory",
)


@enforces(OPEN_FLAME)
def open_flame(sleeping_with_flame: bool | None) -> Finding:
    """Whether people sleep with a heater that burns the air inside."""
    return claim(OPEN_FLAME, "heater", sleeping_with_flame)


CO_ALARM = Rule(
    "carbon-monoxide-alarm",
    "stop",
    "",
    "at most",
    "People sleep in this trailer and no carbon monoxide alarm is listed.",
    "Fit and test an alarm marked for recreational vehicles, low by the bunk. A fan is no protection against carbon "
    "monoxide: it can draw exhaust in.",
    "it is not said whether people sleep aboard or whether there is a carbon monoxide alarm",
    "trade rule since 2005: in every new recreational vehicle, to UL 2034",
    "seen in a copy of the source",
)


@enforces(CO_ALARM)
def carbon_monoxide_alarm(sleeping_without_alarm: bool | None) -> Finding:
    """Whether people sleep without a carbon monoxide alarm, whatever burns near them."""
    return claim(CO_ALARM, "sleeping space", sleeping_without_alarm)


DRAWS_EXHAUST = Rule(
    "fan-draws-exhaust",
    "stop",
    "",
    "at most",
    "{subject} draws air in through an opening while a generator runs near it: it draws the exhaust in.",
    "Carry the generator 20 ft away, downwind, before the fan runs; the alarm is for what is forgotten.",
    "it is not said where the generator stands or which opening is cracked",
    "CDC and CPSC: at least 20 ft from openings",
    "seen in a copy of the source",
)


@enforces(DRAWS_EXHAUST)
def fan_draws_exhaust(subject: str, draws: bool | None) -> Finding:
    """Whether a fan runs on a generator that stands within 20 ft of what is cracked open."""
    return claim(DRAWS_EXHAUST, subject, draws)


SET_POINT = Rule(
    "set-point-held",
    "fix",
    "temperature",
    "at most",
    "{subject}: it gets {measured} inside at the worst hour; it should not pass {limit}.",
    "See what foam, a lighter roof or shade buys before a larger cooler.",
    "it needs the faces, the skin, the site, the cooler and the set point",
    "the set point of the design",
    PRACTICE,
)


@enforces(SET_POINT)
def set_point_held(subject: str, worst_c: float | None, asked_c: float | None) -> Finding:
    """Warmest moment with the cooler on against the top of its band.

    Parameters
    ----------
    subject : what it is about
    worst_c : [degC] warmest inside
    asked_c : [degC] set point and half the band
    """
    return judge(SET_POINT, subject, worst_c, asked_c)


STARTS = Rule(
    "cooler-starts",
    "note",
    "",
    "at most",
    "{subject} starts {measured} times in its busiest hour; {limit} is what a compressor lives with.",
    "Widen the band or take the next smaller cooler: one that is too large cools in bursts and leaves the air damp.",
    "it needs the faces, the skin, the site, the cooler and the set point",
    f"six starts an hour: {PRACTICE}; the maker's figure wins",
    PRACTICE,
)
MOST_STARTS_PER_H = 6.0


@enforces(STARTS)
def cooler_starts(subject: str, starts_per_h: float | None) -> Finding:
    """Starts of a cooler in its busiest hour.

    Parameters
    ----------
    subject : what it is about
    starts_per_h : [1/h]
    """
    return judge(STARTS, subject, starts_per_h, MOST_STARTS_PER_H)


CONDENSATION = Rule(
    "wall-condensation",
    "note",
    "temperature",
    "at least",
    "{subject}: its inside face is at {measured}, under the dew point of the air at {limit}: water settles on it.",
    "More fan, more foam over the studs, or glass in two panes; wipe it in the morning.",
    "it needs the faces, the coldest air, the warmth inside, the people and the air that comes in",
    "dew point of the air against the temperature of the face; what walls and bedding take up is left out",
    "computed",
)


@enforces(CONDENSATION)
def condensation(subject: str, face_c: float | None, dew_point_c: float | None) -> Finding:
    """Inside face of a wall or window against the dew point of the air inside.

    Parameters
    ----------
    subject : what it is about
    face_c : [degC] of the face
    dew_point_c : [degC] of the air
    """
    return judge(CONDENSATION, subject, face_c, dew_point_c)


HEATER = Rule(
    "heater-holds",
    "fix",
    "power",
    "at least",
    "{subject} gives {measured}; the coldest night takes {limit} to hold the temperature asked for.",
    "More foam, fewer leaks, a larger heater, or a lower temperature to sleep at.",
    "it needs the faces, the coldest air, the temperature asked for and the heater's power",
    "heat balance in a steady state",
    "computed",
)


@enforces(HEATER)
def heater_holds(subject: str, there_w: float | None, needed_w: float | None) -> Finding:
    """Power of the heaters against what the coldest night takes.

    Parameters
    ----------
    subject : what it is about
    there_w : [W] of all heaters
    needed_w : [W] to hold the temperature asked for
    """
    return judge(HEATER, subject, there_w, needed_w)


HOT_WITHOUT_POWER = Rule(
    "hot-without-power",
    "note",
    "temperature",
    "at most",
    "{subject}: without power it gets {measured} inside; over {limit} people and animals are in danger.",
    "Nobody and no animal is left in it shut on a hot day; open it wide when the power goes.",
    "it needs the faces, the skin and the site",
    "103 °F: where the weather service's heat index reads “danger”; air temperature here, moisture left out",
    "from memory",
)
DANGER_C = (103.0 - 32.0) / 1.8


@enforces(HOT_WITHOUT_POWER)
def hot_without_power(subject: str, hottest_c: float | None) -> Finding:
    """Warmest moment inside without power.

    Parameters
    ----------
    subject : what it is about
    hottest_c : [degC] inside
    """
    return judge(HOT_WITHOUT_POWER, subject, hottest_c, DANGER_C)
