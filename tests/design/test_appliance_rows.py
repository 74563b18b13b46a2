"""A row of the appliance classes that cannot be read is named, with the column and what it takes."""

from __future__ import annotations

import pytest

from trailerlib import reference
from trailerlib.design import catalogue

GOOD = dict(reference.catalogue("appliances").rows[0])


@pytest.mark.parametrize(("column", "text", "words"), [
    ("soft_start_multiple", "", 'soft_start_multiple is empty; it takes a number'),
    ("power_w", "3 W", 'power_w is "3 W"; it takes a number'),
    ("kind", "motors", 'kind is "motors"; it takes "resistive", "constant power", "constant current" or "motor"'),
    ("system", "ac", 'system is "ac"; it takes "dc" or "mains"'),
    ("thermostat", "", 'thermostat is empty; it takes "yes" or "no"'),
])  # fmt: skip
def test_a_class_that_cannot_be_read_says_which_row_and_column(
    column: str, text: str, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = reference.Table("appliances", tuple(GOOD), ({**GOOD, column: text},))
    monkeypatch.setattr(reference, "catalogue", lambda name: table)
    with pytest.raises(reference.TableError) as caught:
        catalogue.appliances.__wrapped__()
    assert str(caught.value) == f'data/catalogue/appliances.csv, class "{GOOD["class"]}": {words}.'
