"""Inventories with geometry: kept to the bit, with what it is measured in, or refused."""

import json
import sqlite3
import sys
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.tasks.batch import geometry
from linerdesign.tasks.batch.geometry import Geometry, write_layer

pyogrio = pytest.importorskip("pyogrio")
pyproj = pytest.importorskip("pyproj")
shapely = pytest.importorskip("shapely")

FORMS = ["gpkg", "geojson", "parquet"]
DRIVERS = {"gpkg": "GPKG", "geojson": "GeoJSON"}
# Small and large coordinates, in degrees and in metres, none of them round.
NUMBERS = np.random.default_rng(1871)
LINES = NUMBERS.uniform(-80, 80, (12, 3, 2)) * np.repeat([1.0, 1e-3, 1e-7], 4)[:, None, None]
ZONE = "EPSG:32630"


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "project.toml").write_text(PROJECT)
    return tmp_path


def batch(run, source, target, *more):
    return run("batch", source, "--project", "project.toml", "-o", target, *more)


def rows(count=12):
    return pl.DataFrame([GOOD | {"name": f"P{n}"} for n in range(count)])


def write(path, shapes, crs=ZONE, kind="LineString", table=None, layer="pipes", **more):
    """A file as another program writes it."""
    table = rows(len(shapes)) if table is None else table
    wkb = [None if shape is None else shapely.to_wkb(shape, flavor="iso") for shape in shapes]
    table = table.with_columns(geometry=pl.Series(wkb, dtype=pl.Binary))
    if path.suffix == ".parquet":
        column = {"encoding": "WKB", "geometry_types": [kind]} | more
        column["crs"] = crs and pyproj.CRS(crs).to_json_dict()
        about = {"version": "1.1.0", "primary_column": "geometry", "columns": {"geometry": column}}
        table.write_parquet(path, metadata={"geo": json.dumps(about)})
        return
    arrow = table.to_arrow(compat_level=pl.CompatLevel.oldest())
    written = {"driver": DRIVERS[path.suffix[1:]], "layer": layer, "geometry_name": "geometry"}
    if path.suffix == ".geojson":
        more["layer_options"] = {"SIGNIFICANT_FIGURES": "17"}
    pyogrio.write_arrow(arrow, path, geometry_type=kind, crs=crs, **written, **more)


def read(path, layer=None):
    """Coordinate system, shapes and columns of a file, each read by a library of its own."""
    if path.suffix == ".parquet":
        about = json.loads(pl.read_parquet_metadata(path)["geo"])
        assert about["version"].startswith("1.")
        name = about["primary_column"]
        table, crs = pl.read_parquet(path), about["columns"][name].get("crs", "OGC:CRS84")
        shapes = table[name].to_list()
        return crs and pyproj.CRS(crs), shapely.from_wkb(np.array(shapes, object)), table
    if path.suffix == ".geojson":
        # The standard's own text, read as JSON.
        whole = json.loads(path.read_text(encoding="utf-8"))
        shapes = [each["geometry"] and json.dumps(each["geometry"]) for each in whole["features"]]
        table = pl.DataFrame([each["properties"] for each in whole["features"]])
        crs = whole.get("crs", {"properties": {"name": "OGC:CRS84"}})["properties"]["name"]
        return pyproj.CRS(crs), shapely.from_geojson(np.array(shapes, object)), table
    meta, _, shapes, data = pyogrio.raw.read(path, layer=layer)
    table = pl.DataFrame(dict(zip(meta["fields"], data, strict=True)), strict=False)
    return meta["crs"] and pyproj.CRS(meta["crs"]), shapely.from_wkb(shapes), table


