"""The plain data behind a design, as a TOML reader gives it: looked up and changed along a path."""

from __future__ import annotations

import copy
import math
from collections.abc import Mapping, Sequence
from typing import Any

from trailerlib.design.errors import DesignError

TOO_DEEP = "the file: its lists are nested too deep; compare it with a shipped trailer."


def check_numbers(node: Any, path: tuple[Any, ...]) -> None:
    """Refuse a number that cannot be built, wherever it stands; ``path`` is where ``node`` stands."""
    try:
        _refuse_odd_numbers(node, path)
    except RecursionError:
        raise DesignError(TOO_DEEP) from None


def _refuse_odd_numbers(node: Any, path: tuple[Any, ...]) -> None:
    """TOML knows nan and inf; a design does not."""
    if isinstance(node, float) and not math.isfinite(node):
        raise DesignError(f"{'.'.join(map(str, path))}: {node} is not a number that can be built; write a plain one.")
    if isinstance(node, Mapping):
        for key, value in node.items():
            _refuse_odd_numbers(value, (*path, key))
    elif isinstance(node, list):
        for position, value in enumerate(node, start=1):
            _refuse_odd_numbers(value, (*path, position))


def steps_of(path: str | Sequence[str]) -> list[str]:
    """A path as its steps."""
    return path.split(".") if isinstance(path, str) else list(path)


def child(node: Any, step: str) -> Any:
    """What stands one step further; None where there is nothing."""
    if isinstance(node, Mapping):
        return node.get(step)
    if isinstance(node, Sequence) and not isinstance(node, str):
        found = next((part for part in node if _is_called(part, step)), None)
        return found[1] if isinstance(found, list | tuple) else found
    return None


def _is_called(part: Any, step: str) -> bool:
    """Whether a part of a list goes by this name: a table by its ``name``, a pair by what stands first in it."""
    if isinstance(part, Mapping):
        return bool(part.get("name") == step)
    return isinstance(part, list | tuple) and len(part) == 2 and part[0] == step


def with_value(node: Any, steps: list[str], value: Any, path: Any) -> Any:
    """A copy of the plain data along one path only; the rest is shared."""
    if not steps:
        raise DesignError("the path is empty; name what to change, such as battery.capacity.")
    step, *rest = steps
    if isinstance(node, Mapping):
        changed = dict(node)
        if not rest and value is None:
            changed.pop(step, None)
        else:
            changed[step] = (
                (value if isinstance(value, str) else copy.deepcopy(value))
                if not rest
                else with_value(node.get(step, {}), rest, value, path)
            )
        return changed
    parts = list(node) if isinstance(node, Sequence) and not isinstance(node, str) else []
    for position, part in enumerate(parts):
        if not _is_called(part, step) or isinstance(part, Mapping) != bool(rest):
            continue
        parts[position] = with_value(part, rest, value, path) if rest else [step, copy.deepcopy(value)]
        return parts
    raise DesignError(f'{".".join(steps_of(path))}: there is nothing called "{step}" to change.')
