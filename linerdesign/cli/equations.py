"""`linerdesign equations [NUMBER]`: the equations, with symbols, ranges and sources."""

from __future__ import annotations

import argparse
from typing import Any

from linerdesign.design.lines import Line
from linerdesign.equations.catalogue import catalogue, with_number
from linerdesign.equations.equation import Equation
from linerdesign.equations.examples import example_values
from linerdesign.equations.printing import plain, positional, write
from linerdesign.equations.symbols import SYMBOLS, SYSTEMS
from linerdesign.equations.tree import resolve, tables
from linerdesign.outputs.document import Block, Document, Grid, Heading, Outcome, Paragraph
from linerdesign.outputs.sheet import symbolic
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import nearest


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "number", metavar="NUMBER", nargs="?", help='one equation in full, such as X1.1 or "Rw"'
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Lists all equations, or prints one number in full."""
    if arguments.number is None:
        chosen, blocks = catalogue(), _list()
    else:
        chosen = with_number(arguments.number)
        if not chosen:
            known = tuple(dict.fromkeys(each.number for each in catalogue()))
            expected = nearest(arguments.number, known).replace("key", "number")
            raise InputFaults([Fault("NUMBER", arguments.number, expected)])
        blocks = tuple(block for each in chosen for block in _in_full(each))
    document = Document(
        "Equations", blocks, ProjectInfo(title="every equation of the package"), "US", "", ""
    )
    return Outcome(document, {"equations": [_data(each) for each in chosen]}, True)


def _list() -> tuple[Block, ...]:
    rows = tuple(
        (each.number, _variant(each), each.meaning, each.clause, each.provenance.value)
        for each in catalogue()
    )
    columns = ("number", "form", "meaning", "clause", "provenance")
    return (Grid(columns, "<<<<<", rows),)


def _variant(equation: Equation) -> str:
    return ", ".join(text for text in (equation.system, equation.edition) if text)


def _in_full(equation: Equation) -> tuple[Block, ...]:
    variant = _variant(equation)
    legend = tuple(
        (SYMBOLS[key].symbol, SYMBOLS[key].meaning, *(SYMBOLS[key].unit(s) for s in SYSTEMS))
        for key in (equation.result, *equation.arguments)
    )
    ranges = "; ".join(
        f"{write(limit.holds.tree, symbolic())} (else {limit.severity}: {limit.text})"
        for limit in equation.limits
    )
    return (
        Heading(f"{equation.number}: {equation.meaning}" + (f" ({variant})" if variant else ""), 2),
        Paragraph(f"{SYMBOLS[equation.result].symbol} = {write(equation.tree, symbolic())}"),
        Grid(("symbol", "meaning", "US unit", "SI unit"), "<<<<", legend),
        Paragraph(f"Worked: {worked_line(equation)}"),
        Paragraph(f"Range: {ranges or 'none stated'}."),
        Paragraph(f"Clause {equation.clause}. {equation.source}: {equation.provenance}."),
        *(Paragraph(f"Table: {table.name}; {table.source}") for table in tables(equation.tree)),
    )


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


def _data(equation: Equation) -> dict[str, Any]:
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
        "ranges": [write(limit.holds.tree, symbolic()) for limit in equation.limits],
        "worked": worked_line(equation),
    }