@pytest.mark.parametrize("source", FORMS)
@pytest.mark.parametrize("target", FORMS)
@pytest.mark.parametrize("crs", [ZONE, "EPSG:27700", "EPSG:4326"])
def test_every_form_to_every_form_to_the_bit(run, folder, source, target, crs):
    shapes = shapely.linestrings(LINES)
    write(folder / f"in.{source}", shapes, crs)
    code, _, err = batch(run, f"in.{source}", f"out.{target}")
    assert code == 0, err
    found_crs, found, table = read(folder / f"out.{target}")
    assert np.array_equal(shapely.get_coordinates(found), LINES.reshape(-1, 2))
    # Longitude before latitude in all three forms, whatever the order that EPSG has.
    assert found_crs.equals(pyproj.CRS(crs), ignore_axis_order=True)
    assert table["name"].to_list() == [f"P{n}" for n in range(len(LINES))]
    assert table["status"].unique().to_list() == ["sized"]
    # The same pipes as a plain table give the same walls.
    rows().write_csv(folder / "plain.csv")
    batch(run, "plain.csv", "plain_out.csv")
    plain = pl.read_csv(folder / "plain_out.csv")
    for column in ("required_thickness [mm]", "nominal_thickness [mm]"):
        assert table[column].to_list() == plain[column].to_list()


def test_the_metadata_of_geoparquet_are_kept_as_they_were(run, folder):
    write(folder / "in.parquet", shapely.linestrings(LINES), bbox=[0, 0, 1, 1], epoch=2021.5)
    assert batch(run, "in.parquet", "out.parquet")[0] == 0
    before, after = (
        pl.read_parquet_metadata(folder / name)["geo"] for name in ("in.parquet", "out.parquet")
    )
    assert after == before


@pytest.mark.parametrize("target", FORMS)
def test_heights_several_parts_and_missing_lines_are_kept(run, folder, target):
    texts = [
        "LINESTRING Z (0.1 0.2 31.7, 10 10 31.5)",
        "MULTILINESTRING Z ((0 0 1, 1 1 2), (3 3 3, 4 4 4))",
        None,
        "POINT Z (5 6 7)",
    ]
    shapes = [text and shapely.from_wkt(text) for text in texts]
    write(folder / "in.gpkg", shapes, kind="Unknown")
    assert batch(run, "in.gpkg", f"out.{target}")[0] == 0
    _, found, table = read(folder / f"out.{target}")
    assert [shape and shape.wkt for shape in found] == [shape and shape.wkt for shape in shapes]
    assert table.height == 4


def test_numbers_of_features_and_layer_names_are_kept(run, folder):
    table = rows(3).with_columns(fid=pl.Series([19, 3, 7]))
    write(folder / "in.gpkg", shapely.linestrings(LINES[:3]), table=table, layer="foul sewers")
    assert batch(run, "in.gpkg", "out.gpkg")[0] == 0
    with sqlite3.connect(folder / "out.gpkg") as file:
        found = file.execute('SELECT fid, name FROM "foul sewers" ORDER BY fid').fetchall()
    assert found == [(3, "P1"), (7, "P2"), (19, "P0")]


def test_own_output_is_read_again_and_compared(run, folder):
    write(folder / "in.geojson", shapely.linestrings(LINES))
    assert batch(run, "in.geojson", "one.gpkg")[0] == 0
    code, out, _ = batch(run, "one.gpkg", "two.parquet", "--against", "one.gpkg", "--json")
    assert code == 0
    assert json.loads(out)["against"]["same"]["pipes"] == len(LINES)


def test_no_coordinate_system_stays_none(run, folder):
    write(folder / "in.parquet", shapely.linestrings(LINES), crs=None)
    assert batch(run, "in.parquet", "out.gpkg")[0] == 0
    assert batch(run, "out.gpkg", "back.parquet")[0] == 0
    assert read(folder / "out.gpkg")[0] is None
    assert read(folder / "back.parquet")[0] is None
    code, _, err = batch(run, "in.parquet", "out.geojson")
    assert code == 2
    assert "coordinate system" in err
    assert not (folder / "out.geojson").exists()


