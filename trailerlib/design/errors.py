"""One clear sentence for everything that can be wrong with a design: where, what, what would be right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib.units import shorten


class DesignError(ValueError):
    """Something is wrong with a design or its file. Its text is one sentence a builder can act on."""


def first_sentence(error: Any, raw: Mapping[str, Any]) -> str:
    """The first problem of a validation error as one sentence that says where it is.

    Parameters
    ----------
    error : a pydantic ValidationError
    raw : the plain data that was validated, used to name the part by its name
    """
    problems = error.errors()
    known = [p for p in problems if p["type"] != "missing"]
    problem = (known or problems)[0]
    return f"{where(problem['loc'], raw)}: {_say(problem)}"


def where(loc: Sequence[Any], raw: Mapping[str, Any]) -> str:
    """The place in the file in words: ``load "roof fan", power``.

    Parameters
    ----------
    loc : keys and positions from the top of the file
    raw : the plain data
    """
    words: list[str] = []
    here: Any = raw
    for step in loc:
        if isinstance(step, int) and isinstance(here, Sequence) and not isinstance(here, str):
            here = here[step] if step < len(here) else None
            label = here.get("name") if isinstance(here, Mapping) else None
            words[-1] += f' "{shorten(str(label), 40)}"' if label else f" number {step + 1}"
            continue
        if isinstance(step, str) and step.startswith("function-"):
            continue
        here = here.get(step) if isinstance(here, Mapping) else None
        words.append(shorten(str(step), 40))
    return ", ".join(words) or "the file"


def _say(problem: Mapping[str, Any]) -> str:
    kind, context, given = problem["type"], problem.get("ctx", {}), problem.get("input")
    if kind == "missing":
        return "this key is missing; add it (the shipped trailers show how each one is written)."
    if kind == "extra_forbidden":
        return "this key is not known here; check its spelling against the shipped trailers, or remove it."
    if kind == "value_error":
        return str(context.get("error", problem["msg"]))
    if kind == "literal_error":
        return f'"{shorten(str(given))}" is not one of the choices; write {context["expected"]}.'
    if kind == "string_too_long":
        return f"this text is too long; write at most {context['max_length']} characters."
    if kind == "too_long" and context.get("actual_length") is not None:
        return f"there are {context['actual_length']} of them; write at most {context['max_length']}."
    text = problem["msg"][:1].lower() + problem["msg"][1:]
    return f'"{shorten(str(given))}" does not fit: {text}.'
