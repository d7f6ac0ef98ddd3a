"""What is found in the numbers is found again when a number changes, as in workbook and page."""

import pytest
from projects import sized

from linerdesign.methods.engine import Values


@pytest.mark.parametrize(("weight", "flagged"), [(120.0, True), (125.0, False), (130.0, False)])
def test_a_limit_follows_the_quantity(weight, flagged):
    """Soil lighter than the owner's least unit weight, 125 pcf, is flagged, and no other."""
    result = sized(criteria={"limits": {"minimum_soil_unit_weight": "125 pcf"}})
    (watched,) = result.calculation.watched
    known = Values({**result.values[0], "w": weight}, result.calculation.verdicts)
    assert bool(known[watched.key]) is flagged