def test_a_system_of_the_towns_own_is_kept_where_it_can_be(run, folder):
    """Not in any register, so GeoJSON has no name for it."""
    own = pyproj.CRS("+proj=tmerc +lat_0=53 +lon_0=-1.37 +k=0.99998 +x_0=5000 +y_0=8000 +units=m")
    write(folder / "in.gpkg", shapely.linestrings(LINES), own.to_wkt())
    assert batch(run, "in.gpkg", "out.parquet")[0] == 0
    assert batch(run, "out.parquet", "back.gpkg")[0] == 0
    for name in ("out.parquet", "back.gpkg"):
        found, _, _ = read(folder / name)
        assert found.to_authority() is None
        x, y = pyproj.Transformer.from_crs("EPSG:4326", found, always_xy=True).transform(-1.37, 53)
        assert (x, y) == pytest.approx((5000, 8000), abs=1e-6)
    assert batch(run, "in.gpkg", "out.geojson")[0] == 2


def _spoil(path):
    path.write_bytes(path.read_bytes()[:5000])


def _with_measures(path):
    with sqlite3.connect(path) as file:
        file.execute("UPDATE gpkg_geometry_columns SET m = 1")


@pytest.mark.parametrize(
    ("target", "more", "expected"),
    [
        ("out.csv", (), "geometry"),
        ("out.xlsx", (), "geometry"),
        ("out.gpkg", ("--layer", "sewer"), "pipes"),
    ],
)
def test_what_would_lose_geometry_is_refused(run, folder, target, more, expected):
    write(folder / "in.gpkg", shapely.linestrings(LINES))
    code, _, err = batch(run, "in.gpkg", target, *more)
    assert code == 2
    assert expected in err
    assert not (folder / target).exists()


@pytest.mark.parametrize("spoil", [_spoil, _with_measures, lambda path: path.write_text("town")])
def test_files_that_are_damaged_or_would_be_changed_are_refused(run, folder, spoil):
    write(folder / "in.gpkg", shapely.linestrings(LINES))
    spoil(folder / "in.gpkg")
    code, _, err = batch(run, "in.gpkg", "out.gpkg")
    assert code == 2, err
    assert "in.gpkg" in err
    assert "Traceback" not in err
    assert [each.name for each in folder.glob("*out*")] == []


@pytest.mark.parametrize("suffix", ["gpkg", "geojson"])
def test_an_error_in_the_rows_is_told_as_itself(tmp_path, suffix):
    """The library that writes a layer would tell it as a fault of the form."""
    frame = pl.DataFrame({"geometry": shapely.to_wkb(shapely.linestrings(LINES))})

    def frames():
        yield frame
        raise ZeroDivisionError("of a row")

    target = tmp_path / f"out.{suffix}"
    kept = Geometry("geometry", ZONE, "LineString")
    with target.open("wb") as file, pytest.raises(ZeroDivisionError, match="of a row"):
        write_layer(file, target, frames(), frame.clear(), kept)


def test_several_layers_are_named(run, folder):
    lines, other = shapely.linestrings(LINES), shapely.linestrings(LINES[:5])
    marked = rows(5).with_columns(mark=pl.lit("S"))
    write(folder / "in.gpkg", lines, layer="foul")
    write(folder / "in.gpkg", other, "EPSG:27700", table=marked, layer="storm", append=True)
    code, _, err = batch(run, "in.gpkg", "out.gpkg")
    assert code == 2
    assert '"foul"' in err
    assert '"storm"' in err
    assert batch(run, "in.gpkg", "out.gpkg", "--layer", "storm")[0] == 0
    assert pyogrio.list_layers(folder / "out.gpkg").tolist() == [["storm", "LineString"]]
    crs, found, table = read(folder / "out.gpkg")
    assert crs.to_authority() == ("EPSG", "27700")
    assert shapely.equals_exact(found, other).all()
    assert table["mark"].to_list() == ["S"] * 5


def test_a_plain_table_has_no_geometry_to_write(run, folder):
    rows().write_csv(folder / "in.csv")
    code, _, err = batch(run, "in.csv", "out.gpkg")
    assert code == 2
    assert "no geometry" in err
    assert batch(run, "in.csv", "out.csv", "--layer", "pipes")[0] == 2


