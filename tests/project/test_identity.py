"""The fingerprint differs whenever anything differs that a printed number depends on."""

import json
import random
from dataclasses import fields, replace

import pytest
from projects import toml
from random_designs import random_design, written

from linerdesign.cli.main import main
from linerdesign.interface import read, size
from linerdesign.project.reading import parse

BASE = toml()


def fingerprint(tmp_path, text=BASE, owner=None, **options):
    file = tmp_path / "project.toml"
    file.write_text(text, encoding="utf-8")
    criteria = None
    if owner is not None:
        criteria = tmp_path / "owner.toml"
        criteria.write_text(owner, encoding="utf-8")
    return size(read(file, criteria), **options).identity.fingerprint


@pytest.mark.parametrize(
    "change",
    [
        {"pipe": {"host_diameter": "48.001 in"}},
        {"pipe": {"name": "Trunk B"}},
        {"pipe": {"origin": {"ovality": "assumed"}}},
        {"resin": {"flexural_modulus": "250001 psi"}},
        {"resin": {"evidence": "report"}},
        {"criteria": {"safety_factor": 2.5}},
        {"criteria": {"safety_factor": 2.0}},
        {"project": {"units": "SI"}},
    ],
)
def test_a_change_of_any_input_changes_it(tmp_path, change):
    assert fingerprint(tmp_path, toml(**change)) != fingerprint(tmp_path)


@pytest.mark.parametrize("seed", range(40))
def test_a_change_that_changes_a_number_changes_it(seed):
    """One quantity of a random project by a thousandth, or its units; a pipe above ground would
    need other keys."""
    chance = random.Random(seed)
    x = random_design(chance)
    values = {each.name: getattr(x, each.name) for each in fields(x) if each.name != "above_ground"}
    numbers = [key for key, each in values.items() if isinstance(each, int | float)]
    name = chance.choice([*numbers, *(key for key, each in values.items() if each in ("US", "SI"))])
    value = getattr(x, name)
    other = not value if isinstance(value, bool) else {"US": "SI", "SI": "US"}.get(value)
    changed = replace(x, **{name: value * 1.001 if other is None else other})
    one, two = (size(parse(written(random.Random(seed), each).encode())) for each in (x, changed))
    if _numbers(one) != _numbers(two):
        assert one.identity.fingerprint != two.identity.fingerprint, name
    again = size(parse(written(random.Random(seed), x).encode()))
    assert again.identity.fingerprint == one.identity.fingerprint


def _numbers(sizing):
    return [(step.symbol, step.value) for pipe in sizing.pipes for step in pipe.steps]


def test_the_second_opinion_beside_a_sheet_changes_it(run, tmp_path):
    pipe = {"condition": "partially deteriorated", "host_diameter": "8 in"}
    (tmp_path / "p.toml").write_text(toml(pipe), encoding="utf-8")
    found = set()
    for words in ((), ("--buckling",), ("--both-conditions",), ("--units", "SI")):
        _, out, _ = run("size", "p.toml", "--json", *words)
        found.add(json.loads(out)["fingerprint"])
    assert len(found) == 4


def test_options_and_the_owners_criteria_change_it(tmp_path):
    found = {
        fingerprint(tmp_path),
        fingerprint(tmp_path, units="SI"),
        fingerprint(tmp_path, both_conditions=True),
        fingerprint(tmp_path, owner="[criteria]\nsafety_factor = 2.0\n"),
        fingerprint(tmp_path, owner="[criteria]\nsafety_factor = 2.5\n"),
    }
    assert len(found) == 5


@pytest.mark.parametrize(
    "text",
    [
        "# a comment\n" + BASE.replace("\n", "\n\n"),
        BASE.replace('title = "Harrowmere trunk"', 'title = "Trunk sewer"'),
        toml(project={"date": "2026-11-27", "checked_by": "B. Checker"}),
    ],
)
def test_comments_blank_lines_and_the_title_block_do_not(tmp_path, text):
    assert fingerprint(tmp_path, text) == fingerprint(tmp_path)


def test_the_order_of_keys_and_the_folder_do_not(tmp_path):
    lines = BASE.splitlines()
    start = lines.index("[[pipe]]") + 1
    turned = [*lines[:start], *reversed([line for line in lines[start:] if line])]
    other = tmp_path / "elsewhere"
    other.mkdir()
    assert fingerprint(other, "\n".join(turned)) == fingerprint(tmp_path)


def test_the_data_name_every_file_and_the_program(tmp_path, capsys):
    (tmp_path / "owner.toml").write_text("[criteria]\nsafety_factor = 2.5\n", encoding="utf-8")
    file = tmp_path / "p.toml"
    file.write_text(toml(project={"criteria": "owner.toml"}), encoding="utf-8")
    assert main(["size", str(file), "--json"]) in (0, 1)
    data = json.loads(capsys.readouterr().out)
    assert [(each["role"], each["name"]) for each in data["files"]] == [
        ("project", "p.toml"),
        ("criteria", "owner.toml"),
    ]
    assert all(len(each["sha256"]) == 64 for each in data["files"])
    assert data["program"]["name"] == "linerdesign"
    assert data["project"]["title"] == "Harrowmere trunk"
