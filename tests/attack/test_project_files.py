"""Hostile project files: bytes, structure and values at random, and sizes beyond reason.

Whatever comes in, the command ends with 0, 1 or 2, without traceback, NaN or infinity, and writes
nothing where it ends with 2.
"""

import json
import tomllib
from pathlib import Path

import pytest
from hostile import assert_safe, positive, quantities, values
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from projects import toml

from linerdesign.cli.main import main

GOOD = toml()
KEYS = sorted(tomllib.loads(GOOD)["pipe"][0])
SETTINGS = settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])


def _assert_safe(capsys, data, *words):
    """The command's contract, whatever the bytes."""
    Path("p.toml").write_bytes(data)
    code, out, _ = assert_safe(capsys, "size", "p.toml", *words)
    if code != 2:
        for pipe in json.loads(out)["pipes"]:
            assert pipe["required_thickness"]["value"] > 0
    return code


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


@SETTINGS
@given(st.sampled_from(KEYS), values)
def test_one_value_at_random(capsys, key, value):
    lines = [f"{key} = {value}" if li.startswith(f"{key} = ") else li for li in GOOD.splitlines()]
    _assert_safe(capsys, "\n".join(lines).encode("utf-8", "surrogatepass"))


@SETTINGS
@given(st.fixed_dictionaries({key: quantities for key in KEYS if key not in ("name", "condition")}))
def test_all_values_at_random(capsys, chosen):
    _assert_safe(capsys, toml(pipe=chosen).encode())


@SETTINGS
@given(positive, positive, positive, positive, positive, st.floats(0, 99).map(repr))
def test_extremes_of_possible_values(capsys, diameter, cover, water, modulus, load, ovality):
    pipe = {
        "host_diameter": f"{diameter} in",
        "cover": f"{cover} ft",
        "groundwater_above_invert": f"{water} ft",
        "soil_reaction_modulus": f"{modulus} psi",
        "live_load": f"{load} psi",
        "ovality": f"{ovality} %",
    }
    _assert_safe(capsys, toml(pipe=pipe).encode())


@SETTINGS
@given(st.lists(st.tuples(st.integers(0, len(GOOD) - 1), st.integers(0, 255)), max_size=6))
def test_bytes_at_random(capsys, changes):
    data = bytearray(GOOD.encode())
    for place, value in changes:
        data[place] = value
    _assert_safe(capsys, bytes(data))


@SETTINGS
@given(st.integers(0, len(GOOD)), st.integers(0, len(GOOD)))
def test_a_part_cut_out(capsys, first, second):
    begin, end = sorted((first, second))
    _assert_safe(capsys, (GOOD[:begin] + GOOD[end:]).encode())


structures = st.recursive(
    st.one_of(st.booleans(), st.integers(-5, 5), st.text(max_size=5), quantities),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.sampled_from(KEYS), inner, max_size=3)
    ),
    max_leaves=8,
)


def _inline(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_inline(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_inline(each) for each in value) + "]"
    return json.dumps(value)


@SETTINGS
@given(st.sampled_from(["project", "criteria", "resin", "pipe"]), structures)
def test_a_table_of_another_shape(capsys, table, value):
    text = f"{table} = {_inline(value)}\n"
    others = GOOD.split("\n\n")
    kept = [part for part in others if f"[{table}]" not in part]
    _assert_safe(capsys, (text + "\n\n".join(kept)).encode("utf-8", "surrogatepass"))


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"#" * 100_000_000, "more than 20 MB"),
        (b'x = "' + b"9" * 100_000 + b'"', "unknown table x"),
        (b"x = " + b"[" * 10_000, "beyond reason"),
        (b"x = " + b"{a=" * 10_000, "beyond reason"),
        (b".".join([b"a"] * 10_000) + b" = 1", "beyond reason"),
        (GOOD.replace("48 in", "4" * 100_000 + " in").encode(), "host_diameter"),
        ((GOOD + "[[pipe]]\n" * 1_000_000).encode(), "at most"),
    ],
    ids=["100 MB", "long text", "deep list", "deep table", "long key", "long number", "1e6 pipes"],
)
def test_sizes_beyond_reason(capsys, data, said):
    Path("p.toml").write_bytes(data)
    assert main(["size", "p.toml", "--json", "-o", "p.json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert len(err) < 100_000
    assert not Path("p.json").exists()


def test_a_file_that_is_no_file(capsys):
    for path in ("/dev/zero", "/dev/null", "."):
        assert main(["size", path]) == 2
        assert Path(path).name in capsys.readouterr().err
