"""Breaks the package on purpose, one small change at a time, and counts what the tests notice.

    python tests/mutation.py [--sample N] [--seed S] [--minutes M] [MODULE ...]

A mutant is one changed expression in a module or folder, such as `methods/f1216/gravity` or
`methods`. Each is written into a temporary copy of the project, never into the work tree, and the
tests named after it or importing it, those of its folder and some of the whole run until the first
one fails; those that need a browser or an office program are skipped. Survivors are listed with
their line. Exit code 1 means that under 95 % were killed.
"""

from __future__ import annotations

import argparse
import ast
import copy
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
# What computes or decides; commands, the desk and the sentences are left out.
ROOMS = ("expressions", "methods", "project", "tasks", "field", "documents")
MODULES = tuple(
    path.relative_to(ROOT / "linerdesign").with_suffix("").as_posix()
    for room in ROOMS
    for path in sorted((ROOT / "linerdesign" / room).rglob("*.py"))
    if path.name != "__init__.py"
)
# Most mutants of these die within a second, so these run before the others are even collected.
FIRST = {
    "expressions": ("test_published.py", "test_printing.py", "test_laws.py"),
    "methods": ("test_sizing.py", "test_published.py"),
}
# Tests of rooms through their commands, which stand in another folder.
THROUGH = {
    "field/acceptance": ("cli/test_accept.py",),
    "field/laboratory": ("cli/test_creep.py",),
    "field/survey": ("cli/test_profile.py",),
    "tasks/second_opinion": ("cli/test_buckling.py", "tasks/test_second_method.py"),
    "tasks/any_host": ("cli/test_any_host.py", "tasks/test_second_method.py"),
}
# What runs after the tests of a module's own folder.
GENERAL = ("cli/test_size.py", "tasks/batch/test_agreement.py", "documents/test_forms_agree.py")
ENOUGH = 0.95
# A mutant that takes this many times as long as the sound package hangs, and counts as noticed.
PATIENCE = 5

