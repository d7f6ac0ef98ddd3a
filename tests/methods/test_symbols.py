"""Every row of the symbol tables says what it must, each in its own column."""

import re

import pytest

from linerdesign.methods.quantity import SYSTEMS
from linerdesign.methods.symbols import SYMBOLS


@pytest.mark.parametrize("key", SYMBOLS)
def test_a_row_has_a_symbol_a_unit_and_a_name(key):
    """A symbol is a word of letters, perhaps primed, with one subscript; a name can be a key."""
    quantity = SYMBOLS[key]
    assert re.fullmatch(r"[A-Za-z]+'?(_[\w.]+)?", quantity.symbol)
    assert all(isinstance(quantity.unit(system), str) for system in SYSTEMS)
    assert re.fullmatch(r"[a-z_]*", quantity.name)
    assert quantity.meaning not in (quantity.symbol, quantity.kind, quantity.name)
