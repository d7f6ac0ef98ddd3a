"""Writes the generated parts of the documentation from the code.

    python docs/build.py

A part stands between `<!-- generated: NAME -->` and `<!-- end -->`; what is around it is written
by hand. The tests fail where a part is stale.
"""

from __future__ import annotations

import argparse
import contextlib
import functools
import inspect
import io
import os
import re
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "docs"), str(ROOT / "tests")]

import verification_manual  # noqa: E402
from layout import table  # noqa: E402

import linerdesign  # noqa: E402
from linerdesign.cli import main as command_line  # noqa: E402
from linerdesign.documents.equations import worked_line  # noqa: E402
from linerdesign.documents.sheet import symbolic  # noqa: E402
from linerdesign.expressions.printing import write  # noqa: E402
from linerdesign.expressions.tolerance import SAME  # noqa: E402
from linerdesign.expressions.tree import Comparison, Node, Number, Operation, Truth  # noqa: E402
from linerdesign.methods.catalogue import catalogue, in_module  # noqa: E402
from linerdesign.methods.equation import Equation  # noqa: E402
from linerdesign.methods.ground.published import published  # noqa: E402
from linerdesign.methods.symbols import SYMBOLS, SYSTEMS  # noqa: E402
from linerdesign.project.fields import TABLES, Table  # noqa: E402
from linerdesign.project.ground import EVERYDAY  # noqa: E402
from linerdesign.project.key import Key  # noqa: E402
from linerdesign.project.key_table import KEYS  # noqa: E402
from linerdesign.project.usual import USUAL  # noqa: E402

PART = re.compile(r"(<!-- generated: (\S+) -->\n).*?(<!-- end -->)", re.DOTALL)
PAGES = ("README.md", "docs/*.md", "worked_examples/*/README.md")


def equations() -> str:
    """Every equation: formula, legend, range, provenance, worked line."""
    return "\n\n".join(_equation(each) for each in catalogue())


def _equation(each: Equation) -> str:
    variant = ", ".join(text for text in (each.system, each.edition) if text)
    symbols = [
        (f"`{SYMBOLS[k].symbol}`", SYMBOLS[k].meaning, *(SYMBOLS[k].unit(s) for s in SYSTEMS))
        for k in (each.result, *each.arguments)
    ]
    ranges = "; ".join(
        f"`{write(_border(limit.holds.tree), symbolic())}`"
        f"{f' ({limit.system})' if limit.system else ''}, "
        f"else {limit.severity}"
        for limit in each.limits
    )
    parts = [
        f"### {each.number}{f' ({variant})' if variant else ''}: {each.meaning}",
        f"    {SYMBOLS[each.result].symbol} = {write(each.tree, symbolic())}",
        table(("symbol", "meaning", "US", "SI"), symbols),
        f"Clause {each.clause}. {each.source}; *{each.provenance}*."
        + (f" Range: {ranges}." if ranges else ""),
        f"Worked: `{worked_line(each)}`",
    ]
    return "\n\n".join(parts)


def _border(holds: Node) -> Node:
    """The condition without the billionth within which its border counts as reached."""
    match holds:
        case Comparison(right=Operation("*", (border, Number(share)))) if share in (
            1 - SAME,
            1 + SAME,
        ):
            return replace(holds, right=border)
        case Truth(operands=operands):
            return replace(holds, operands=tuple(map(_border, operands)))
    return holds


def keys() -> str:
    """The keys of the project file, table by table, from the table of keys."""
    of = dict.fromkeys(key.tables[0] for key in KEYS)
    return "\n\n".join(
        _table_of_keys(TABLES[table]) for table in (*of, *sorted(TABLES.keys() - of))
    )


def _table_of_keys(model: type[Table]) -> str:
    heading, purpose = _about_table(model)
    own = [key for key in model.rows.values() if _is_own(model, key)]
    rows = [(f"`{key.name}`", _meaning(key), _default(key)) for key in own]
    parts = [f"### {heading}", f"{purpose}{_repeated(model)}"]
    if rows:
        parts.append(table(("key", "meaning", "if left out"), rows))
    return "\n\n".join(parts)


