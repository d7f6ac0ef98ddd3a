"""The end of a page: the equations, tables and symbols that its sheets used, each an entry."""

from __future__ import annotations

from linerdesign.documents.markup import Markup, element, join
from linerdesign.documents.sheet import symbolic
from linerdesign.expressions import tree
from linerdesign.expressions.mathml import formula, math, symbol
from linerdesign.expressions.printing import positional, write
from linerdesign.expressions.tree import Node, Table
from linerdesign.methods.equation import Equation
from linerdesign.methods.lines import Line
from linerdesign.methods.symbols import SYMBOLS


class Appendix:
    """Notes what is used while sheets are written, and writes the entries in that order."""

    def __init__(self, units: str) -> None:
        self._units = units
        self._equations: dict[tuple[str, str, Node], Equation] = {}
        self._symbols: dict[str, None] = {}
        self._tables: dict[Table, None] = {}

    def note_symbol(self, key: str) -> None:
        """Gives a quantity an entry."""
        self._symbols[key] = None

    def reference(self, line: Line) -> Markup:
        """A link to the entry of the line's equation."""
        equation = line.equation
        identity = (equation.number, equation.result, equation.tree)
        self._equations.setdefault(identity, equation)
        for key in (equation.result, *equation.arguments, *line.needs):
            self.note_symbol(key)
        for table in tree.tables(equation.tree):
            self._tables[table] = None
        place = list(self._equations).index(identity) + 1
        text = f"[{equation.number}; {equation.clause}]"
        return join(" ", element("a", text, href=f"#equation{place}", class_="reference"))

    def write(self) -> Markup:
        """All entries; nothing where no sheet was written."""
        if not self._equations:
            return Markup()
        entries = (
            self._equation(place, equation)
            for place, equation in enumerate(self._equations.values(), start=1)
        )
        tables = (self._table(table) for table in self._tables)
        return join(
            element("section", element("h2", "Equations used"), *entries, id="equations"),
            element("section", element("h2", "Tables used"), *tables) if self._tables else "",
            self._glossary(),
        )

    def _equation(self, place: int, equation: Equation) -> Markup:
        keys = dict.fromkeys((equation.result, *equation.arguments))
        about = f"{equation.clause}; {equation.source} ({equation.provenance.value})"
        edition = f"Edition {equation.edition}. " if equation.edition else ""
        legend = (
            join(
                element("dt", math(symbol(key))),
                element("dd", _meaning(key, self._units)),
            )
            for key in keys
        )
        ranges = equation.limits_in(self._units)
        limits = [element("li", f"{each.severity.value}: {each.text}") for each in ranges]
        return element(
            "article",
            element("h3", equation.number),
            element("p", equation.meaning),
            formula(equation.result, equation.tree),
            typed(equation.result, write(equation.tree, symbolic())),
            element("dl", *legend, class_="legend"),
            element("p", f"{edition}{about}", class_="source"),
            element("p", "Said where it is left:") if limits else "",
            element("ul", *limits) if limits else "",
            id=f"equation{place}",
        )

    def _table(self, table: Table) -> Markup:
        rows = (
            element("tr", element("th", positional(x), scope="row"), element("td", positional(y)))
            for x, y in zip(table.xs, table.ys, strict=True)
        )
        caption = element("caption", f"{table.name} ({table.source})")
        head = element("tr", element("th", "at", scope="col"), element("th", "value", scope="col"))
        return element(
            "div",
            element("table", caption, element("thead", head), element("tbody", *rows)),
            class_="wide",
        )

    def _glossary(self) -> Markup:
        head = element(
            "tr", *(element("th", name, scope="col") for name in ("symbol", "meaning", "unit"))
        )
        rows = (
            element(
                "tr",
                element("th", math(symbol(key)), scope="row"),
                element("td", SYMBOLS[key].meaning),
                element("td", SYMBOLS[key].unit(self._units)),
                id=f"symbol-{key}",
            )
            for key in self._symbols
        )
        table = element("table", element("thead", head), element("tbody", *rows))
        return element(
            "section",
            element("h2", "Symbols"),
            element("div", table, class_="wide"),
            id="symbols",
        )


def typed(key: str, text: str) -> Markup:
    """A formula as it is typed, beside the typeset one: no font is needed to read it right."""
    return element("p", f"{SYMBOLS[key].symbol} = {text}", class_="typed")


def _meaning(key: str, units: str) -> str:
    unit = SYMBOLS[key].unit(units)
    return f"{SYMBOLS[key].meaning}, {unit}" if unit else SYMBOLS[key].meaning
