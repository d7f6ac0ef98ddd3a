"""What a calculation sheet says in words, the same for every form it is written in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache

from linerdesign import __version__
from linerdesign.documents.blocks import CAUTIONS, Block, Bullets, Document, Grid, Heading, Sheet
from linerdesign.documents.numbers import (
    arithmetic,
    both_units,
    factor,
    in_millimetres,
    operand,
    value_with_unit,
)
from linerdesign.expressions.printing import (
    Dialect,
    Printer,
    grouped,
    in_print,
    plain,
    positional,
    raised,
)
from linerdesign.expressions.tolerance import under
from linerdesign.expressions.tree import Call, LookUp, Node, Number, Operation, evaluate
from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.methods.equation import Equation, Provenance, Severity
from linerdesign.methods.method import checks_of, lines_of
from linerdesign.methods.result import CheckResult, PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords
from linerdesign.methods.verdicts import CHECK_FAILS, PASSES
from linerdesign.methods.verification import identity_of
from linerdesign.project.models import FaultyPipe
from linerdesign.words import heads_of, sentence
from linerdesign.words.documents import LABELS, SOURCES


def printed_symbol(key: str) -> str:
    """The symbol of a quantity as printed on the sheet."""
    return SYMBOLS[key].symbol


@cache
def symbolic() -> Dialect:
    """The plain dialect with the symbols as printed on the sheet."""
    return plain(printed_symbol)


PLAIN = Printer(symbolic())


def formula(step: Step) -> str | None:
    """The step's arithmetic in symbols; none for an input, or for a rounding."""
    if step.arithmetic is None or _rounded(step) is not None:
        return None
    return PLAIN.symbolic(step.arithmetic)


def substituted(step: Step) -> str | None:
    """The step's arithmetic in numbers, as a pocket calculator takes it."""
    if step.arithmetic is None or _rounded(step) is not None:
        return None
    values = dict(step.values)
    return PLAIN.numeric(step.arithmetic, lambda key: positional(values[key]))


def derivation(
    step: Step,
    printer: Printer = PLAIN,
    number: Callable[[float], str] = positional,
    system: str = "",
) -> tuple[str, ...]:
    """The lines between the symbol and its value: in symbols, then in numbers.

    `number` prints a value in the printer's dialect. With the unit system of a sheet on paper, its
    lines have the figures of `operand`.
    """
    if step.arithmetic is None:
        return ()
    values = dict(step.values)
    rounded = _rounded(step)
    kind = step.line.equation.kind if step.line else ""
    # A choice shows its rule before what it chose; an angle its formula, which is no arithmetic.
    shown = step.arithmetic if rounded is None else rounded
    if kind == "angle" and step.line:
        shown = step.line.tree
    lines = [printer.symbolic(step.line.tree)] if kind == "choice" and step.line else []
    lines.append(printer.symbolic(shown))
    lines.append(
        arithmetic(printer.numeric(shown, lambda key: operand(key, values[key], system, number)))
    )
    if rounded is not None:
        exact = float(evaluate(rounded, values))
        text = arithmetic(operand(step.key, exact, system, number))
        if lines[-1] == text:
            lines.pop()
        lines.append(f"{text}, {_rounding(step, exact)}")
    return tuple(dict.fromkeys(lines))


IN_PRINT = Printer(in_print(printed_symbol))


def in_print_lines(step: Step, system: str = "") -> list[str]:
    """The lines of `derivation` as print sets them."""
    return [raised(line) for line in derivation(step, IN_PRINT, grouped, system)]


def exact_before_rounding(step: Step) -> float | None:
    """What a step rounds up; none where it does not round."""
    rounded = None if step.arithmetic is None else _rounded(step)
    return None if rounded is None else float(evaluate(rounded, dict(step.values)))


def _rounding(step: Step, exact: float) -> str:
    """How a step rounds: to whole steps, or to what is made."""
    if step.line is None or not isinstance(step.line.tree, LookUp):
        return sentence("documents.rounded_up")
    beyond = under(step.value, exact)
    return sentence("documents.none_listed" if beyond else "documents.next_listed")