ARITHMETIC = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
}
COMPARISONS = {
    ast.Lt: (ast.LtE, ast.Gt),
    ast.LtE: (ast.Lt, ast.GtE),
    ast.Gt: (ast.GtE, ast.Lt),
    ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
EXTREMES = {"maximum": "minimum", "minimum": "maximum", "max": "min", "min": "max"}
SYMMETRIC = ("maximum", "minimum", "max", "min")

# A tolerance of a billionth is a choice: whether its own edge still counts decides nothing.
EDGES = (
    ("SAME", "1e-09", "1.01e-09"),
    (
        "alike",
        "np.absolute(value - other) <= SAME * np.absolute(other)",
        "np.absolute(value - other) < SAME * np.absolute(other)",
    ),
    ("at_most", "value <= most * (1 + SAME)", "value < most * (1 + SAME)"),
    ("at_least", "value >= least * (1 - SAME)", "value > least * (1 - SAME)"),
    *(
        (name, f"value {sign} {border}", f"value {sign}= {border}")
        for name, sign, border in (
            ("under", "<", "np.minimum(least * (1 - SAME), least * (1 + SAME))"),
            ("over", ">", "np.maximum(most * (1 - SAME), most * (1 + SAME))"),
        )
    ),
)
# How tightly operators bind counts by its order alone, and none of these changes the order.
RANKS = (
    ("ATOM", "9.0", "9.09"),
    ("_write", "0.0", "0.01"),
    ("_write", "0.5", "0.505"),
    ("_cases", "0.5", "0.505"),
    ("_ARITHMETIC", "1.5", str(1.5 * 1.01)),
    ("_ARITHMETIC", "2.2", str(2.2 * 1.01)),
    ("_ARITHMETIC", "2.1", str(2.1 * 1.01)),
)
# (module, definition, before, after): mutants that no input can tell from the sound package.
EQUIVALENT = {
    **{("expressions/tolerance", *edge): "the edge of a tolerance" for edge in EDGES},
    **{("expressions/printing", *rank): "the same order of binding" for rank in RANKS},
    ("methods/ring/contact", "Cavity.outward", "-1", "1"): "the last of two axes is the second",
    ("methods/f1216/pressure", "pressure_thickness", "t_X1_7 <= t_X1_5", "t_X1_7 < t_X1_5"): (
        "at the tie both answers are the same thickness"
    ),
    (
        "methods/ground/live_load",
        "governing_vehicle",
        "W_truck > W_tandem",
        "W_truck >= W_tandem",
    ): ("at the tie both vehicles give the same pressure"),
    **{
        ("methods/steps", maker, "0", "1"): "steps are numbered at the end"
        for maker in ("input_step", "line_step", "_worst")
    },
    ("expressions/printing", "_operation", "zip(strict=True)", "zip()"): (
        "an operator always has as many operands as its rule has places"
    ),
    ("expressions/printing", "positional", "1000000000000000.0", "1010000000000000.0"): (
        "both ways of writing give the same digits there"
    ),
    (
        "expressions/printing",
        "positional",
        "abs(value) < 1000000000000000.0",
        "abs(value) <= 1000000000000000.0",
    ): ("both ways of writing give the same digits there"),
}


@dataclass(frozen=True)
class Mutant:
    """One changed expression: where it stands, both texts, and the whole module with it."""

    module: str
    definition: str
    line: int
    before: str
    after: str
    source: str

    @property
    def name(self) -> tuple[str, str, str, str]:
        """What the list of equivalent mutants knows it by; line numbers would go stale."""
        return self.module, self.definition, self.before, self.after

    def __str__(self) -> str:
        return f"linerdesign/{self.module}.py:{self.line}: {self.before}  ->  {self.after}"


def changed(node: ast.AST) -> Iterator[ast.AST]:
    """Every node that a slip of the pen might have put in the place of this one."""
    match node:
        case ast.BinOp(op=operator) if type(operator) in ARITHMETIC:
            yield _with(node, op=ARITHMETIC[type(operator)]())
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            yield operand
        case ast.Constant(value=float(value)):
            yield ast.Constant(value * 1.01 if value else 0.01)
        case ast.Constant(value=int(value)) if not isinstance(value, bool):
            yield ast.Constant(value + 1 if value < 100 else value * 1.01)
        case ast.Attribute(attr=name) if name in EXTREMES:
            yield _with(node, attr=EXTREMES[name])
        case ast.Name(id=name) if name in EXTREMES:
            yield _with(node, id=EXTREMES[name])
        case ast.Compare(ops=operators):
            for place, operator in enumerate(operators):
                for other in COMPARISONS[type(operator)]:
                    yield _with(node, ops=_put(operators, place, other()))
        case ast.Call():
            yield from _changed_call(node)
        case ast.If(test=test) | ast.IfExp(test=test):
            yield _with(node, test=ast.UnaryOp(ast.Not(), test))
        case ast.comprehension(ifs=conditions):
            for place, condition in enumerate(conditions):
                yield _with(node, ifs=_put(conditions, place, ast.UnaryOp(ast.Not(), condition)))


def _changed_call(node: ast.Call) -> Iterator[ast.AST]:
    given = node.args
    name = getattr(node.func, "attr", getattr(node.func, "id", ""))
    if name not in SYMMETRIC and not any(isinstance(each, ast.Starred) for each in given):
        for place in range(len(given) - 1):
            if ast.dump(given[place]) == ast.dump(given[place + 1]):
                continue
            both = _put(_put(given, place, given[place + 1]), place + 1, given[place])
            yield _with(node, args=both)
    for keyword in node.keywords:
        if keyword.arg is not None:
            yield _with(node, keywords=[each for each in node.keywords if each is not keyword])


def _with(node: ast.AST, **fields: object) -> ast.AST:
    other = copy.copy(node)
    for field, value in fields.items():
        setattr(other, field, value)
    return other


def _put(items: list, place: int, item: object) -> list:
    return [*items[:place], item, *items[place + 1 :]]


def mutants(module: str) -> Iterator[Mutant]:
    """Every mutant of a module. Annotations are left alone, since nothing runs them."""
    tree = ast.parse((ROOT / "linerdesign" / f"{module}.py").read_text(encoding="utf-8"))
    for owner, field, place, definition in list(_places(tree, "")):
        value = getattr(owner, field)
        node = value if place is None else value[place]
        for other in changed(node):
            setattr(owner, field, other if place is None else _put(value, place, other))
            source = ast.unparse(ast.fix_missing_locations(tree))
            setattr(owner, field, value)
            line = getattr(node, "lineno", getattr(owner, "lineno", 0))
            yield Mutant(module, definition, line, _short(node, other), _short(other, node), source)


def _short(node: ast.AST, other: ast.AST) -> str:
    """The expression on one line, of a call and of an `if` only what the other has not."""
    shown = node.test if isinstance(node, ast.If) else node
    if isinstance(node, ast.Call) and isinstance(other, ast.Call) and node.func is other.func:
        swapped = [each for place, each in enumerate(node.args) if other.args[place] is not each]
        lost = [each for each in node.keywords if each not in other.keywords]
        shown = ast.Call(node.func, swapped, lost)
    return " ".join(ast.unparse(shown).split())


def _places(node: ast.AST, definition: str) -> Iterator[tuple[ast.AST, str, int | None, str]]:
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "ctx"):
            continue
        for place, child in enumerate(value) if isinstance(value, list) else ((None, value),):
            if not isinstance(child, ast.AST):
                continue
            inside = definition
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                inside = f"{definition}.{child.name}".strip(".")
            elif isinstance(node, ast.Module) and isinstance(child, ast.Assign | ast.AnnAssign):
                inside = ast.unparse(getattr(child, "target", None) or child.targets[0])
            yield node, field, place, inside
            yield from _places(child, inside)


