"""Parts of designs as they were built: a slider that comes back to a value finds the very part it had there.

A change that touches parts only builds those alone; whatever else, and whatever is wrong, is read as a whole.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Collection, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

if TYPE_CHECKING:
    from trailerlib.design.design import Design

MOST = 256


class Built(threading.local):
    """Parts by what the file says of them; the latest ones, each thread its own.

    What rests on a part is kept by its identity, so the same part again brings back all that was worked out with it.
    """

    def __init__(self) -> None:
        self._parts: OrderedDict[tuple[str, str], Any] = OrderedDict()

    def like(self, key: str, said: Any) -> Any:
        """The part that was built when the same was said under this key; what is said itself when there is none."""
        return self._parts.get((key, repr(said)), said)

    def note(self, key: str, said: Iterable[tuple[Any, Any]]) -> None:
        """Keep parts under a key.

        Parameters
        ----------
        key : of the design, "circuit"
        said : what is said of each part, and the part
        """
        for words, part in said:
            place = (key, repr(words))
            self._parts[place] = part
            self._parts.move_to_end(place)
        while len(self._parts) > MOST:
            self._parts.popitem(last=False)


_BUILT = Built()


def reusing(raw: Mapping[str, Any], before: Design, lists: Collection[str]) -> dict[str, Any]:
    """The plain data, with the parts that have not changed since ``before`` as they were built then.

    A change copies the plain data along its path only, so what is the same object says the same.

    Parameters
    ----------
    raw : plain data of the changed design
    before : the design before
    lists : keys under which there are several parts
    """
    mixed: dict[str, Any] = {}
    was = before.raw  # once: a private attribute takes its time
    for key, value in raw.items():
        earlier = was.get(key)
        built: Any = before._list(key) if key in lists else getattr(before, key, None)
        if value is earlier:
            mixed[key] = built
        elif key in lists and isinstance(value, list) and isinstance(earlier, list) and len(value) == len(earlier):
            parts = zip(value, earlier, built, strict=True)
            mixed[key] = [part if said is then else _BUILT.like(key, said) for said, then, part in parts]
        else:
            mixed[key] = value if key in lists else _BUILT.like(key, value)
    return mixed


def note(design: Design, before: Design, lists: Collection[str]) -> None:
    """Keep the parts that were built anew; not those of a list whose length has changed.

    Parameters
    ----------
    design : changed
    before : as it was
    lists : keys under which there are several parts
    """
    was = before.raw
    for key, value in design.raw.items():
        earlier = was.get(key)
        if key not in lists and value is not earlier:
            _BUILT.note(key, [(value, getattr(design, key, None))])
        elif value is not earlier and isinstance(earlier, list) and len(value) == len(earlier):
            parts = zip(value, earlier, design._list(key), strict=True)
            _BUILT.note(key, ((said, part) for said, then, part in parts if said is not then))


def with_parts(raw: Mapping[str, Any], before: Design, fields: Mapping[str, str]) -> Design | None:
    """The design before with other parts; None where that is not all, or where something is wrong.

    Parameters
    ----------
    raw : plain data of the changed design
    before : the design before
    fields : its field for each key under which there are several parts
    """
    try:
        parts = parts_changed(raw, before, fields)
        if parts is None:
            return None
        design = before.model_copy(update={fields.get(key, key): part for key, part in parts.items()})
        for worked_out in design.__dict__.keys() - type(before).model_fields.keys():
            del design.__dict__[worked_out]
        design._agree(values_changed(before, design, [fields.get(key, key) for key in parts]))
    except (ValueError, RecursionError):  # whoever reads the whole says it in one sentence
        return None
    design._raw = raw
    note(design, before, fields)
    return design


def parts_changed(raw: Mapping[str, Any], before: Design, lists: Collection[str]) -> dict[str, Any] | None:
    """The parts of a changed design that are others than before, by key; None where not only parts have changed.

    Parameters
    ----------
    raw : plain data of the changed design
    before : the design before
    lists : keys under which there are several parts

    Raises
    ------
    ValueError
        When a part is not valid.
    """
    was, found = before.raw, dict[str, Any]()
    if len(raw) != len(was):
        return None
    for key, value in raw.items():
        earlier = was.get(key)
        if value is earlier:
            continue
        if key not in lists:
            part = _part(key, value, getattr(before, key, None))
        elif isinstance(value, list) and isinstance(earlier, list) and len(value) == len(earlier):
            parts = zip(value, earlier, before._list(key), strict=True)
            each = [part if said is then else _part(key, said, part) for said, then, part in parts]
            part = None if None in each else tuple(each)
        else:
            part = None
        if part is None:
            return None
        found[key] = part
    return found


def _part(key: str, said: Any, before: Any) -> Any:
    """The part that says this, built before or now; None of what is no part."""
    if not isinstance(before, BaseModel) or not isinstance(said, dict):
        return None
    built = _BUILT.like(key, said)
    return type(before).model_validate(said) if built is said else built


def values_changed(before: Design, after: Design, fields: Iterable[str]) -> set[str]:
    """What two designs say otherwise in these fields: ``circuits.run`` for the run of a circuit, and ``circuits``.

    Parameters
    ----------
    before, after : the designs, as many parts in each list
    fields : of the design, such as ``circuits``; each a part or several
    """
    found = set(fields)
    for field in tuple(found):
        was, now = getattr(before, field), getattr(after, field)
        pairs = [(was, now)] if isinstance(now, BaseModel) else zip(was, now, strict=True)
        for one, other in pairs:
            if one is not other:
                mine, theirs = one.__dict__, other.__dict__
                found.update(f"{field}.{name}" for name in type(other).model_fields if mine[name] != theirs[name])
    return found