def _rounded(step: Step) -> Node | None:
    """What a rounding step rounds up."""
    match step.line.tree if step.line else None:
        case LookUp("next", inner, _):
            return inner
        case node:
            return node and to_whole(node)


def to_whole(node: Node) -> Node | None:
    """What is rounded up to a whole number, without the billionth that guards the last digit."""
    match node:
        case Call("ceil", (Operation("-", (inner, Number())),)):
            return inner
    return None


def reference(step: Step) -> str:
    """Number of the equation, the clause it stands in, and the letter of its source."""
    if step.line is None:
        return ""
    equation = step.line.equation
    return f"[{step.equation}; {equation.clause}; {letter(equation, step.verified is not None)}]"


def letter(equation: Equation, verified: bool) -> str:
    """The letter that says how sure an equation is."""
    return SOURCES["verified" if verified else equation.provenance.name.lower()][0]


def letters_used(document: Document) -> set[str]:
    """The letters on the sheets of a document; all of them where it has none."""
    tasks = [block.result.task for block in document.blocks if isinstance(block, Sheet)]
    if not tasks:
        return {sign for sign, _ in SOURCES.values()}
    return {
        letter(line.equation, identity_of(line.equation) in tasks[0].verified)
        for basis in {task.basis for task in tasks}
        for line in lines_of(basis)
    }


def legend(document: Document) -> str:
    """What the letters used mean, and against what the office verified; empty without lines."""
    tasks = [block.result.task for block in document.blocks if isinstance(block, Sheet)]
    if not tasks:
        return ""
    used = letters_used(document)
    meanings = [f"{sign} {meaning}" for sign, meaning in SOURCES.values() if sign in used]
    offices = dict.fromkeys(each.office for each in tasks[0].verified.values())
    meanings += [sentence("documents.verified_by", office=office) for office in offices]
    return sentence("documents.sources", list="; ".join(meanings))


def cautions(document: Document) -> tuple[str, ...]:
    """The cautions of a document; that of what is from memory only where something is."""
    from_memory = SOURCES["memory"][0] in letters_used(document)
    return CAUTIONS if from_memory else CAUTIONS[:-1]


def warnings_of(step: Step) -> tuple[str, ...]:
    """What a reader must know of a formula that was not seen in print."""
    doubtful = (Provenance.MEMORY, Provenance.PRACTICE)
    if step.verified is None and step.line and step.line.equation.provenance in doubtful:
        return (step.line.equation.provenance.value,)
    return ()


def origin_text(step: Step, system: str, both: bool = True) -> str:
    """How an input is known, and how it was written where the sheet carries another unit.

    With `both`, a thickness is printed in both units.
    """
    assert step.origin is not None
    alone = f"{positional(step.value)} {step.unit}"
    shown = value_with_unit(step.key, step.value, system) if both else alone
    return step.origin.source if step.origin.stated in shown else step.origin.text


def edition_text(result: PipeResult) -> str:
    """The edition of the standard that the calculation follows, and what was known of it."""
    edition = result.basis.edition
    return sentence(
        "documents.edition", edition=edition, form=sentence(f"standard.edition {edition}")
    )


def about_text(result: PipeResult) -> str:
    """Resin, condition and edition of a sheet in one line."""
    return sentence(
        "documents.about",
        resin=result.resin,
        condition=result.basis.condition,
        edition=edition_text(result),
    )


# Behind the governing equation, where the wall is as thick as it is for another reason.
FLOOR = sentence("documents.floor")
# In place of a number that lines find from the words beside it.
IN_WORDS = sentence("documents.see_source")


def condition_text(result: PipeResult) -> str:
    """What the owner's choice of condition means."""
    full = result.basis.condition == FULLY
    return sentence("documents.fully" if full else "documents.partially")