class Workshop:
    """A copy of the project in which mutants are tried one after another."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name in ("linerdesign", "tests", "worked_examples", "docs"):
            ignored = shutil.ignore_patterns("__pycache__")
            shutil.copytree(ROOT / name, folder / name, ignore=ignored)
        shutil.copy2(ROOT / "pyproject.toml", folder)
        self.limits: dict[str, float] = {}

    def prepare(self, room: str) -> None:
        """The tests of a room on the sound package: how long a mutant may take there."""
        if room in self.limits:
            return
        started, self.limits[room] = time.monotonic(), 3600.0
        # This run also leaves the compiled modules that later ones, which write none, read.
        if self._tests(self._held_by(room), room, compiled=True) not in (0, 5):
            raise SystemExit(f"the tests of {room} fail on the sound package")
        self.limits[room] = 30 + PATIENCE * (time.monotonic() - started)

    def verdict(self, mutant: Mutant) -> str:
        """`survived`, `killed` by a test, `unloadable` by any program, or `hangs`."""
        self.prepare(room_of(mutant.module))
        path = self.folder / "linerdesign" / f"{mutant.module}.py"
        sound, times = path.read_bytes(), path.stat()
        path.write_text(mutant.source, encoding="utf-8")
        try:
            return self._judged(mutant.module)
        except subprocess.TimeoutExpired:
            return "hangs"
        finally:
            path.write_bytes(sound)
            os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))

    def _judged(self, module: str) -> str:
        room = room_of(module)
        if self._python(room, "-c", "import linerdesign.cli.size, linerdesign.methods.catalogue"):
            return "unloadable"
        every = self._held_by(room)
        tests = sorted((self.folder / "tests").rglob("test_*.py"))
        named = [path for path in tests if path.stem.startswith(f"test_{Path(module).name}")]
        dotted = re.compile(re.escape(f"linerdesign.{module.replace('/', '.')}") + r"\b")
        using = [path for path in tests if dotted.search(path.read_text(encoding="utf-8"))]
        first = FIRST.get(room, ())
        quick = [path for name in first for path in every if path.name == name]
        nearest = list(dict.fromkeys([*named, *using, *quick]))
        others = [path for path in every if path not in nearest]
        folder = self.folder / "tests" / Path(module).parent
        others.sort(key=lambda path: folder not in path.parents)
        doctests = self.folder / "linerdesign" / f"{module}.py"
        for files in (nearest, [*others, doctests]):
            # 5 is "no tests collected", which is no verdict on the mutant.
            if files and self._tests(files, room) not in (0, 5):
                return "killed"
        return "survived"

    def _held_by(self, room: str) -> list[Path]:
        """The tests of a room, and some of the whole."""
        tests = self.folder / "tests"
        own = sorted((tests / ("methods" if room == "expressions" else room)).rglob("test_*.py"))
        return [*own, *(tests / name for name in (*THROUGH.get(room, ()), *GENERAL))]

    def _tests(self, files: list[Path], room: str, compiled: bool = False) -> int:
        flags = ("-x", "-q", "-n0", "-p", "no:cacheprovider", "--tb=no")
        return self._python(room, "-m", "pytest", *flags, *map(str, files), compiled=compiled)

    def _python(self, room: str, *words: str, compiled: bool = False) -> int:
        """Exit code of a Python that sees the package of the copy before any other."""
        known = {**os.environ, "PYTHONPATH": str(self.folder), "PATH": str(self.folder)}
        if not compiled:
            known["PYTHONDONTWRITEBYTECODE"] = "1"
        done = subprocess.run(
            [sys.executable, *words],
            cwd=self.folder,
            env=known,
            timeout=self.limits[room],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        return done.returncode


def room_of(module: str) -> str:
    """The folder whose tests hold a module: `methods`, `tasks/review`."""
    room, *rest = module.split("/")
    return f"{room}/{rest[0]}" if room in ("tasks", "field") and len(rest) > 1 else room


def chosen(arguments: argparse.Namespace) -> list[Mutant]:
    """The mutants to try, those known to be equivalent left out."""
    named = [
        module
        for module in MODULES
        if not arguments.modules
        or any(f"{module}/".startswith(f"{each}/") for each in arguments.modules)
    ]
    every = [mutant for module in named for mutant in mutants(module)]
    stale = EQUIVALENT.keys() - {mutant.name for mutant in every}
    if stale and not arguments.modules:
        raise SystemExit(f"listed as equivalent, but no mutant: {sorted(stale)}")
    able = [mutant for mutant in every if mutant.name not in EQUIVALENT]
    print(f"{len(every)} mutants, {len(every) - len(able)} of them known to be equivalent")
    if arguments.sample and arguments.sample < len(able):
        able = random.Random(arguments.seed).sample(able, arguments.sample)
    return able


def main() -> int:
    """Tries the mutants and prints the score of every module and of all."""
    parser = argparse.ArgumentParser(description="Counts the slips of the pen that tests notice.")
    parser.add_argument("modules", nargs="*", metavar="MODULE")
    parser.add_argument("--sample", type=int, metavar="N", help="try N mutants drawn at random")
    parser.add_argument("--seed", type=int, default=1, metavar="S", help="seed of the draw")
    parser.add_argument("--minutes", type=float, default=1e9, metavar="M", help="stop after M")
    arguments = parser.parse_args()
    counts: dict[str, Counter[str]] = {}
    able = chosen(arguments)
    with tempfile.TemporaryDirectory() as folder:
        workshop = Workshop(Path(folder))
        end = time.monotonic() + 60 * arguments.minutes
        for mutant in able:
            if time.monotonic() > end:
                break
            verdict = workshop.verdict(mutant)
            counts.setdefault(room_of(mutant.module), Counter())[verdict] += 1
            if verdict in ("survived", "hangs"):
                print(f"{verdict}  {mutant}", flush=True)
    return _report(counts)


def _report(counts: dict[str, Counter[str]]) -> int:
    heads = ("killed", "unloadable", "hangs", "survived")
    total: Counter[str] = sum(counts.values(), Counter())
    print(f"\n{'folder':22}" + "".join(f"{head:>12}" for head in heads))
    for module, count in [*sorted(counts.items()), ("all", total)]:
        print(f"{module:22}" + "".join(f"{count[head]:12}" for head in heads))
    loaded = total.total() - total["unloadable"]
    noticed = 1 - total["survived"] / (total.total() or 1)
    strict = 1 - total["survived"] / loaded if loaded else 1.0
    print(f"score: {noticed:.1%} noticed; {strict:.1%} of the {loaded} that load at all")
    return 0 if strict >= ENOUGH else 1


if __name__ == "__main__":
    sys.exit(main())
