"""The summary shows all that is said of rows, by column too, and the change since last year."""

import json

import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD


@pytest.fixture
def batch(run, tmp_path):
    (tmp_path / "project.toml").write_text(PROJECT)

    def call(rows, *more, source="in.csv", target="out.csv"):
        if rows is not None:
            schema = dict.fromkeys(rows[0], pl.String)
            pl.DataFrame(rows, schema=schema).write_csv(tmp_path / source)
        words = ("batch", source, "--project", "project.toml", "-o", target, "--force", *more)
        _, text, _ = run(*words)
        code, out, err = run(*words, "--json")
        return code, json.loads(out) if out else None, text, err

    return call


def found(data, kind):
    return {
        each["text"]: (each["rows"], each["examples"])
        for each in data["findings"]
        if each["kind"] == kind
    }


def town(count=60):
    """Rows of a small town, each with a name; diameters and covers as a town has them."""
    return [
        GOOD
        | {
            "name": f"MH {i}",
            "host_diameter [in]": str((8, 8, 8, 10, 12, 15)[i % 6]),
            "cover [ft]": str(7 + i % 11),
            "zone": "North" if i < 40 else "South",
            "length [ft]": str(200 + i),
        }
        for i in range(count)
    ]


def test_a_diameter_in_millimetres_under_a_header_of_inches_is_found(batch):
    rows = town()
    rows[17]["host_diameter [in]"] = "300"
    code, data, text, _ = batch(rows)
    assert code in (0, 1)
    outliers = found(data, "outlier")
    assert outliers["host_diameter [in] outside the usual range, 2.95 to 157 in"] == (1, [18])
    assert outliers["nominal thickness over 60 mm: check the inputs"] == (1, [18])
    assert any("host_diameter [in] over" in each and "far above" in each for each in outliers)
    assert "outside the usual range" in text
    table = pl.read_csv("out.csv")
    assert "outside the usual range" in table["message"][17]
    assert table["message"].null_count() == 59


def test_values_far_from_the_rest_by_tukeys_fences(batch):
    """Fences by hand on the logarithms: quartiles of the bulk and three times their distance.

    Covers 7 to 17 ft, quartiles about 9 and 15: ln(15/9) = 0.51, fence 15 exp(1.53) = 69 ft.
    """
    rows = town()
    rows[5]["cover [ft]"], rows[6]["cover [ft]"] = "75", "62"
    _, data, _, _ = batch(rows)
    far = {k: v for k, v in found(data, "outlier").items() if "cover [ft] over" in k}
    ((text, (count, examples)),) = far.items()
    assert (count, examples) == (1, [6])
    fence = float(text.split(" over ")[1].split(",")[0])
    assert 60 < fence < 75


def test_a_few_rows_have_no_distribution(batch):
    rows = town(20)
    rows[5]["cover [ft]"] = "75"
    _, data, _, _ = batch(rows)
    assert not [text for text in found(data, "outlier") if "far above" in text]


def test_cautions_errors_failures_and_duplicates_with_example_rows(batch):
    rows = town()
    for i in (3, 9, 30, 31, 32):
        rows[i]["groundwater_above_invert [ft]"] = "40"
    for i in (4, 44):
        rows[i]["condition"] = "?"
    rows[50]["name"] = "MH 2"
    rows = [row | {"design_thickness [mm]": None} for row in rows]
    rows[7]["design_thickness [mm]"] = "2"
    code, data, text, _ = batch(rows)
    assert code == 1
    cautions = found(data, "caution")
    above_grade = next(k for k in cautions if "above grade" in k and "Rw" not in k)
    assert cautions[above_grade] == (5, [4, 10, 31])
    (error,) = found(data, "error").values()
    assert error == (2, [5, 45])
    assert sum(data["errors"].values()) == 2
    assert found(data, "failure") == {"thickness does not meet all checks": (1, [8])}
    assert found(data, "duplicate") == {"name used by several rows": (2, [3, 51])}
    joined = " ".join(text.split())
    for words in (above_grade, "4, 10, 31", "name used by several rows", "3, 51"):
        assert words in joined


def test_every_message_of_a_row_is_counted_in_the_summary(batch):
    """The findings against the messages of the table itself, row by row."""
    rows = town()
    rows[2]["host_diameter [in]"] = "300"
    rows[3]["groundwater_above_invert [ft]"] = "40"
    rows[4]["cover [ft]"] = "x"
    _, data, _, _ = batch(rows)
    messages = [m for m in pl.read_csv("out.csv")["message"] if m]
    told = sum(len(m.split("; ")) for m in messages if "column" not in m)
    beside = [
        e
        for e in data["findings"]
        if e["kind"] in ("caution", "outlier", "outside the method") and "far " not in e["text"]
    ]
    assert sum(each["rows"] for each in beside) == told