@pytest.mark.parametrize("library", ["pyogrio", "pyarrow", "pyproj"])
def test_without_the_extra_it_says_how_to_get_it(run, folder, monkeypatch, library):
    write(folder / "in.gpkg", shapely.linestrings(LINES))
    write(folder / "in.parquet", shapely.linestrings(LINES))
    monkeypatch.setitem(sys.modules, library, None)
    code, _, err = batch(run, "in.gpkg", "out.parquet")
    assert code == 2
    assert library in err
    assert 'pip install "linerdesign[gis]"' in err
    # GeoParquet to GeoParquet needs none of it.
    assert batch(run, "in.parquet", "same.parquet")[0] == 0


# What is decided before anything is read or written


def told(call):
    with pytest.raises(InputFaults) as refused:
        call()
    (found,) = refused.value.faults
    return found


@pytest.mark.parametrize(
    ("kinds", "wanted", "name"),
    [
        ({"pipes": "LineString"}, None, "pipes"),
        ({"notes": None, "pipes": "LineString"}, None, "pipes"),
        ({"foul": "LineString", "storm": "Point"}, "storm", "storm"),
    ],
)
def test_the_layer_with_geometries_or_the_one_that_is_named(kinds, wanted, name):
    assert geometry._layer(kinds, wanted, "a.gpkg") == name


def test_a_layer_that_is_not_there_or_not_the_only_one_is_a_fault_with_those_known():
    two = {"foul": "LineString", "storm": "Point", "notes": None}
    several = told(lambda: geometry._layer(two, None, "a.gpkg"))
    assert several == fault("inventory.several_layers", "a.gpkg", known='"foul", "storm"')
    none = told(lambda: geometry._layer({"notes": None}, None, "a.gpkg"))
    assert none.code == "inventory.no_layers"
    lost = told(lambda: geometry._layer(two, "notes", "a.gpkg"))
    assert (lost.code, lost.value) == ("inventory.no_layer", '"notes"')
    assert '"foul", "storm"' in str(lost)


def about(**column):
    return json.dumps({"primary_column": "g", "columns": {"g": {"encoding": "WKB"} | column}})


@pytest.mark.parametrize(
    ("column", "crs", "kind"),
    [
        ({}, "OGC:CRS84", "Unknown"),
        ({"crs": None}, None, "Unknown"),
        ({"crs": "EPSG:27700"}, "EPSG:27700", "Unknown"),
        ({"crs": {"type": "GeographicCRS"}}, '{"type": "GeographicCRS"}', "Unknown"),
        ({"geometry_types": ["LineString"]}, "OGC:CRS84", "LineString"),
        ({"geometry_types": ["LineString", "Point"]}, "OGC:CRS84", "Unknown"),
        ({"geometry_types": ["LineString"], "encoding": "point"}, "OGC:CRS84", "Unknown"),
        ({"geometry_types": None}, "OGC:CRS84", "Unknown"),
    ],
)
def test_geometries_by_their_metadata(tmp_path, column, crs, kind):
    text = about(**column)
    found = geometry.of_geoparquet(tmp_path / "town.parquet", text)
    assert found == Geometry("g", crs, kind, "town", text)


@pytest.mark.parametrize("text", ["", "[]", '{"primary_column": "g", "columns": {}}', "{}"])
def test_metadata_that_cannot_be_read_are_a_fault_of_the_file(tmp_path, text):
    found = told(lambda: geometry.of_geoparquet(tmp_path / "town.parquet", text))
    assert found.code == "inventory.no_table"
    assert "PARQUET" in str(found)
    assert "town.parquet" in str(found)


