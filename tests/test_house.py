"""The rules of the house that a machine can check."""

import ast
import re
import subprocess
import sys
from collections import Counter
from importlib import import_module
from pathlib import Path

import pytest

from linerdesign.expressions.tree import Call, Choice, LookUp, children
from linerdesign.methods.catalogue import MODULES, catalogue
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.verdicts import CHECK_FAILS, DOES_NOT_APPLY, NO_BORE, OUTSIDE

PACKAGE = Path(__file__).parents[1] / "linerdesign"
FILES = sorted(PACKAGE.rglob("*.py"))
IDS = [str(path.relative_to(PACKAGE)) for path in FILES]

# What each room may import of the package; a room may always import itself.
MAY_IMPORT = {
    "expressions": set(),
    "words": set(),
    "methods": {"expressions", "words", "findings"},
    "project": {"methods", "expressions", "words", "findings"},
    "field": {"project", "methods", "expressions", "documents", "words", "findings"},
    "tasks": {"project", "methods", "expressions", "documents", "words", "findings"},
    "documents": {"project", "methods", "expressions", "words", "findings"},
    "desk": {
        *("interface", "tasks", "field", "documents", "project"),
        *("methods", "expressions", "words", "findings"),
    },
}
# Of what stands at the bottom; the numerical ring alone is solved with SciPy.
KEPT_OUT = ("pint", "pydantic", "rich", "scipy", "pathlib")
# Bare `scipy` is loaded by pint; it is light without these.
HEAVY = {"matplotlib", "polars", "typst", "xlsxwriter", "openpyxl", "pdfplumber", "docx"}
HEAVY_PARTS = {"scipy.linalg", "scipy.optimize", "scipy.stats", "scipy.sparse", "scipy.special"}


def _room(path):
    parts = path.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else ""


def _imports(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_imports_go_down_only(path):
    room = _room(path)
    if room not in MAY_IMPORT:
        return
    for name in _imports(path):
        parts = name.split(".")
        if parts[0] == "linerdesign" and len(parts) > 1:
            assert parts[1] == room or parts[1] in MAY_IMPORT[room], f"{path}: {name}"
        if room in ("expressions", "methods"):
            solver = parts[0] == "scipy" and path.parent.name == "ring"
            assert solver or parts[0] not in KEPT_OUT, name


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_modules_and_functions_are_short(path):
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 520
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            assert node.end_lineno - node.lineno <= 45, f"{path.name}: {node.name}"


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_public_things_have_docstrings(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree) or not tree.body, path
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{path.name}: {node.name}"


def _docstrings(path):
    documented = ast.Module | ast.ClassDef | ast.FunctionDef
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, documented) and (text := ast.get_docstring(node)):
            yield getattr(node, "name", path.name), text


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_docstrings_have_one_form(path):
    """Code in single backticks; errors in a block of their own, each with what leads to it."""
    for name, text in _docstrings(path):
        assert "``" not in text, f"{path.name}: {name}"
        lines = text.splitlines()
        for number, line in enumerate(lines):
            if re.search(r"\bRaises\b", line):
                assert line == "Raises:", f"{path.name}: {name}"
                assert re.match(r"    [\w.]+(Error|Faults): \S", lines[number + 1]), name


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_public_functions_say_what_they_raise(path):
    if _room(path) == "cli":  # a command may always refuse what it was given
        return
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            own = (part for part in node.body if not isinstance(part, ast.FunctionDef))
            if any(isinstance(each, ast.Raise) for part in own for each in ast.walk(part)):
                assert "Raises:" in ast.get_docstring(node), f"{path.name}: {node.name}"


# Printed as their own sources print them, and told apart by nothing but the case.
TOLD_APART_BY_CASE = {
    "d": "F1216: D the host, d the hole in it",
    "q": "F1216: q the ovality; Manning: Q the flow",
    "k": "F1216: K the enhancement factor; Glock: k the lobes",
    "p_0": "Moser & Folkman: P a single load, p a pressure; a sheet has one of them",
}


def _strings(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)}


def _alike(names):
    """Names that differ by case only, folded."""
    counts = Counter(name.casefold() for name in names)
    return {name for name, count in counts.items() if count > 1}