def governing_text(result: PipeResult) -> str:
    """The governing equation, where it governs, and whether the owner's minimum exceeds it."""
    at = result.governing_station
    where = sentence("documents.at", what=result.governing, station=at) if at else result.governing
    return where + (FLOOR if result.minimum_governs else "")


def inputs(result: PipeResult) -> tuple[Step, ...]:
    """The steps that are inputs."""
    return tuple(filter(is_input, result.steps))


def is_input(step: Step) -> bool:
    """Whether nothing computes a step."""
    return step.arithmetic is None and step.line is None


def computed(result: PipeResult) -> tuple[Step, ...]:
    """The steps that are computed and apply."""
    return tuple(step for step in result.steps if step.arithmetic is not None)


def not_applying(result: PipeResult) -> tuple[str, ...]:
    """Numbers of the checks that the condition asks for but that do not apply, each once."""
    applied = {check.equation for check in result.checks}
    numbers = (check.equation for check in checks_of(result.basis))
    return tuple(dict.fromkeys(number for number in numbers if number not in applied))


# How values of pipe and site are known that nobody measured.
NOT_MEASURED = ("given", "plan", "assumed")


def not_measured(result: PipeResult) -> tuple[str, ...]:
    """Inputs of pipe and site that were not measured, each once, with how they are known."""
    known: dict[tuple[str, str], dict[str, list[str]]] = {}
    stated: tuple[Step | InWords, ...] = (*inputs(result), *result.in_words)
    for each in stated:
        if each.origin is not None and each.origin.known_by in NOT_MEASURED:
            named = known.setdefault((each.meaning, each.origin.source), {})
            places = named.setdefault(each.origin.stated, [])
            places.extend([each.station] if each.station else [])
    return tuple(_known_as(meaning, origin, found) for (meaning, origin), found in known.items())


def _known_as(meaning: str, origin: str, found: dict[str, list[str]]) -> str:
    """How a value was stated, and where along the pipe it is what."""
    parts = [
        sentence("documents.at", what=stated, station=", ".join(places)) if places else stated
        for stated, places in found.items()
    ]
    stated = "; ".join(part for part in parts if part)
    code = "documents.not_measured_stated" if stated else "documents.not_measured"
    return sentence(code, meaning=meaning, origin=origin, stated=stated)


def notes_of(result: PipeResult, severity: Severity) -> tuple[str, ...]:
    """The texts of the notes of one severity."""
    return tuple(note.text for note in result.notes if note.severity is severity)


RULINGS = LABELS["rulings"]
# The lists that other values of the inputs fill or empty.
RAISED = {Severity.OUTSIDE: LABELS["outside"], Severity.CAUTION: LABELS["pipe_cautions"]}


def remark_lists(result: PipeResult) -> dict[str, tuple[str, ...]]:
    """What the reader must know beside the numbers: every list by its title, empty ones too."""
    return {
        RULINGS: _rulings(result),
        **{title: notes_of(result, severity) for severity, title in RAISED.items()},
        LABELS["other_loads"]: tuple(_other_loads(result)),
        LABELS["defaults"]: notes_of(result, Severity.DEFAULT),
        LABELS["not_measured"]: not_measured(result),
        LABELS["evidence"]: tuple(evidence_text(*each) for each in result.evidence),
    }


def evidence_text(what: str, text: str) -> str:
    """What a value is known by."""
    return f"{what}: {text}"


def _other_loads(result: PipeResult) -> Iterator[str]:
    """What each other published rule for the vehicle would change."""
    system = result.basis.system
    for other in result.other_loads:
        change = in_millimetres(other.nominal_thickness - result.nominal_thickness, system)
        if other.nominal_thickness == result.nominal_thickness:
            yield sentence("documents.other_rule_same", rule=other.rule)
        else:
            nominal = both_units(other.nominal_thickness, system)
            about = {"rule": other.rule, "nominal": nominal, "change": change}
            yield sentence("documents.other_rule", **about)


