"""Broken project files: every fault named with its place, nothing computed, exit code 2."""

import os

import pytest
from projects import toml

GOOD = toml()


def _changed(old, new):
    assert old in GOOD
    return GOOD.replace(old, new)


# What is wrong: the file, and what the message must hold (fault, value, place).
BROKEN = {
    "bare number": (
        _changed('"48 in"', "48"),
        ["host_diameter 48: must be a length, in quotes", '"8 in"', '[[pipe]] "Trunk", line 15'],
    ),
    "number without unit": (_changed('"48 in"', '"48"'), ['host_diameter "48": no unit']),
    "wrong unit": (
        _changed('"48 in"', '"48 psi"'),
        ["host_diameter", '"48 psi"', "unit of length"],
    ),
    "unknown unit": (_changed('"48 in"', '"48 cubits"'), ["host_diameter", "known unit"]),
    "two units": (_changed('"48 in"', '"48 in in"'), ["host_diameter", "unit of length"]),
    "decimal comma": (
        _changed('"48 in"', '"48,5 in"'),
        ["host_diameter", "comma", "a decimal point"],
    ),
    "nan text": (_changed('"48 in"', '"nan in"'), ["host_diameter", "not a number with a unit"]),
    "inf text": (_changed('"48 in"', '"inf in"'), ["host_diameter", "not a number with a unit"]),
    "overflow": (_changed('"48 in"', '"1e999 in"'), ["host_diameter", "possible value"]),
    "negative": (_changed('"48 in"', '"-48 in"'), ["host_diameter", "greater than zero"]),
    "zero": (_changed('"48 in"', '"0 in"'), ["host_diameter", "greater than zero"]),
    "empty text": (_changed('"48 in"', '""'), ["host_diameter", "a length"]),
    "a list": (_changed('"48 in"', '["48 in"]'), ["host_diameter", "in quotes with its unit"]),
    "a boolean": (_changed('"48 in"', "true"), ["host_diameter true: must be a length"]),
    "code in a unit": (_changed('"48 in"', '"48 __import__(1)"'), ["host_diameter", "known unit"]),
    "percent without sign": (_changed('"2 %"', '"2"'), ["ovality", '"3 %"']),
    "percent as number": (_changed('"2 %"', "2"), ["ovality", "in percent"]),
    "percent as fraction": (_changed('"2 %"', '"0.02 in"'), ["ovality", "in percent"]),
    "ovality of 100": (_changed('"2 %"', '"100 %"'), ["ovality", "under 100"]),
    "missing diameter": (_changed('host_diameter = "48 in"', ""), ["exactly one of host_diameter"]),
    "missing condition": (
        _changed('condition = "fully deteriorated"', ""),
        ["condition", "required", "never inferred"],
    ),
    "wrong condition": (
        _changed('"fully deteriorated"', '"bad"'),
        ["condition", '"bad"', '"partially deteriorated" or "fully deteriorated"'],
    ),
    "missing ovality": (_changed('ovality = "2 %"', ""), ["ovality", "true circle"]),
    "missing cover": (_changed('cover = "16 ft"', ""), ["one of cover, invert_depth"]),
    "no cover": (_changed('"16 ft"', '"0 ft"'), ["cover", "greater than zero"]),
    "missing soil weight": (
        _changed('soil_unit_weight = "120 pcf"', ""),
        ["soil_unit_weight", "fully deteriorated"],
    ),
    "missing live load": (
        _changed('live_load = "0.35 psi"', ""),
        ["missing required key live_load in"],
    ),
    "missing water": (
        _changed('groundwater_above_invert = "12 ft"', ""),
        ["exactly one of groundwater, groundwater_above_invert"],
    ),
    "two waters": (
        _changed('cover = "16 ft"', 'cover = "16 ft"\ngroundwater_above_crown = "8 ft"'),
        ["groundwater_above_invert and groundwater_above_crown given together"],
    ),
    "two covers": (
        _changed('cover = "16 ft"', 'cover = "16 ft"\ninvert_depth = "20 ft"'),
        ["cover and invert_depth given together"],
    ),
    "elevation alone": (
        _changed('groundwater_above_invert = "12 ft"', 'groundwater_elevation = "112 ft"'),
        ["invert_elevation", "beside groundwater_elevation"],
    ),
    "misspelled key": (
        _changed("host_diameter", "host_diamter"),
        ["unknown key host_diamter; did you mean host_diameter?", "line 15"],
    ),
    "unknown key": (_changed("ovality", "zzz"), ["unknown key zzz; known: name, resin"]),
    "unknown table": (GOOD + "\n[resins]\nx = 1\n", ["unknown table resins; did you mean resin?"]),
    "unknown resin": (
        _changed('name = "Trunk"', 'name = "Trunk"\nresin = "Felt Z"'),
        ["resin", '"Felt Z"', '"Felt A"'],
    ),
    "two pipes of a name": (
        GOOD + GOOD[GOOD.index("[[pipe]]") :],
        ['duplicate pipe name "Trunk" (pipes 1, 2); rename one'],
    ),
    "no resin": (
        GOOD[: GOOD.index("[[resin]]")] + GOOD[GOOD.index("[[pipe]]") :],
        ["missing table [[resin]]"],
    ),
    "no pipe": (GOOD[: GOOD.index("[[pipe]]")], ["missing table [[pipe]]"]),
    "no title": (
        _changed('title = "Harrowmere trunk"', ""),
        ["missing required key title in [project] (line 1)"],
    ),
    "pipe not a list": ("pipe = 3\n" + GOOD[: GOOD.index("[[pipe]]")], ["[[pipe]]"]),
    "retention over 100": (
        _changed('"4500 psi"', '"4500 psi"\nmodulus_retention = "120 %"'),
        ["modulus_retention", "at most 100 %"],
    ),
    "retention of zero": (
        _changed('"4500 psi"', '"4500 psi"\nmodulus_retention = "0 %"'),
        ["modulus_retention", "over 0"],
    ),
    "step and list": (
        _changed('"4500 psi"', '"4500 psi"\nthickness_step = "1 mm"\nthicknesses = ["3 mm"]'),
        ["thickness_step and thicknesses given together"],
    ),
    "factor in quotes": (
        _changed("[criteria]", '[criteria]\nsafety_factor = "2"'),
        ['safety_factor "2": must be a number without quotes', "[criteria], line 5"],
    ),
    "factor not a number": (
        _changed("[criteria]", "[criteria]\nsafety_factor = nan"),
        ["safety_factor", "possible value"],
    ),
    "factor infinite": (
        _changed("[criteria]", "[criteria]\nenhancement_factor = inf"),
        ["enhancement_factor", "possible value"],
    ),
    "poisson of a half": (
        _changed("[criteria]", "[criteria]\npoisson_ratio = 0.5"),
        ["poisson_ratio", "under 0.5"],
    ),
    "unknown edition": (
        _changed("[criteria]", '[criteria]\nedition = "F1216-99"'),
        ["edition", '"F1216-99"', '"F1216-07b"'],
    ),
    "maximum under mean": (
        _changed('ovality = "2 %"', 'maximum_diameter = "47 in"'),
        ["maximum_diameter 47 in: smaller than the host (48 in)"],
    ),
    "ovality and diameters": (
        _changed('ovality = "2 %"', 'ovality = "2 %"\nmaximum_diameter = "49 in"'),
        ["ovality and maximum_diameter given together"],
    ),
    "wall thicker than the pipe": (
        _changed('cover = "16 ft"', 'cover = "16 ft"\ndesign_thickness = "24 in"'),
        ["design_thickness 24 in: no bore left in the host (48 in)"],
    ),
    "invert above ground": (
        _changed('cover = "16 ft"', 'invert_depth = "3 ft"'),
        ["invert_depth 3 ft", "no cover left"],
    ),
    "unknown origin": (
        _changed('cover = "16 ft"', 'cover = "16 ft"\norigin = { cover = "guessed" }'),
        ["origin", "guessed", "measured"],
    ),
    "station without a place": (
        GOOD + '\n[[pipe.station]]\ncover = "6 ft"\n',
        ["station 1", "at", "required"],
    ),
    "stations of two datums": (
        GOOD
        + '\n[[pipe.station]]\nat = "0 ft"\ngroundwater_above_crown = "1 ft"\n'
        + '[[pipe.station]]\nat = "9 ft"\n',
        ["stations differ in datums"],
    ),
    "not TOML": ("[project\n", ["not valid TOML: p.toml"]),
    "empty": ("", ["empty file: p.toml"]),
    "only a comment": ("# nothing\n", ["empty file: p.toml"]),
    "deep key": (".".join(["a"] * 50_000) + " = 1", ["beyond reason"]),
    "deep key of a pipe": (f"[[pipe]]\n{'.'.join(['a'] * 2_000)} = 1", ["beyond reason"]),
    "deep key in quotes": (".".join(['"a"'] * 1_000) + " = 1", ["beyond reason"]),
    "deep nesting": ("x = " + "[" * 10_000 + "]" * 10_000, ["beyond reason"]),
    "a huge number": ("x = " + "9" * 100_000, ["beyond reason"]),
}