def test_every_argument_is_in_the_symbol_table_and_nothing_else():
    """A row is a quantity of an equation, or of a line that names it for one."""
    used = {key for each in catalogue() for key in (each.result, *each.arguments)}
    assert used <= SYMBOLS.keys()
    elsewhere = [path for path in FILES if path.name != "symbols.py"]
    bound = used.union(*map(_strings, elsewhere))
    vehicles = {f"{part}_{name}" for part in "lnW" for name in ("truck", "tandem")}
    assert SYMBOLS.keys() <= bound | vehicles


def test_no_two_rows_of_the_symbol_table_can_be_taken_for_one():
    """Names of cells don't know upper from lower case, nor does a reader in a hurry."""
    printed = [quantity.symbol for quantity in SYMBOLS.values()]
    assert len(printed) == len(set(printed))
    assert _alike(printed) == TOLD_APART_BY_CASE.keys()
    assert not _alike(map(name_of, SYMBOLS))


def _vocabulary(node):
    if isinstance(node, Choice | LookUp) or (isinstance(node, Call) and node.function == "ceil"):
        yield node
    for child in children(node):
        yield from _vocabulary(child)


def test_only_steps_of_their_own_choose_and_look_up():
    for each in catalogue():
        if each.kind == "equation":
            assert not list(_vocabulary(each.tree)), each.name


def test_no_arithmetic_between_two_literals():
    """`1/3` would be folded before the trace sees it, and vanish from the sheet."""
    for name in MODULES:
        tree = ast.parse(
            (PACKAGE / "methods" / f"{name.replace('.', '/')}.py").read_text(encoding="utf-8")
        )
        for function in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
            for node in ast.walk(function):
                if isinstance(node, ast.BinOp):
                    both = (node.left, node.right)
                    assert not all(isinstance(side, ast.Constant) for side in both), function.name


