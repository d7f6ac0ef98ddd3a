"""The legs of a pipe, live: a sheet for each, and what they make of the pipe's status."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from linerdesign.documents.places import Place, PlaceOfLeg, legs_of, places_of
from linerdesign.documents.sheet import PLAIN, inputs
from linerdesign.documents.workbook_cells import Book, number_in
from linerdesign.documents.workbook_checks import (
    DEMAND,
    FACTOR,
    VERDICT,
    PlaceVerdicts,
    fixed_notes,
    ranges_of,
    write_checks,
    write_outcome,
    write_ranges,
    write_result,
)
from linerdesign.documents.workbook_pipe import HEADER, write_calculation, write_head, write_row
from linerdesign.documents.workbook_rows import MEANING, SOURCE, UNIT, VALUE, WIDTHS, PlaceRows
from linerdesign.expressions import tree
from linerdesign.expressions.printing import write
from linerdesign.expressions.tree import Across, Call, Choice, Label, Node, Symbol
from linerdesign.expressions.workbook_formulas import workbook
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.verdicts import CHECK_FAILS, FAILS, OUTSIDE, PASSES
from linerdesign.words import sentence
from linerdesign.words.documents import LABELS
from linerdesign.words.workbook import HEADS

NEEDED, SERVES, FAILING = "needed", "serves", "legs_that_fail"
STATUS, LEAST = "status_with_legs", "lowest_safety_factor_with_legs"


def write_legs(book: Book, result: PipeResult, first: int, number: int) -> None:
    """Writes a sheet for every leg at every station that it has."""
    for place in legs_of(result, first):
        rows = PlaceRows(book, book.sheet(f"{number} {place.of_pipe}", place.ending), place)
        write_head(rows)
        wall = _write_wall(rows, place)
        _write_inputs(rows, place)
        write_calculation(rows)
        ranges, verdicts = ranges_of(place), PlaceVerdicts(rows)
        write_checks(rows, verdicts)
        left = write_ranges(rows, verdicts, ranges)
        write_outcome(rows, verdicts, left, fixed_notes(place, ranges))
        verdicts.cells["t_floor"] = place.pipe.name("t_floor")
        _write_serves(rows, place, verdicts, wall)
        book.page(rows.sheet, WIDTHS, HEADER)
        rows.sheet.print_area(0, 0, rows.row, SOURCE)
        book.finish(rows.sheet)


def _write_wall(rows: PlaceRows, place: PlaceOfLeg) -> dict[str, float]:
    """From the quantities of the pipe to the wall delivered; the values as issued."""
    rows.part(sentence("workbook.leg_wall"), sentence("workbook.leg_follows"))
    of, system = place.of, place.of.basis.system
    known = dict(of.values[place.leg.station]) | {"D": np.array([v["D"] for v in of.values])}
    found: dict[str, float] = {}
    for key, node in place.leg.wall.items():
        found[key] = float(np.max(tree.evaluate(node, known | found)))
        about = SYMBOLS[key]
        spread = _spread(node, places_of(of, place.first))
        outside = {name: name for name in tree.symbols(spread) if name not in place.leg.wall}
        outside |= {name: place.pipe.name(name) for name in outside if name in SYMBOLS}
        formula = PLAIN.symbolic(node) if all(name in SYMBOLS for name in outside) else ""
        texts = (about.symbol, about.meaning, about.unit(system), formula)
        write_row(rows, texts)
        rows.define(key)
        rows.live(VALUE, f"={rows.formula(spread, outside)}", found[key], "result")
        rows.row += 1
    return found


def _write_serves(
    rows: PlaceRows, place: PlaceOfLeg, verdicts: PlaceVerdicts, wall: dict[str, float]
) -> None:
    """What the leg needs, and whether its wall serves."""
    known = {**place.of.values[place.leg.station], **place.result.values[place.index], **wall}
    known |= {"passes": place.outcome.status != FAILS}
    needed, serves = place.leg.verdicts["needed"], place.leg.verdicts["serves"]
    known["needed"] = float(tree.evaluate(needed, known))
    meaning, formula = sentence("workbook.leg_needs"), verdicts.formula(needed)
    write_result(rows, NEEDED, meaning, f"={formula}", known["needed"])
    verdicts.cells[NEEDED] = place.name(NEEDED)
    shown = Choice(serves, Label(PASSES), Label(CHECK_FAILS))
    value = str(tree.evaluate(shown, known))
    meaning, formula = sentence("workbook.leg_serves"), verdicts.formula(shown)
    write_result(rows, SERVES, meaning, f"={formula}", value)


def _spread(node: Node, places: tuple[Place, ...]) -> Node:
    """The tree with the cells of all stations in place of a quantity over them."""
    if isinstance(node, Across):
        (key,) = tree.symbols(node.argument)
        return Call(node.function, tuple(Symbol(place.name(key)) for place in places))
    below = tuple(_spread(child, places) for child in tree.children(node))
    return tree.rebuild(node, below)


def _write_inputs(rows: PlaceRows, place: PlaceOfLeg) -> None:
    """The inputs of the leg: diameter and wall from above, all else from the cells of the pipe."""
    rows.part(LABELS["inputs"], "")
    *_, wall = place.leg.wall
    assert place.of.legs is not None
    ovality = place.pipe.name(place.of.legs.ovality)
    own = {"D": place.name("D_leg"), "t": place.name(wall), "q_pipe": ovality}
    for step in inputs(place.result):
        if step.station not in (None, place.at):
            continue
        cell = own.get(step.key) or place.pipe.name(step.key)
        write_row(rows, (step.symbol, step.meaning, step.unit, sentence("workbook.leg_linked")))
        rows.define(step.key)
        rows.live(VALUE, f"={cell}", step.value, number_in("elsewhere", step.value))
        rows.row += 1


def write_with_legs(rows: PlaceRows) -> None:
    """On the sheet of a pipe: its legs, and status and smallest factor with them."""
    result, place = rows.place.result, rows.place
    legs, places = legs_of(result, place.first), place.all_places
    rows.part(sentence("field.legs_title"))
    rows.heads(dict(enumerate(HEADS["legs"])), (VALUE, DEMAND, FACTOR))
    first = rows.row
    for leg in legs:
        rows.text(MEANING, leg.at or "")
        rows.text(UNIT, SYMBOLS["t"].unit(result.basis.system), "indented")
        rows.live(VALUE, f"={leg.name('t')}", leg.result.values[leg.index]["t"], "result")
        values = result.values[leg.leg.station]
        needed = tree.evaluate(leg.leg.verdicts[NEEDED], {**values, **leg.result.values[leg.index]})
        rows.live(DEMAND, f"={leg.name(NEEDED)}", float(needed), "result")
        rows.live(FACTOR, f"={leg.name('lowest_safety_factor')}", leg.factor_shown, "factor")
        served = result.legs and result.legs.served[leg.leg.leg]
        said = PASSES if served else CHECK_FAILS
        rows.live(VERDICT, f"={leg.name(SERVES)}", said, "indented")
        rows.row += 1
    rows.book.mark(rows.sheet, (first, rows.row - 1), VERDICT, CHECK_FAILS, "alarm")
    _write_verdicts(rows, places, legs)


def _write_verdicts(
    rows: PlaceRows, places: tuple[Place, ...], legs: tuple[PlaceOfLeg, ...]
) -> None:
    result = rows.place.result
    assert result.legs is not None

    def outside(of: Iterable[Place]) -> str:
        return _any(f'{each.name("status")}="{OUTSIDE}"' for each in of)

    known = {
        "passes_of_pipe": _none(f'{each.name("status")}="{FAILS}"' for each in places),
        "outside_of_pipe": outside(places),
        "legs_serve": _none(f'{each.name(SERVES)}="{CHECK_FAILS}"' for each in legs),
        "legs_outside": outside(legs),
    }
    dialect = workbook(known.__getitem__, lambda table: "")
    status = write(result.calculation.verdicts["status_with_legs"], dialect)
    factors = [each.name("lowest_safety_factor") for each in (*places, *legs)]
    lowest = f"IF(COUNT({', '.join(factors)})>0, MIN({', '.join(factors)}), {factors[0]})"
    least = result.lowest_safety_factor
    shown = rows.place.factor_shown if least is None else least
    failing = [
        _any(f'{e.name(SERVES)}="{CHECK_FAILS}"' for e in legs if e.leg.leg == number)
        for number in range(len(result.legs.names))
    ]
    count = f"={'+'.join(f'IF({each}, 1, 0)' for each in failing)}"
    short = sum(not each for each in result.legs.served)
    write_result(rows, LEAST, sentence("workbook.least_with_legs"), f"={lowest}", shown)
    write_result(rows, STATUS, sentence("workbook.status_with_legs"), f"={status}", result.status)
    write_result(rows, FAILING, sentence("workbook.legs_failing"), count, short, "count")


def _any(conditions: Iterable[str]) -> str:
    return f"OR({', '.join(conditions)})"


def _none(conditions: Iterable[str]) -> str:
    return f"NOT({_any(conditions)})"