def _is_own(model: type[Table], key: Key) -> bool:
    return key.tables[0] == model.of


def _about_table(model: type[Table]) -> tuple[str, str]:
    """The heading of a table, and what it is, from the first sentence of its docstring."""
    heading, _, purpose = (model.__doc__ or "").split("\n")[0].partition(": ")
    return heading, purpose[:1].upper() + purpose[1:]


def _repeated(model: type[Table]) -> str:
    """Which keys of other tables it takes."""
    found: dict[str, list[str]] = {}
    for key in model.rows.values():
        if not _is_own(model, key):
            found.setdefault(key.tables[0], []).append(f"`{key.name}`")
    texts = [
        f"the site values of {_about_table(TABLES[of])[0]}"
        if of == "pipe" and len(names) > 1
        else ", ".join(names)
        for of, names in found.items()
    ]
    return f" It also takes {', and '.join(texts)}." if texts else ""


def _meaning(key: Key) -> str:
    """What a key means, and the words it takes where only some are known."""
    words = ", ".join(f"`{word}`" for word in key.choices)
    return key.help + (f": {words}" if words else "")


def soils() -> str:
    """The soils and compactions that `soil_reaction_modulus` takes in words."""
    parts = []
    for name in ("Howard 1977", "Duncan & Hartley 1982"):
        about = published("soil_modulus")[name]
        known = dict.fromkeys(str(soil) for row in about.rows for soil in row[1])
        parts.append(f"{name} ({about.provenance}): " + ", ".join(f"`{soil}`" for soil in known))
    other = ", ".join(f"`{word}` for `{soil}`" for word, soil in EVERYDAY.items())
    return "\n\n".join([*parts, f"Other names taken: {other}."])


def usual_values(stated: bool = False) -> str:
    """The ranges outside which a number of an inventory, or a stated one, is told as unusual."""
    rows = (
        (f"`{key}`", f"{least:g}", f"{most:g}", unit)
        for key, (least, most, unit) in USUAL.items()
        if key.startswith("stated.") == stated
    )
    return table(("key", "least", "most", "unit"), rows)


def _default(key: Key) -> str:
    if key.required:
        return "**required**"
    if key.default in (None, {}, ()):
        return ""
    return f"`{str(key.default).lower() if isinstance(key.default, bool) else key.default}`"


def interface() -> str:
    """The public names, each with its signature, docstring and members."""
    parts = []
    for name in sorted(linerdesign.__all__, key=lambda each: (each[0].isupper(), each)):
        value = getattr(linerdesign, name)
        head = name if inspect.isclass(value) else name + _signature(value)
        about = inspect.getdoc(value).split("\n>>>")[0].strip()
        lines = "\n".join([head, "", about, *_members_of_class(value)])
        parts.append(f"### `{name}`\n\n```text\n{lines}\n```")
    return "\n\n".join(parts)


def _signature(function: Callable) -> str:
    """The signature, annotations without the quotes that postponed evaluation gives them."""
    return re.sub(r"(: |-> )'([^']*)'", r"\1\2", str(inspect.signature(function)))


def _members_of_class(value: object) -> list[str]:
    """Fields and properties of a result; the keys of a model stand in the guide."""
    if not inspect.isclass(value) or issubclass(value, Table):
        return []
    fields = [f"{f.name}: {f.type}" for f in getattr(value, "__dataclass_fields__", {}).values()]
    computed = [
        f"{name}: {inspect.getdoc(member)}".split("\n")[0]
        for name, member in vars(value).items()
        if isinstance(member, property | functools.cached_property) and name[0] != "_"
    ]
    parts = (("Fields", fields), ("Properties", computed))
    return [line for head, all_of in parts if all_of for line in ("", f"{head}:", *_in(all_of))]