def test_a_sheet_loads_nothing_heavy():
    code = (
        "import sys, linerdesign.cli.main, linerdesign.cli.size, linerdesign.documents.text;"
        "print(*[m for m in sys.modules])"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    assert not {name.split(".")[0] for name in loaded} & HEAVY
    assert not {".".join(name.split(".")[:2]) for name in loaded} & HEAVY_PARTS


# What documents the package and its interface: the standard, and results of an example.
DOCUMENTED = {"__init__.py", "interface.py"}
STANDARD = re.compile(r"F1216|\bf1216\b|X1[._]\d|Appendix X1")


def _texts(path):
    """The texts of a module that are no docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    held = (ast.Module, ast.FunctionDef, ast.ClassDef)
    about = {
        id(n.body[0].value)
        for n in ast.walk(tree)
        if isinstance(n, held) and n.body
        if isinstance(n.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in about:
            yield node.value


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_the_standard_is_named_by_its_method_and_words_alone(path):
    """No import, text, comment or docstring names it or its equations, but for `words.STANDARD`.

    The method, and whatever of it another room needs, comes from `methods.method.standard`.
    """
    if "f1216" in path.relative_to(PACKAGE).with_suffix("").parts:
        return
    text = path.read_text(encoding="utf-8").replace('\nSTANDARD = "f1216"\n', "", 1)
    if path.relative_to(PACKAGE).as_posix() in DOCUMENTED:
        text = text.replace(ast.get_docstring(ast.parse(text), clean=False), "", 1)
    assert not STANDARD.search(text)


def test_a_verdict_is_put_in_words_once():
    words = {OUTSIDE, CHECK_FAILS, DOES_NOT_APPLY, NO_BORE}
    found = {
        (path.relative_to(PACKAGE).as_posix(), text)
        for path in FILES
        if "words" not in path.parts
        for text in _texts(path)
        if text in words
    }
    verdicts = "methods/verdicts.py"
    assert found == {
        ("findings.py", OUTSIDE),
        *((verdicts, each) for each in (CHECK_FAILS, DOES_NOT_APPLY, NO_BORE)),
    }


# Where texts are not sentences of the catalogue: names and sources of what a module defines, words
# looked for in a submittal, a file to fill in, what a programmer has done wrong, help.
DEFINES = (
    *("methods/", "expressions/", "project/key_table.py", "project/further_keys.py"),
    *("project/stated_keys.py", "project/cost_keys.py", "project/measures.py"),
    *("project/starter.py", "field/acceptance/rules.py", "field/laboratory/creep_models.py"),
    *("tasks/transcribe/labels.py", "tasks/transcribe/tables.py"),
)
SENTENCE = re.compile(r"(?:[A-Za-z'\u2019]+[,;:]? +){4,}[A-Za-z]{2,}")
# A choice of the program's interface, the origin of a value, codes, what a programmer did wrong.
NO_SENTENCES = {
    "a page has formulas in words",
    *("lowest retention of the load levels", "one line through all load levels"),
    *("bore of the first liner", "cover is invert depth", "head is depth to water"),
    "head above crown is above invert",
}


# What a command says of itself: its line in the list, its outputs, its exit codes.
OF_COMMANDS = {"COMMANDS", "OUTPUT_HELP", "epilog"}


def _helps(path):
    """The texts of help of a command, and those that document what stands before them."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = {each.split(".")[-1] for each in map(ast.unparse, getattr(node, "targets", ()))}
        if _room(path) == "cli" and names & OF_COMMANDS:
            yield from (each.value for each in ast.walk(node) if isinstance(each, ast.Constant))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield node.value.value
        if isinstance(node, ast.keyword) and node.arg in ("help", "description", "epilog"):
            yield from (each.value for each in ast.walk(node) if isinstance(each, ast.Constant))


def test_what_a_reader_reads_stands_in_the_catalogue():
    """Five words in a row are a sentence. Codes have a dot after the area that they are of."""
    others = [path for path in FILES if "words" not in path.parts]
    found = {
        (path.relative_to(PACKAGE).as_posix(), text)
        for path in others
        if not path.relative_to(PACKAGE).as_posix().startswith(DEFINES)
        for text in set(_texts(path)) - set(_helps(path)) - NO_SENTENCES
        if SENTENCE.search(text) and not re.match(r"[a-z]+\.[a-z]|#set page", text)
    }
    assert not found


BLOCKS = {"Grid", "Heading", "Paragraph", "Bullets"}
READ_BY_EYE = {"text", "columns", "caption", "items", "tab"}
INSIDE = ast.Tuple | ast.List | ast.Starred | ast.JoinedStr | ast.IfExp | ast.BinOp


def _written(node):
    """The texts with letters that an expression has itself, not by a call or a look-up."""
    if isinstance(node, ast.Constant) and re.search("[A-Za-z]", str(node.value)):
        yield node.value
    elif isinstance(node, INSIDE):
        for child in ast.iter_child_nodes(node):
            yield from _written(child)


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_heads_and_captions_stand_in_the_catalogue(path):
    """Heads come from `heads_of`, captions and paragraphs from `sentence`."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        given = []
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in BLOCKS:
            given = [*node.args, *(k.value for k in node.keywords if k.arg in READ_BY_EYE)]
        elif isinstance(node, ast.Assign) and _room(path) in ("documents", "field", "tasks"):
            named = {getattr(target, "id", "") for target in node.targets}
            given = [node.value] if named & {"columns", "heads", "caption"} else []
        assert not [text for each in given for text in _written(each)], node.lineno


def test_every_code_of_heads_has_its_heads():
    found = re.compile(r'heads_of\(\s*"(\w+)\.(\w+)"')
    codes = {code for path in FILES for code in found.findall(path.read_text(encoding="utf-8"))}
    tables = {area: import_module(f"linerdesign.words.{area}").TABLES for area, _ in codes}
    assert codes == {(area, name) for area, heads in tables.items() for name in heads}


PARSES = {"split", "rsplit", "partition", "rpartition", "startswith", "endswith", "find", "index"}
PARSES |= {"removeprefix", "removesuffix"}
# What looks a text of the catalogue up, and where results and findings hold one.
WRITES = {"sentence", "template", "said", "_said", "heads_of"}
HOLDS = {"said", "status", "governing", "meaning", "caption"}


def _is_own(node):
    """Whether an expression is plainly a text of the program's own."""
    if isinstance(node, ast.Call):
        return getattr(node.func, "id", "") in WRITES
    if isinstance(node, ast.Attribute):
        of_severity = node.attr == "value" and getattr(node.value, "attr", "") == "severity"
        return node.attr in HOLDS or of_severity
    return False


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_no_text_of_the_program_is_parsed(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            parsed = [node.func.value] if node.func.attr in PARSES else []
            parsed += node.args if getattr(node.func.value, "id", "") == "re" else []
            assert not any(map(_is_own, parsed)), node.lineno


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_a_quantity_becomes_json_in_one_place(path):
    if path == PACKAGE / "documents" / "json.py":
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Dict):
            keys = [getattr(key, "value", None) for key in node.keys]
            assert keys != ["value", "unit"], f"{path.name}, line {node.lineno}"
