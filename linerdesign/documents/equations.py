"""The equations themselves in words and data: a list, and one of them in full."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from linerdesign.documents.blocks import Block, Grid, Heading, Paragraph
from linerdesign.documents.sheet import symbolic
from linerdesign.expressions.printing import plain, positional, write
from linerdesign.expressions.tree import resolve, tables
from linerdesign.methods.equation import Equation, Limit
from linerdesign.methods.examples import example_values
from linerdesign.methods.lines import Line
from linerdesign.methods.symbols import SYMBOLS, SYSTEMS
from linerdesign.words import sentence
from linerdesign.words.equations import HEADS


def list_of(equations: Iterable[Equation]) -> tuple[Block, ...]:
    """A row an equation."""
    rows = tuple(
        (each.number, _variant(each), each.meaning, each.clause, each.provenance.value)
        for each in equations
    )
    return (Grid(HEADS["equations"], "<<<<<", rows),)


def _variant(equation: Equation) -> str:
    return ", ".join(text for text in (equation.system, equation.edition) if text)


def in_full(equation: Equation) -> tuple[Block, ...]:
    """One equation with its symbols, its range, a worked line and where it comes from."""
    variant = _variant(equation)
    legend = tuple(
        (SYMBOLS[key].symbol, SYMBOLS[key].meaning, *(SYMBOLS[key].unit(s) for s in SYSTEMS))
        for key in (equation.result, *equation.arguments)
    )
    ranges = "; ".join(
        _say("range", holds=_range(limit), severity=limit.severity, text=limit.text)
        for limit in equation.limits
    )
    title = "heading_of" if variant else "heading"
    about = {"number": equation.number, "meaning": equation.meaning, "form": variant}
    return (
        Heading(_say(title, **about), 2),
        Paragraph(f"{SYMBOLS[equation.result].symbol} = {write(equation.tree, symbolic())}"),
        Grid(HEADS["symbols"], "<<<<", legend),
        Paragraph(_say("worked", line=worked_line(equation))),
        Paragraph(_say("ranges", list=ranges) if ranges else _say("no_range")),
        Paragraph(
            _say(
                "clause",
                clause=equation.clause,
                source=equation.source,
                provenance=equation.provenance,
            )
        ),
        *(
            Paragraph(_say("table", name=table.name, source=table.source))
            for table in tables(equation.tree)
        ),
    )


def _say(name: str, /, **blanks: str) -> str:
    return sentence(f"equations.{name}", **blanks)


def _range(limit: Limit) -> str:
    """The range in symbols, and the unit system of its border where it has one."""
    system = f" ({limit.system})" if limit.system else ""
    return f"{write(limit.holds.tree, symbolic())}{system}"


def worked_line(equation: Equation) -> str:
    """The equation with round numbers of its own unit system put in."""
    system = equation.system or "US"
    values = example_values(system)
    line = Line(equation)
    arithmetic = resolve(line.tree, values)
    numbers = write(arithmetic, plain(lambda key: positional(values[key])))
    quantity = SYMBOLS[equation.result]
    result = positional(float(line.value(values)))
    return f"{quantity.symbol} = {numbers} = {result} {quantity.unit(system)}".rstrip()


def equation_data(equation: Equation) -> dict[str, Any]:
    """One equation as JSON data."""
    return {
        "number": equation.number,
        "result": SYMBOLS[equation.result].symbol,
        "formula": write(equation.tree, symbolic()),
        "meaning": equation.meaning,
        "clause": equation.clause,
        "units": equation.system,
        "edition": equation.edition,
        "provenance": equation.provenance.value,
        "source": equation.source,
        "symbols": {
            SYMBOLS[key].symbol: {
                "meaning": SYMBOLS[key].meaning,
                "units": {system: SYMBOLS[key].unit(system) for system in SYSTEMS},
            }
            for key in equation.arguments
        },
        "ranges": [_range(limit) for limit in equation.limits],
        "worked": worked_line(equation),
    }
