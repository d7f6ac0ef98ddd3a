"""Data are shared and kept, so nothing may change them but what gathers them."""

import importlib
import pkgutil
from dataclasses import is_dataclass

import linerdesign

# What grows as it is made: each belongs to the one who made it.
OWNED = {
    *("Printer", "Path", "Memory", "Shared", "PlaceRows", "_Section", "_Together", "Job"),
    *("Against", "Count", "Messages", "Part", "Sized", "Sizer", "Sketch", "Spread"),
    *("Summary", "Total", "_Case", "_Columns", "_Member", "_Price", "_Run", "_Work"),
}


def test_data_are_frozen():
    found = []
    for each in pkgutil.walk_packages(linerdesign.__path__, "linerdesign."):
        if not each.name.endswith("__main__"):
            found += vars(importlib.import_module(each.name)).values()
    data = [each for each in found if isinstance(each, type) and is_dataclass(each)]
    own = {each for each in data if each.__module__.startswith("linerdesign.")}
    assert len(own) > 300
    assert {each.__name__ for each in own if not each.__dataclass_params__.frozen} == OWNED