@pytest.mark.parametrize("column", ["zone", "host_diameter", "host_diameter [in]", "resin"])
def test_totals_by_a_column(batch, column):
    rows = town()
    rows[45]["condition"] = "?"
    rows[46]["groundwater_above_invert [ft]"] = "40"
    _, data, text, _ = batch(rows, "--by", column)
    header = "host_diameter [in]" if column == "host_diameter" else column
    out = pl.read_csv("out.csv", infer_schema=False)
    parts = {each["value"]: each for each in data["by"][header]}
    for (value,), group in out.group_by(header):
        part = parts[value or ""]
        assert part["statuses"] == dict(group["status"].value_counts().iter_rows())
        good = group.filter(pl.col("status") != "error")
        metres = good["length [ft]"].cast(pl.Float64).sum() * 0.3048
        assert part["length"]["value"] == pytest.approx(metres, rel=1e-12)
        said = group["message"].str.contains("above grade").sum()
        assert part["findings"].get("caution", 0) == said
    assert f"By {header}" in text


def test_by_a_column_that_is_not_there(batch):
    code, data, _, err = batch(town(5), "--by", "district")
    assert (code, data) == (2, None)
    assert '"district": no such column; the table has "name"' in err


def test_the_result_is_read_again_and_gives_the_same(batch):
    rows = town()
    _, first, _, _ = batch(rows)
    again = pl.read_csv("out.csv", infer_schema=False)
    _, second, _, err = batch(None, source="out.csv", target="again.csv")
    assert pl.read_csv("again.csv", infer_schema=False).equals(again)
    assert "columns of an earlier result replaced" in err
    assert second["sizes"] == first["sizes"]


def test_part_of_a_result_is_no_result(batch):
    code, _, _, err = batch([row | {"status": "open"} for row in town(5)])
    assert (code, "column of the result" in err) == (2, True)


def test_against_last_years_result(batch):
    old = town()
    old[59]["name"], old[58]["name"] = "gone", "MH 57"
    batch(old, target="old.csv")
    new = town()
    for i in (3, 8):
        new[i]["groundwater_above_invert [ft]"] = "14"
        new[i]["cover [ft]"] = "19"
    new[5]["soil_reaction_modulus [psi]"] = "3000"
    new[6]["condition"] = "?"
    _, data, text, _ = batch(new, "--against", "old.csv")
    found = data["against"]
    before, after = (
        dict(pl.read_csv(name).select("name", "nominal_thickness [mm]").iter_rows())
        for name in ("old.csv", "out.csv")
    )
    once = [name for name in after if name in before and name not in ("MH 57", "MH 6")]
    thicker = [name for name in once if after[name] > before[name]]
    assert {"MH 3", "MH 8"} <= set(thicker)
    assert found["thicker"] == {"pipes": len(thicker), "examples": thicker[:3]}
    assert found["thinner"]["pipes"] == sum(after[name] < before[name] for name in once)
    assert found["same"]["pipes"] == sum(after[name] == before[name] for name in once)
    assert found["status"] == {"pipes": 1, "examples": ["MH 6"]}
    assert found["new"] == {"pipes": 2, "examples": ["MH 58", "MH 59"]}
    assert found["gone"] == {"pipes": 1, "examples": ["gone"]}
    assert found["repeated"] == {"pipes": 1, "examples": ["MH 57"]}
    assert "Compared with old.csv, by name" in text
    assert (
        sum(each["pipes"] for each in found["thicknesses"])
        == len(thicker) + found["thinner"]["pipes"]
    )


def test_against_what_is_no_result(batch, tmp_path):
    pl.DataFrame(town(3)).write_csv(tmp_path / "other.csv")
    code, _, _, err = batch(town(3), "--against", "other.csv")
    assert (code, "not a result of `batch`: missing columns" in err) == (2, True)


MAP = """
[columns]
Dia_mm = "host_diameter [mm]"
State = "condition"
Depth = "cover [ft]"
Creep = ""
[values.condition]
FD = "fully deteriorated"
PD = "partially deteriorated"
[values.ovality]
"n/a" = ""
[values.live_load]
no = "none"
"""
# The columns of GOOD under names of another office.
NAMES = {"host_diameter [in]": "Dia_mm", "condition": "State", "cover [ft]": "Depth"}