def _in(lines: list[str]) -> list[str]:
    return [f"    {line}" for line in lines]


def functions() -> str:
    """The equations of the standard's appendix as calls, with the units of both systems."""
    rows = [
        (
            f"`{each.number}`",
            ", ".join(text for text in (each.system, each.edition) if text),
            ", ".join(_with_unit(key, each.system) for key in each.arguments),
            _with_unit(each.result, each.system),
            each.source,
        )
        for module in ("f1216.gravity", "f1216.pressure")
        for each in in_module(module)
    ]
    return table(("number", "form", "arguments", "gives", "source"), rows)


def _with_unit(key: str, system: str | None) -> str:
    units = dict.fromkeys(SYMBOLS[key].unit(s) for s in ([system] if system else SYSTEMS))
    shown = " or ".join(unit for unit in units if unit)
    return f"`{key}`" + (f" {shown}" if shown else "")


def glossary() -> str:
    """The symbol table."""
    rows = [
        (f"`{q.symbol}`", q.meaning, q.unit("US"), q.unit("SI"), f"`{q.name}`" if q.name else "")
        for q in SYMBOLS.values()
    ]
    return table(("symbol", "meaning", "US", "SI", "name in files and cells"), rows)


def commands() -> str:
    """The help text of every command."""
    os.environ["COLUMNS"] = "90"
    parts = []
    for name in command_line.available():
        parser = command_line.parser(name)
        choices = next(
            a for a in parser._actions if isinstance(a, argparse._SubParsersAction)
        ).choices
        parts.append(f"### {name}\n\n```text\n{choices[name].format_help()}```")
    return "\n\n".join(parts)


def schedule() -> str:
    """The schedule of a worked example, as the terminal prints it."""
    file = "worked_examples/mill_lane_sewers/project.toml"
    lines = _printed("size", file, columns=120).splitlines()
    begin = next(i for i, line in enumerate(lines) if line.startswith("Thickness by pipe"))
    end = next(i for i, line in enumerate(lines[begin:], begin) if not line.strip())
    return _block(lines[begin:end])


def step() -> str:
    """A few lines of the sheet of a worked example."""
    lines = _printed("size", "worked_examples/published_48_inch/project.toml").splitlines()
    begin = next(i for i, line in enumerate(lines) if "t_X1.3, required thickness" in line)
    return _block(lines[begin : begin + 4])


def _block(lines: list[str]) -> str:
    return "```text\n" + "\n".join(lines).rstrip() + "\n```"


def _printed(*words: str, columns: int = 100) -> str:
    os.environ["COLUMNS"] = str(columns)
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.chdir(ROOT):
        command_line.main(list(words))
    return out.getvalue()


PARTS: dict[str, Callable[[], str]] = {
    "equations": equations,
    "keys": keys,
    "soils": soils,
    "usual_values": usual_values,
    "usual_stated": functools.partial(usual_values, stated=True),
    "glossary": glossary,
    "interface": interface,
    "functions": functions,
    "commands": commands,
    "schedule": schedule,
    "step": step,
    "counts": verification_manual.counts,
    "checks": verification_manual.checks,
    "routes": verification_manual.routes,
    "tables": verification_manual.tables,
    "to_verify": verification_manual.to_verify,
    "standing": verification_manual.standing,
}


def built(text: str) -> str:
    """The page with every generated part made anew."""
    return PART.sub(lambda m: f"{m[1]}{PARTS[m[2]]()}\n{m[3]}", text)


def pages() -> list[Path]:
    """The pages that may hold generated parts."""
    return [path for pattern in PAGES for path in sorted(ROOT.glob(pattern))]


if __name__ == "__main__":
    for page in pages():
        old = page.read_text(encoding="utf-8")
        new = built(old)
        if new != old:
            page.write_text(new, encoding="utf-8")
            print(f"written: {page.relative_to(ROOT)}")
