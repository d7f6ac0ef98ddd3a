"""Pipes that share their lines: one worked calculation, and a table of the others' numbers."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from linerdesign.documents.blocks import Grid
from linerdesign.documents.line_table import (
    MM,
    LineKey,
    Texts,
    differing,
    identity_of,
    merge,
    rows_of,
    texts,
)
from linerdesign.documents.numbers import SHORT_NAME, factor, in_millimetres, short
from linerdesign.documents.sheet import derivation, is_input, verdict
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tree import Choice, LookUp, Node, children
from linerdesign.methods.equation import Provenance
from linerdesign.methods.lines import Line
from linerdesign.methods.method import checks_of
from linerdesign.methods.origin import Origin
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence
from linerdesign.words.calculation import CASES, HEADS
from linerdesign.words.documents import SOURCES

# A column of a calculation table: the pipe's number in the schedule, its result, a station.
Column = tuple[int, PipeResult, str | None]


@dataclass(frozen=True)
class PipeClass:
    """Pipes of one condition, by their number in the schedule.

    The lines of all of them are numbered through once, in `rows`; a pipe has most of them.
    """

    letter: str
    pipes: tuple[tuple[int, PipeResult], ...]

    @property
    def system(self) -> str:
        """Unit system of the class."""
        return self.pipes[0][1].basis.system

    @cached_property
    def rows(self) -> dict[LineKey, int]:
        """Number of each line, in reading order: inputs, then lines."""
        order: list[LineKey] = []
        longest = sorted(self.pipes, key=lambda each: -len(_identities(each[1])))
        for _, result in longest:
            merge(order, _identities(result))
        return {identity: number for number, identity in enumerate(order, 1)}

    @cached_property
    def worked(self) -> tuple[tuple[int, PipeResult, tuple[Step, ...]], ...]:
        """The pipes worked line by line until every line is: number, result and steps of each.

        The first has most lines at the fewest stations; of any other only those not worked yet.
        """
        left = dict.fromkeys(self.rows)
        found = []
        while left:
            number, result = max(self.pipes, key=lambda each: _gain(each[1], left))
            shown = tuple(s for s in self._numbered(result) if identity_of(s) in left)
            found.append((number, result, shown))
            for step in shown:
                left.pop(identity_of(step), None)
        return tuple(found)

    @property
    def kinds(self) -> str:
        """Which kinds of pipe there are, in words."""
        bases = [result.basis for _, result in self.pipes]
        held = {
            "gravity": any(not each.internal_pressure for each in bases),
            "pressure": any(each.internal_pressure for each in bases),
            "vacuum": any(each.vacuum for each in bases),
            "above_ground": any(each.above_ground for each in bases),
        }
        return ", ".join(sentence(f"calculation.{name}") for name, holds in held.items() if holds)

    @property
    def others(self) -> tuple[tuple[int, PipeResult], ...]:
        """The pipes not worked in full."""
        first = self.worked[0][0]
        return tuple(each for each in self.pipes if each[0] != first)

    def _numbered(self, result: PipeResult) -> Iterator[Step]:
        for step in applying(result):
            yield replace(step, number=self.rows[identity_of(step)], origin=_lettered(step.origin))

    @cached_property
    def table(self) -> Grid:
        """The numbers of the pipes not worked in full, a column each, or each of their stations.

        A line is left out where it has the value of the worked calculation for every pipe.
        """
        shown = _cells(self.worked[0][1])
        columns = [(number, result, at) for number, result in self.others for at in result.stations]
        cells = [_cells(result, at) for _, result, at in columns]
        lines = [
            ("" if place else identity[0], self._row(identity, place, unit, texts_))
            for identity in differing(self.rows, shown, cells)
            for place, (unit, texts_) in enumerate(
                rows_of(identity, [each.get(identity) for each in cells], self.system)
            )
        ]
        rows = (*(row for _, row in lines), *_verdicts(columns), *_foot(columns))
        names = (f"{number}: {short(result.name, SHORT_NAME)}" for number, result, _ in columns)
        stations = (
            sentence("documents.at", what="", station=at) if at else "" for *_, at in columns
        )
        return Grid(
            columns=(
                HEADS["line"],
                "",
                HEADS["unit"],
                *map("".join, zip(names, stations, strict=True)),
            ),
            align="><<" + ">" * len(columns),
            rows=rows,
            caption=sentence("calculation.table", letter=self.letter),
            boxed=frozenset((len(rows) - 1, 3 + place) for place in range(len(columns))),
            repeat=3,
            symbols={(place, 1): key for place, (key, _) in enumerate(lines) if key},
        )

    def _row(
        self, identity: LineKey, place: int, unit: str, cells: Sequence[str]
    ) -> tuple[str, ...]:
        """A row of the table; number and symbol of the line in its first."""
        first = (str(self.rows[identity]), SYMBOLS[identity[0]].symbol)
        return *(("", "") if place else first), unit, *cells

    @property
    def cases(self) -> Grid | None:
        """Lines worked with other arithmetic than that shown, each once; none where there are none.

        Of a formula with cases, or read from a table, the worked calculation shows one.
        """
        shown = {(identity_of(s), s.arithmetic) for *_, steps in self.worked for s in steps}
        found: dict[tuple[int, str, str], list[str]] = {}
        for place, step in self._steps_of_others():
            identity = identity_of(step)
            if step.line and _chosen(step.line) and (identity, step.arithmetic) not in shown:
                *_, working = derivation(step, system=self.system)
                line = (self.rows[identity], step.key, working)
                found.setdefault(line, []).append(place)
        if not found:
            return None
        lines = sorted(found, key=lambda line: line[0])
        return Grid(
            columns=tuple(CASES.values()),
            align="><><",
            rows=tuple(
                (str(number), SYMBOLS[key].symbol, working, ", ".join(found[number, key, working]))
                for number, key, working in lines
            ),
            caption=sentence("calculation.cases"),
            narrow=True,
            symbols={(row, 1): key for row, (_, key, _) in enumerate(lines)},
        )

    @property
    def ranges_left(self) -> tuple[str, ...]:
        """Ranges left in lines of the table, each once."""
        found: dict[str, list[str]] = {}
        for place, step in self._steps_of_others():
            for flag in step.flags:
                number = self.rows[identity_of(step)]
                text = sentence("calculation.range_left", number=number, text=flag)
                found.setdefault(text, []).append(place)
        return tuple(of_pipes(text, pipes) for text, pipes in found.items())

    def _steps_of_others(self) -> Iterator[tuple[str, Step]]:
        """Every line of the pipes not worked in full, after its pipe and station."""
        for number, result in self.others:
            for step in applying(result):
                yield f"{number} @ {step.station}" if step.station else str(number), step


def of_pipes(text: str, pipes: Sequence[str]) -> str:
    """What is said of these pipes, with their numbers."""
    code = "calculation.of_pipe" if len(pipes) == 1 else "calculation.of_pipes"
    stop = "." if text.endswith(".") else ""
    return sentence(code, text=text.removesuffix("."), pipes=", ".join(pipes)) + stop


def classes(results: Sequence[PipeResult]) -> tuple[PipeClass, ...]:
    """The pipes by condition, and those above ground, in order of the first pipe of each."""
    found: dict[Hashable, list[tuple[int, PipeResult]]] = {}
    for number, result in enumerate(results, 1):
        basis = result.basis
        kind = (basis.method, basis.condition, basis.above_ground)
        found.setdefault(kind, []).append((number, result))
    return tuple(PipeClass(_letter(i), tuple(pipes)) for i, pipes in enumerate(found.values()))


def _lettered(origin: Origin | None) -> Origin | None:
    """The origin with the letter of how sure a published value is in place of the words."""
    if origin is None or not origin.provenance:
        return origin
    known = {each.value: SOURCES[each.name.lower()][0] for each in Provenance}
    return replace(origin, provenance=known.get(origin.provenance, SOURCES["verified"][0]))


def _letter(place: int) -> str:
    return chr(ord("A") + place)


def applying(result: PipeResult) -> Iterator[Step]:
    """The inputs of a pipe that a line reads, and the lines that apply."""
    for step in result.steps:
        if is_input(step):
            if step.origin is None or step.origin.used:
                yield step
        elif step.arithmetic is not None:
            yield step


def _identities(result: PipeResult) -> list[LineKey]:
    return list(dict.fromkeys(identity_of(step) for step in applying(result)))


def _gain(result: PipeResult, left: dict[LineKey, None]) -> tuple[bool, int, int]:
    """Whether a pipe has lines not worked yet, then at how few stations, then how many."""
    gained = sum(each in left for each in _identities(result))
    return gained > 0, -len(result.stations), gained


def _chosen(line: Line) -> bool:
    """Whether values select the arithmetic of a line, beside rounding up."""
    return line.selects and _choice(line.tree)


def _choice(node: Node) -> bool:
    own = isinstance(node, Choice) or (isinstance(node, LookUp) and node.method != "next")
    return own or any(map(_choice, children(node)))


def _cells(result: PipeResult, at: str | None = None) -> dict[LineKey, Texts]:
    """The texts of every line at a station.

    Without a station, lines that differ between the stations of a pipe are left out.
    """
    steps = (step for step in applying(result) if step.station in (None, at))
    return texts(steps, result.basis.system)


def _verdicts(columns: Sequence[Column]) -> Iterator[tuple[str, ...]]:
    """A row for each check: passes, fails, or does not apply."""
    names = dict.fromkeys(
        check.equation for _, result, _ in columns for check in checks_of(result.basis)
    )
    found = [
        {check.equation: check.passes for check in result.checks if check.station in (None, at)}
        for _, result, at in columns
    ]
    for name in names:
        if any(name in each for each in found):
            cells = (verdict(each[name]) if name in each else HEADS["no_line"] for each in found)
            yield "", name, "", *cells


def _foot(columns: Sequence[Column]) -> Iterator[tuple[str, ...]]:
    """Governing equation, smallest safety factor, that in the legs, and the nominal thickness."""
    yield "", HEADS["governing"], "", *(result.governing for _, result, _ in columns)
    yield "", HEADS["safety"], "", *(factor(result.own_safety_factor) for _, result, _ in columns)
    legs = [result.legs for _, result, _ in columns]
    if any(legs):
        cells = (
            factor(each.built.lowest_safety_factor) if each else HEADS["no_line"] for each in legs
        )
        yield "", HEADS["safety_legs"], "", *cells
    nominal = (in_millimetres(r.nominal_thickness, r.basis.system) for _, r, _ in columns)
    yield "", HEADS["nominal"], MM, *(positional(each, 5) for each in nominal)