@pytest.mark.parametrize("name", BROKEN)
def test_broken_file(run, tmp_path, name):
    text, expected = BROKEN[name]
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("size", "p.toml", "-o", "p.json")
    assert code == 2, err
    assert out == ""
    assert "Traceback" not in err
    assert not (tmp_path / "p.json").exists()
    for part in expected:
        assert part in err


def test_a_misspelt_table_is_not_called_missing(run, tmp_path):
    (tmp_path / "p.toml").write_text(_changed("[project]", "[projct]"), encoding="utf-8")
    _, _, err = run("size", "p.toml")
    assert err.splitlines()[0] == "unknown table projct; did you mean project? (line 1)"
    assert err.splitlines()[1] == "linerdesign: 1 fault; nothing written"


@pytest.mark.parametrize(
    ("key", "misspelt"),
    [
        ("cover", "covr"),
        ("flexural_modulus", "flexural_modulis"),
        ("condition", "conditon"),
        ("soil_unit_weight", "soil_unit_wight"),
    ],
)
def test_a_misspelt_key_is_one_fault_and_the_key_it_was_meant_as_is_not_missing(
    run, tmp_path, key, misspelt
):
    """Left out altogether, the same key is missing; beside the right one, nothing is left away."""
    for text, said in (
        (
            _changed(f"\n{key} =", f"\n{misspelt} ="),
            [f"unknown key {misspelt}; did you mean {key}?"],
        ),
        (_changed(f"\n{key} =", "\n# ="), ["missing"]),
    ):
        (tmp_path / "p.toml").write_text(text, encoding="utf-8")
        _, _, err = run("size", "p.toml")
        *faults, last = err.splitlines()
        assert [fault.startswith(start) for fault, start in zip(faults, said, strict=True)] == [
            True
        ]
        assert last == "linerdesign: 1 fault; nothing written"


