"""What may run together, in words, for every supply of a design."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trailerlib.design.design import Design
from trailerlib.studies import printed
from trailerlib.studies.answer import names
from trailerlib.studies.together.result import Combination, Forbidden, Together
from trailerlib.studies.together.solved import of

MOST_ROWS = 6


def run_together(design: Design, supply: str | None = None) -> str:
    """The run-together cards as plain text: what is always fine, what holds together, what does not.

    Parameters
    ----------
    design : the design
    supply : name of one supply; default is all of them

    Raises
    ------
    DesignError
        When there is no such supply.
    """
    chosen = [supply] if supply is not None else [s.name for s in design.supplies]
    if not chosen:
        return "Not checked: the design has no supply."
    return "\n\n".join("\n".join(_card(of(design, name))) for name in chosen)


def _card(found: Together) -> Iterator[str]:
    head = f"{found.supply} ({found.kind}), {found.volts_words}"
    if found.holds is None:
        yield from printed.hanging(f"{head}: not checked, {found.too_many or 'nothing can be switched'}.")
        return
    yield head
    for gap in found.gaps:
        yield from _line(f"not checked: {gap}")
    if found.dead:
        yield from _line(f"cannot run here, it needs both legs: {names(found.dead)}")
    if found.not_starting:
        yield from _line(f"does not start here, not even alone: {names(found.not_starting)}")
    if found.always:
        yield from _line(f"always fine: {names(switch.name for switch in found.always)}")
    if found.everything is None:
        yield from _line("everything may run at once" + ("" if found.free_lasts else ", for less than three hours"))
        return
    yield from _rows("for as long as you like", found.for_good, found.for_good_count)
    yield from _rows("for less than three hours", found.under_three_hours, found.under_three_hours_count)
    yield from _broken(found.forbidden, found.forbidden_count)


def _rows(title: str, rows: Sequence[Combination], count: int) -> Iterator[str]:
    if not count:
        return
    shown = rows[:MOST_ROWS]
    yield from _line(f"together, {title}:")
    for row in shown:
        first = "".join(f"; {start.words}" for start in row.starts)
        yield from _line(f"  {names(row.on) or 'none of the others'}{first}")
    if count > len(shown):
        yield from _line(f"  and {count - len(shown)} more")


def _broken(rows: Sequence[Forbidden], count: int) -> Iterator[str]:
    yield from _line("not together:")
    shown = rows[:MOST_ROWS]
    for row in shown:
        yield from _line(
            f"  {names(row.on)}: {row.first.limit.name}, {row.first.load}, {row.first.when}; "
            f"switch off {names(row.switch_off)}"
        )
    if count > len(shown):
        yield from _line(f"  and {count - len(shown)} more")


def _line(text: str) -> list[str]:
    return [f"  {line}" for line in printed.hanging(text)]
