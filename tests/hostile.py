"""Values and bytes that mean no good, and the contract that every command keeps with them."""

import json
from pathlib import Path

from hypothesis import strategies as st

from linerdesign.cli.main import main

numbers = st.one_of(
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.sampled_from(["0", "-1", "1e-300", "1e300", "1e15", "1e-15", "007", "1_000", "0x10", "٣"]),
)
units = st.sampled_from(
    ["in", "ft", "mm", "m", "psi", "MPa", "pcf", "%", "", "kN/m3", "ft of water"]
)
quantities = st.builds(lambda number, unit: f"{number} {unit}", numbers, units)
values = st.one_of(
    quantities.map(json.dumps),
    st.text(max_size=30).map(lambda t: json.dumps(t, ensure_ascii=True)),
    st.sampled_from(["true", "[]", "{}", "1", "nan", "-inf", "2026-11-25", '[["8 in"]]', '"none"']),
)
positive = st.floats(1e-6, 1e6).map(repr)


def mangled(data):
    """The bytes with some changed, a part cut out, or a part repeated."""
    place = st.integers(0, len(data))

    def changed(changes):
        made = bytearray(data)
        for at, value in changes:
            made[at] = value
        return bytes(made)

    return st.one_of(
        st.lists(st.tuples(st.integers(0, len(data) - 1), st.integers(0, 255)), max_size=6).map(
            changed
        ),
        st.builds(lambda a, b: data[: min(a, b)] + data[max(a, b) :], place, place),
        st.builds(lambda a, b: data[: max(a, b)] + data[min(a, b) :], place, place),
        st.binary(max_size=200),
    )


def assert_safe(capsys, *words, target="out.json"):
    """Runs a command into a target: 0, 1 or 2, no traceback, no NaN, nothing written on 2."""
    Path(target).unlink(missing_ok=True)
    before = {path: path.read_bytes() for path in Path().rglob("*") if path.is_file()}
    code = main([*words, "--json", "-o", target])
    out, err = capsys.readouterr()
    assert code in (0, 1, 2), err
    assert "Traceback" not in err
    written = Path(target).read_text("utf-8") if Path(target).exists() else ""
    if code == 2:
        assert out == ""
        assert "nothing written" in err
        assert "expected" not in err
        assert {path: path.read_bytes() for path in Path().rglob("*") if path.is_file()} == before
    else:
        json.loads(out, parse_constant=_no_number)
        assert written
    return code, out, written


def _no_number(word):
    raise AssertionError(f"{word} in the JSON")
