"""What the project rests on: exact versions for the tests, licences, known vulnerabilities.

    python docs/supply_chain.py lock        write .ci/constraints.txt from this environment
    python docs/supply_chain.py licences    write docs/licences.md from this environment
    python docs/supply_chain.py audit       ask the advisory database about .ci/constraints.txt

Run `lock` and `licences` where `pip install -e '.[dev]'` was run, after a change of
`pyproject.toml`. `audit` needs `pip install pip-audit` and a network.
"""

from __future__ import annotations

import importlib.util
import json
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
LOCK, LICENCES = ROOT / ".ci" / "constraints.txt", ROOT / "docs" / "licences.md"
RUNNING = "running"
# Longer texts are whole licences, not their names.
LONGEST = 60
HEAD = """\
# Licences of the dependencies

Written by `python docs/supply_chain.py licences` from the metadata of the installed packages, with
those that the dependencies need. "needed for" is running the program, an optional extra, or
development. Where the metadata name no licence, read the package's own files.

| package | licence | needed for |
|---|---|---|
"""


def direct() -> dict[str, list[Requirement]]:
    """The project's own requirements: for running, and for each extra."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = {RUNNING: project["dependencies"], **project.get("optional-dependencies", {})}
    read = {group: [Requirement(text) for text in texts] for group, texts in groups.items()}
    return {
        group: [each for each in wanted if canonicalize_name(each.name) != project["name"]]
        for group, wanted in read.items()
    }


def closure(wanted: list[Requirement], found: set[str]) -> Iterator[str]:
    """The packages that requirements lead to, each once, as far as they are installed here."""
    for each in wanted:
        name = canonicalize_name(each.name)
        try:
            needs = distribution(name).requires or []
        except PackageNotFoundError:
            continue
        if name not in found:
            found.add(name)
            yield name
        extras = each.extras or {""}
        following = [Requirement(text) for text in needs]
        yield from closure(
            [
                more
                for more in following
                if canonicalize_name(more.name) not in found
                and any(more.marker is None or more.marker.evaluate({"extra": e}) for e in extras)
            ],
            found,
        )


def packages() -> dict[str, str]:
    """Every package with what it is needed for, the first of running, the extras in turn."""
    found: set[str] = set()
    return {
        name: group for group, wanted in direct().items() for name in list(closure(wanted, found))
    }


def licence(name: str) -> str:
    """The licence by the metadata of a package."""
    about = distribution(name).metadata
    if expression := about.get("License-Expression"):
        return expression
    classes = [each for each in about.get_all("Classifier") or () if each.startswith("License")]
    if named := [each.split(" :: ")[-1] for each in classes if each.count("::") > 1]:
        return ", ".join(named)
    text = (about.get("License") or "").strip()
    first = text.split("\n", 1)[0]
    return first if 0 < len(first) <= LONGEST else "not named"


def lock() -> str:
    """The exact versions of this environment as constraints."""
    head = (
        "# Written by `python docs/supply_chain.py lock`: the versions that the tests run with.\n"
    )
    return head + "".join(f"{name}=={distribution(name).version}\n" for name in sorted(packages()))


def licences() -> str:
    """The page of licences."""
    every = sorted(packages().items())
    return HEAD + "".join(f"| {name} | {licence(name)} | {group} |\n" for name, group in every)


def audit() -> int:
    """Asks an advisory database about the locked versions, by pip-audit.

    0 where all were checked and none is vulnerable, 1 where one is, 2 where some were not checked.
    """
    if importlib.util.find_spec("pip_audit") is None:
        print("pip-audit is not installed; install it with: pip install pip-audit")
        return 2
    words = ("-m", "pip_audit", "--no-deps", "--disable-pip", "--progress-spinner=off", "-f=json")
    done = subprocess.run(
        [sys.executable, *words, "-r", str(LOCK)], capture_output=True, text=True, timeout=600
    )
    try:
        every = json.loads(done.stdout)["dependencies"]
    except (ValueError, KeyError):
        print("no answer from the advisory database; try again where it can be reached")
        return 2
    skipped = [each["name"] for each in every if "skip_reason" in each]
    found = [(each["name"], one["id"]) for each in every for one in each.get("vulns", ())]
    for name, advisory in found:
        print(f"{name}: {advisory}")
    print(f"checked: {len(every) - len(skipped)}; vulnerable: {len({name for name, _ in found})}")
    if skipped:
        print(f"not known to the database, not checked: {', '.join(skipped)}")
    return 1 if found else 2 if skipped else 0


def main(words: list[str]) -> int:
    """Runs one of the commands."""
    made = {"lock": (LOCK, lock), "licences": (LICENCES, licences)}
    if words == ["audit"]:
        return audit()
    if len(words) != 1 or words[0] not in made:
        print(__doc__)
        return 2
    path, text = made[words[0]]
    path.write_text(text(), encoding="utf-8")
    print(f"written: {path.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