def renamed(row, **more):
    return {NAMES.get(key, key): value for key, value in row.items()} | more


def test_a_mapping_file_gives_what_the_keys_themselves_give(batch, tmp_path):
    plain = [
        GOOD | {"host_diameter [in]": "10", "live_load [psi]": "none"},
        GOOD | {"ovality [%]": None, "condition": "partially deteriorated"},
    ]
    batch(plain)
    wanted = pl.read_csv("out.csv").select("^(required|nominal)_.*$")
    (tmp_path / "map.toml").write_text(MAP)
    own = [
        renamed(GOOD, Dia_mm="254", State="FD", Creep="high") | {"live_load [psi]": "no"},
        renamed(GOOD, Dia_mm="203.2", State="PD", Creep="low") | {"ovality [%]": "n/a"},
    ]
    code, _, _, _ = batch(own, "--map", "map.toml")
    assert code == 0
    out = pl.read_csv("out.csv", infer_schema=False)
    assert out.select(own[0].keys()).rows(named=True) == own
    for header in wanted.columns:
        made = out[header].cast(pl.Float64).to_list()
        assert made == pytest.approx(wanted[header].to_list(), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[columns]\nDepht = "cover [ft]"\n', '"Depht": no such column'),
        ('[columns]\nDia_mm = "host_diamter [mm]"\n', 'rename it to "host_diameter [mm]"'),
        ('[columns]\nDia_mm = "zzzz"\n', "not a key of an inventory"),
        ('[columns]\nDia_mm = "host_diameter"\n', "no unit; write it in brackets"),
        ("[columns]\nDia_mm = 3\n", "not text"),
        ('[values.conditon]\nFD = "x"\n', "condition"),
        ("[value]\n", "values"),
        ("[columns\n", "not valid TOML"),
    ],
)
def test_faults_of_a_mapping_file(batch, tmp_path, text, words):
    (tmp_path / "map.toml").write_text(text)
    code, _, _, err = batch([renamed(GOOD, Dia_mm="254")], "--map", "map.toml")
    assert code == 2
    assert words in err
    assert "map" in err


def test_a_word_mapped_to_no_word_of_the_key_is_an_error_of_its_row(batch, tmp_path):
    (tmp_path / "map.toml").write_text('[values.condition]\nFD = "collapsed"\n')
    code, _, _, _ = batch([GOOD | {"condition": "FD"}], "--map", "map.toml")
    assert code == 1
    assert "unknown value" in pl.read_csv("out.csv")["message"][0]


def test_example_rows_do_not_depend_on_how_a_file_is_cut(batch, monkeypatch):
    rows = town(200)
    for i in range(11, 200, 7):
        rows[i]["groundwater_above_invert [ft]"] = "40"
        rows[i]["resin"] = ("Felt A", "Glass B")[i % 2]
    _, whole, _, _ = batch(rows)
    monkeypatch.setattr("linerdesign.tasks.batch.tables.BLOCK", 3_000)
    _, cut, _, _ = batch(rows)
    assert cut["findings"] == whole["findings"]
    assert found(cut, "caution")
    assert all(examples[0] == 12 for _, examples in found(cut, "caution").values())


def test_names_repeated_are_counted_by_zone_and_walls_of_wrong_inputs_apart(batch, tmp_path):
    """MH 3 stands in both zones, three rows in all; one diameter of 300 in under inches."""
    rows = town()
    rows[10]["name"] = rows[45]["name"] = "MH 3"
    rows[17]["host_diameter [in]"] = "300"
    (tmp_path / "map.toml").write_text('[values.condition]\nFD = "fully deteriorated"\n')
    rows[20]["condition"] = "FD"
    more = ("--by", "zone", "--by", "condition", "--map", "map.toml")
    _, data, text, _ = batch(rows, *more)
    by_zone = {each["value"]: each["findings"] for each in data["by"]["zone"]}
    assert {zone: own["duplicate"] for zone, own in by_zone.items()} == {"North": 2, "South": 1}
    # A word of the mapping file counts with what it means.
    assert [each["value"] for each in data["by"]["condition"]] == ["fully deteriorated"]
    thick = [each for each in data["sizes"] if each["nominal_thickness"]["value"] > 60]
    assert sum(each["count"] for each in thick) == 1
    said = " ".join(text.split())
    # Its length is 200 ft and 17.
    assert "walls over 60 mm, which may come from wrong inputs: rows 1, length 217 ft" in said
    assert f"{thick[0]['nominal_thickness']['value']:g} 1 217 ft" not in said
    assert "over 60 1 217 ft" in said