@pytest.mark.parametrize(
    ("kept", "target", "code"),
    [
        (None, "a.csv", None),
        (None, "a.gpkg", "inventory.no_geometry"),
        (None, "a.geojson", "inventory.no_geometry"),
        (None, "a.parquet", None),
        (Geometry("g", ZONE), "a.csv", "inventory.geometry_lost"),
        (Geometry("g", ZONE), "a.GPKG", None),
        (Geometry("g", ZONE), "a.parquet", None),
        (Geometry("g", ZONE), "a.geojson", None),
        (Geometry("g", None), "a.geojson", "inventory.crs_lost"),
        (Geometry("g", None), "a.gpkg", None),
        (Geometry("g", "+proj=tmerc +lon_0=1.234 +datum=WGS84"), "a.geojson", "inventory.crs_lost"),
        # The numbers of a registered system, but not said to be one.
        (Geometry("g", "+proj=utm +zone=30 +datum=WGS84"), "a.geojson", "inventory.crs_lost"),
        (Geometry("g", "+proj=utm +zone=30 +datum=WGS84"), "a.gpkg", None),
        (Geometry("g", "no such"), "a.parquet", "inventory.no_crs"),
    ],
)
def test_what_a_target_can_keep(kept, target, code):
    if code is None:
        geometry.check_geometry(kept, Path(target))
    else:
        found = told(lambda: geometry.check_geometry(kept, Path(target)))
        assert found.code == code
        assert target in str(found)


def test_metadata_of_a_table_that_had_none():
    made = json.loads(geometry.geoparquet_metadata(Geometry("g", ZONE, "LineString"), "-o"))
    assert (made["version"], made["primary_column"]) == ("1.1.0", "g")
    column = made["columns"]["g"]
    assert (column["encoding"], column["geometry_types"]) == ("WKB", ["LineString"])
    assert pyproj.CRS(column["crs"]).to_authority() == ("EPSG", "32630")
    bare = json.loads(geometry.geoparquet_metadata(Geometry("g", None), "-o"))
    assert bare["columns"]["g"] == {"encoding": "WKB", "geometry_types": [], "crs": None}
    assert geometry.geoparquet_metadata(Geometry("g", ZONE, metadata="as read"), "-o") == "as read"


def test_a_reason_is_one_line_of_at_most_160_letters(tmp_path):
    error = ValueError("x" * 200 + "\nand more")
    (found,) = geometry._unreadable(tmp_path / "a.gpkg", error).faults
    assert "x" * 150 in str(found)
    assert "x" * 161 not in str(found)
    assert "and more" not in str(found)
    assert "GPKG" in str(found)


def test_a_coordinate_system_that_is_none_is_named_by_its_first_60_letters():
    found = told(lambda: geometry.crs_of("x" * 90, "in.gpkg"))
    assert found == fault("inventory.no_crs", "in.gpkg", shown("x" * 90, 60))
    assert 58 <= str(found).count("x") <= 60


def test_a_form_that_cannot_hold_the_table_is_refused_with_its_reason(tmp_path):
    """A GeoPackage is an SQLite file, whose names of columns differ by more than capitals."""
    line = shapely.to_wkb(shapely.linestrings(LINES[:1]))
    name = "q" * 200
    frame = pl.DataFrame({"geometry": line, name: ["a"], name.upper(): ["b"]})
    target = tmp_path / "out.gpkg"
    kept = Geometry("geometry", ZONE, "LineString")
    with target.open("wb") as file:
        found = told(lambda: write_layer(file, target, iter([frame]), frame.clear(), kept))
    assert (found.code, found.place) == ("inventory.no_layer_written", "-o")
    assert "GPKG" in str(found)
    # The reason is one line of at most 160 letters.
    why = dict(found.numbers)["why"]
    assert why.startswith('"Error')
    assert 155 <= len(why) <= 165


def test_a_file_of_another_form_than_its_name_says_is_refused(tmp_path):
    write(tmp_path / "in.geojson", shapely.linestrings(LINES[:1]))
    path = (tmp_path / "in.geojson").rename(tmp_path / "in.gpkg")
    found = told(lambda: geometry.open_layer(path, None))
    assert (found.code, found.place) == ("inventory.no_table", str(path))
    assert "it is GeoJSON" in str(found)
