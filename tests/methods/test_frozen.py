"""What methods and expressions are made of is shared and cached, so nothing may change it."""

import importlib
import pkgutil
from dataclasses import is_dataclass

import linerdesign.expressions
import linerdesign.methods

# Each belongs to the one who made it.
OWNED = {"Printer", "Path", "Memory"}


def test_data_of_methods_and_expressions_are_frozen():
    found = []
    for package in (linerdesign.expressions, linerdesign.methods):
        for each in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            found += vars(importlib.import_module(each.name)).values()
    data = [each for each in found if isinstance(each, type) and is_dataclass(each)]
    own = [each for each in data if each.__module__.startswith("linerdesign.")]
    assert len(own) > 50
    assert {each.__name__ for each in own if not each.__dataclass_params__.frozen} <= OWNED
