"""The script dialect, run by a JavaScript engine of its own, gives what NumPy gives."""

import json
import math
import shutil
import subprocess

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from trees import SOME, TREES

from linerdesign.documents.page import resource
from linerdesign.expressions import tree
from linerdesign.expressions.printing import write
from linerdesign.expressions.script import pattern, script
from linerdesign.expressions.tree import (
    FUNCTIONS,
    LOOK_UPS,
    Call,
    Choice,
    Comparison,
    LookUp,
    Number,
    Operation,
    Symbol,
    Table,
)
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.examples import example_values

node_missing = pytest.mark.skipif(not shutil.which("node"), reason="no JavaScript engine `node`")
TABLE = Table("invented", (1.0, 2.0, 4.0, 5.0), (3.0, 7.0, 6.0, 1.0), "invented")
DIALECT = script(lambda key: f"v.{key}", lambda table: "0")


def _look_ups():
    """The look-ups as the page has them, up to where its script first needs the calculations."""
    text = resource("page_calculation.js")
    return text[: text.index("const compute")]


def _run(pairs):
    """What the engine gives for each pair of tree and values."""
    lines = [f"((v) => {write(node, DIALECT)})({json.dumps(values)})" for node, values in pairs]
    data = {"same": 1e-9, "tables": [{"xs": TABLE.xs, "ys": TABLE.ys}]}
    program = (
        f"const data = {json.dumps(data)};\n{_look_ups()}\n"
        f"console.log(JSON.stringify([{', '.join(lines)}].map(String)))"
    )
    done = subprocess.run(["node", "-"], input=program, capture_output=True, text=True, check=True)
    return [float(text.replace("Infinity", "inf")) for text in json.loads(done.stdout)]


def _assert_equal(pairs):
    with np.errstate(all="ignore"):
        expected = [float(tree.evaluate(node, values)) for node, values in pairs]
    for (node, _), found, wanted in zip(pairs, _run(pairs), expected, strict=True):
        if math.isfinite(wanted):
            assert found == pytest.approx(wanted, rel=1e-12, abs=1e-300), node


@node_missing
def test_every_equation():
    _assert_equal(
        [
            (each.tree, example_values(each.system or "US"))
            for each in catalogue()
            if not list(tree.tables(each.tree))
        ]
    )


@node_missing
def test_random_trees():
    found = []

    @settings(
        max_examples=300,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        database=None,
    )
    @given(TREES)
    def gather(node):
        found.append((node, SOME))

    gather()
    _assert_equal(found)


@node_missing
def test_look_ups_and_choices():
    x = Symbol("D")
    values = [0.0, 1.0, 1.5, 2.0, 2.0 * (1 + 5e-10), 2.0 * (1 + 5e-9), 3.9, 4.0, 4.2, 5.0, 9.0]
    nodes = [LookUp(method, x, TABLE) for method in LOOK_UPS]
    nodes += [
        Choice(Comparison(sign, x, Number(2.0)), Number(1.0), Operation("neg", (x,)))
        for sign in ("<", "<=", ">", ">=")
    ]
    nodes += [Call("ceil", (x,)), Call("max", (x, Number(2.0), Number(3.0)))]
    _assert_equal([(node, {"D": value}) for node in nodes for value in values])


def test_the_whole_vocabulary_is_covered():
    for name in FUNCTIONS:
        assert write(Call(name, (Symbol("D"), Symbol("t"))), DIALECT).startswith("Math.")
    for method in LOOK_UPS:
        assert f"{method}(" in _look_ups()


def test_a_pattern_is_given_only_where_the_arithmetic_stays():
    D, t = Symbol("D"), Symbol("t")
    assert pattern(Operation("/", (D, t))) == "{D}/{t}"
    assert pattern(Operation("+", (Call("ceil", (D,)), t))) is None
    assert pattern(Choice(Comparison("<", D, t), D, t)) is None