def test_all_faults_are_listed_at_once(run, tmp_path):
    text = _changed('"48 in"', "48").replace('"2 %"', '"2"').replace("cover", "covr")
    (tmp_path / "p.toml").write_text(text.replace('"250000 psi"', '"250000"'), encoding="utf-8")
    code, _, err = run("size", "p.toml")
    assert code == 2
    for part in ("host_diameter", "ovality", "covr", "flexural_modulus"):
        assert part in err


@pytest.mark.parametrize("data", [b"\x00\xff\xfe\x80" * 50, b"\xef\xbb\xbf"])
def test_binary_file(run, tmp_path, data):
    (tmp_path / "p.toml").write_bytes(data)
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert "p.toml" in err
    assert "expected" not in err


def test_a_folder(run, tmp_path):
    code, out, err = run("size", tmp_path)
    assert (code, out) == (2, "")
    assert "is a directory" in err


def test_a_file_that_is_not_there(run):
    code, out, err = run("size", "none.toml")
    assert (code, out) == (2, "")
    assert err.startswith("file not found: none.toml\n")


@pytest.mark.parametrize(
    "words", [("{}",), ("p.toml", "-o", "{}.json"), ("p.toml", "--criteria", "{}")]
)
def test_a_name_that_the_system_can_not_have(run, tmp_path, words):
    (tmp_path / "p.toml").write_text(GOOD)
    code, out, err = run("size", *(word.format("x" * 300) for word in words))
    assert (code, out) == (2, "")
    assert "file name too long" in err


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read every file")
def test_no_permission(run, tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(GOOD)
    path.chmod(0)
    code, _, err = run("size", path)
    assert code == 2
    assert "permission denied" in err


def test_no_permission_as_any_user(run, tmp_path, monkeypatch):
    """The same by a refusal of the system, for test runs as root."""
    (tmp_path / "p.toml").write_text(GOOD)

    def refuse(*_arguments, **_named):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", refuse)
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert "permission denied" in err


def test_faults_between_values_are_listed_with_the_others(run, tmp_path):
    """A misspelt origin and a bare number hide neither a vacuum nor a hole that can't be."""
    pipe = {"internal_pressure": "60 psi", "hole_diameter": "50 in", "vacuum": "30 psi"}
    text = toml(pipe=pipe).replace('"250000 psi"', '"250000"')
    text = text.replace('cover = "16 ft"', 'cover = "16 ft"\norigin = { cover = "guessed" }')
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, _, err = run("size", "p.toml")
    assert code == 2
    for part in (
        "flexural_modulus",
        "guessed",
        "hole_diameter 50 in: not smaller than the host (48 in)",
        "one atmosphere",
    ):
        assert part in err


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1,724 MPa", ['ambiguous comma; write "1724 MPa" or "1.724 MPa"']),
        ("250,5 psi", ["use a decimal point"]),
        ("0,250 MPa", ["use a decimal point"]),
    ],
)
def test_a_comma_in_a_number(run, tmp_path, text, words):
    (tmp_path / "p.toml").write_text(toml(resin={"flexural_modulus": text}))
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert all(each in err for each in words)


