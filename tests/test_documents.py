"""What the documents say is what the program does: generated parts, stored sheets, commands."""

import doctest
import importlib.util
import re
import shlex
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def _module(path):
    spec = importlib.util.spec_from_file_location(f"documents_{path.parent.name}", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


DOCS = _module(ROOT / "docs" / "build.py")
EXAMPLES = _module(ROOT / "worked_examples" / "build.py")


@pytest.mark.parametrize("page", DOCS.pages(), ids=lambda page: str(page.relative_to(ROOT)))
def test_generated_parts_are_fresh(page):
    """Stale? Run `python docs/build.py`."""
    text = page.read_text(encoding="utf-8")
    assert DOCS.built(text) == text


@pytest.mark.parametrize(("folder", "name", "words"), EXAMPLES.SHEETS)
def test_stored_sheets_are_fresh(folder, name, words):
    """Stale? Run `python worked_examples/build.py`."""
    stored = (ROOT / "worked_examples" / folder / name).read_text(encoding="utf-8")
    assert EXAMPLES.printed(folder, words) == stored


@pytest.mark.parametrize(("folder", "name", "script"), EXAMPLES.PROGRAMS)
def test_what_programs_print_is_fresh(folder, name, script):
    """Stale? Run `python worked_examples/build.py`."""
    stored = (ROOT / "worked_examples" / folder / name).read_text(encoding="utf-8")
    assert EXAMPLES.ran(folder, script) == stored


def test_the_examples_of_the_interface_run():
    found = doctest.testfile(str(ROOT / "docs" / "interface.md"), module_relative=False)
    assert found.attempted > 20
    assert not found.failed


def test_the_gate_calls_the_test_command_of_the_readme():
    commands = re.findall(
        r"```sh\n(.*?)\n```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL
    )
    gate = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert any("pytest" in command and command in gate for command in commands)


def test_the_sheet_command_of_the_readme_runs(run, monkeypatch):
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    command = re.search(r"bin/linerdesign (size .*)", text)[1]
    code, out, _ = run(*[ROOT / w if "/" in w else w for w in shlex.split(command)])
    assert code == 1  # its last pipe is outside the method on purpose
    assert "MH 5 to MH 6" in out


def _commands(page):
    text = page.read_text(encoding="utf-8")
    for block in re.findall(r"```sh\n(.*?)```", text, re.DOTALL):
        yield from (line for line in block.splitlines() if line.startswith("linerdesign "))


@pytest.mark.parametrize("page", ["tours.md", "user_guide.md", "limits.md", "verification.md"])
def test_commands_of_the_pages_run(run, tmp_path, page):
    """Run in an empty folder, one after the other; none may meet bad input or a fault of ours."""
    (tmp_path / "worked_examples").symlink_to(ROOT / "worked_examples")
    for command in _commands(ROOT / "docs" / page):
        code, out, err = run(*shlex.split(command)[1:])
        assert code in (0, 1), f"{command}: {err}"
        assert out or err


def test_links_lead_somewhere():
    for page in [*ROOT.glob("*.md"), *ROOT.glob("docs/*.md"), *ROOT.glob("worked_examples/*/*.md")]:
        for target in re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8")):
            if "://" not in target:
                assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_every_example_folder_has_its_page():
    for project in ROOT.glob("worked_examples/*/project.toml"):
        assert (project.parent / "README.md").exists()