def remarks(result: PipeResult) -> dict[str, tuple[str, ...]]:
    """The lists of `remark_lists` that say something."""
    return {title: items for title, items in remark_lists(result).items() if items}


def _rulings(result: PipeResult) -> tuple[str, ...]:
    """Why an equation applies, where several could, each reason once."""
    reasons = (
        sentence("documents.chosen", equation=check.equation, why=sentence(check.why))
        for check in result.checks
        if check.why
    )
    return tuple(dict.fromkeys(reasons))


def other_condition_text(result: PipeResult) -> str | None:
    """What the other condition of the host requires, where that was computed."""
    other = result.other_condition
    if other is None:
        return _not_computed(result)
    system = other.basis.system
    return sentence(
        "documents.other",
        condition=other.basis.condition,
        required=value_with_unit("t", other.required_thickness, system),
        nominal=value_with_unit("t", other.nominal_thickness, system),
        governing=governing_text(other),
    )


def _not_computed(result: PipeResult) -> str | None:
    """Which values are missing for the other condition, where it was requested."""
    if not result.other_missing:
        return None
    return sentence(
        "documents.other_missing",
        condition=PARTIALLY if result.basis.condition == FULLY else FULLY,
        missing=", ".join(result.other_missing),
    )


# What a table of checks has beside the equation, and the heads above it all.
CHECK_CELLS = ("required", "demand", "capacity", "safety", "verdict")
CHECK_COLUMNS = heads_of("documents.checks")


def checks_grid(result: PipeResult) -> Grid:
    """The checks at the nominal thickness as a table."""
    stations = any(check.station for check in result.checks)
    rows = [
        (
            *((check.station or "-",) if stations else ()),
            check.equation,
            *check_cells(check, result.basis.system).values(),
        )
        for check in result.checks
    ]
    return Grid(
        columns=heads_of("documents.checks_by_station") if stations else CHECK_COLUMNS,
        align=("<" if stations else "") + "<>>>><",
        rows=tuple(rows),
        caption=sentence(
            "documents.checks_at",
            thickness=both_units(result.nominal_thickness, result.basis.system),
        ),
    )


def check_cells(check: CheckResult, system: str) -> dict[str, str]:
    """What came of a check, in the cells of `CHECK_CELLS`."""
    unit = f" {check.unit}" if check.unit else ""
    return {
        "required": both_units(check.required_thickness, system),
        "demand": positional(check.demand, 5) + unit,
        "capacity": positional(check.capacity, 5) + unit,
        "safety": factor(check.safety_factor),
        "verdict": verdict(check.passes),
    }


def verdict(passes: bool) -> str:
    """What a check is said to do."""
    return PASSES if passes else CHECK_FAILS


def not_designed(faulty: Sequence[FaultyPipe], level: int = 1) -> Iterator[Block]:
    """The faults of the pipes that can't be designed, pipe by pipe."""
    if faulty:
        yield Heading(sentence("documents.not_designed"), level)
        yield Bullets(tuple(f"{pipe.name}: {each}" for pipe in faulty for each in pipe.faults))


def about(document: Document) -> dict[str, str]:
    """What the head of a document says of the project, without what was not given."""
    info, identity = document.info, document.identity
    lines = {
        "project number": info.number,
        "client": info.client,
        "location": info.location,
        "date": info.date,
        "revision": info.revision,
        "prepared by": info.prepared_by,
        "checked by": info.checked_by,
        **files_read(document),
        "fingerprint": identity.fingerprint,
        "program": f"linerdesign {__version__}",
    }
    return {label: text for label, text in lines.items() if text}


def files_read(document: Document) -> dict[str, str]:
    """The files that a document rests on, by role; those of one role together."""
    found: dict[str, list[str]] = {}
    for each in document.identity.files:
        found.setdefault(f"{each.role} file", []).append(f"{each.name}, SHA-256 {each.sha256[:16]}")
    return {role: "; ".join(names) for role, names in found.items()}