@pytest.mark.parametrize(
    ("load", "names"),
    [
        ("HL93", '"HL-93"'),
        ("hl-93", '"HL-93"'),
        ("H20", '"H-20 table"'),
        ("E80", '"E-80 table" or "E-80 Boussinesq"'),
        ("1.75H", '"1.75 H rule"'),
        ("None", '"none"'),
        ("aeroport table", '"airport table"'),
    ],
)
def test_a_method_nearly_named(run, tmp_path, load, names):
    (tmp_path / "p.toml").write_text(toml({"live_load": load}))
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert f"unknown live load; did you mean {names}? (" in err


@pytest.mark.parametrize("load", ["lots", "Lorry 40 t"])
def test_words_near_no_method_are_told_them_all(run, tmp_path, load):
    (tmp_path / "p.toml").write_text(toml({"live_load": load}))
    _, _, err = run("size", "p.toml")
    assert 'unknown live load; use "HL-93", "H-20 table"' in err


def test_other_shapes_are_not_covered_by_the_code(run, tmp_path):
    at = [{"at": "0 ft", "width": "24 in"}]
    pipe = {"shape": "egg", "width": "24 in", "height": "36 in", "station": at}
    (tmp_path / "p.toml").write_text(toml(pipe))
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert "shape and host_diameter given together" in err
    last = len(toml(pipe).rstrip().splitlines())
    width = next(line for line in err.splitlines() if line.startswith("unknown key width"))
    assert width.endswith(f'(station "0 ft" of [[pipe]] "Trunk", line {last})')
    alone = {"shape": "egg", "width": "24 in", "height": "36 in"}
    (tmp_path / "p.toml").write_text(toml(alone, drop=("host_diameter",)))
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert "Appendix X1 does not cover this host" in err


@pytest.mark.parametrize(
    ("pipe", "said"),
    [
        ({"shape": "egg", "width": "24 in"}, "missing required key height"),
        (
            {"shape": "box", "width": "24 in", "height": "2 ft"},
            "missing required key corner_radius",
        ),
        ({"width": "24 in", "host_diameter": "24 in"}, "no effect without shape"),
        ({"shape": "pear", "width": "24 in", "height": "2 ft"}, "egg"),
        ({"shape": "egg", "outline": "p.csv", "width": "2 ft", "height": "3 ft"}, "given together"),
        ({"host_diameter": "24 in", "hole_position": "9 deg"}, "no effect without hole_arc"),
        ({"host_diameter": "24 in", "grout": [{"height": "1 ft"}]}, "missing required key density"),
    ],
)
def test_keys_of_a_shape_go_together(run, tmp_path, pipe, said):
    (tmp_path / "p.toml").write_text(toml(pipe, drop=("host_diameter",)))
    code, out, err = run("buckling", "p.toml")
    assert (code, out) == (2, "")
    assert said in err


def test_tables_of_one_name_are_told_apart_by_number(run, tmp_path):
    first, second = toml(), toml({"ovality": "2"}).partition("[[pipe]]")[2]
    third = toml({"hole_diameter": "99 in"}, drop=("cover",)).partition("[[pipe]]")[2]
    (tmp_path / "p.toml").write_text(f"{first}\n[[pipe]]{second}\n[[pipe]]{third}")
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert 'duplicate pipe name "Trunk" (pipes 1, 2, 3); rename one' in err
    assert 'ovality "2": no unit' in err
    written = (tmp_path / "p.toml").read_text().splitlines()
    line = written.index('ovality = "2"') + 1
    assert f'([[pipe]] number 2, "Trunk", line {line})' in err
    third = [number for number, text in enumerate(written, 1) if text == "[[pipe]]"][2]
    assert f'missing key in [[pipe]] number 3, "Trunk" (line {third}): give exactly one of' in err
    assert "hole_diameter 99 in: not smaller" in err
    assert '[[pipe]] "Trunk"' not in err
