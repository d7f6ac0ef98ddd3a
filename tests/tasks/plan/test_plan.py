"""The planning table against `size` on the pipe of each cell."""

import csv
import json
import re

import openpyxl
import pytest
from projects import sized, toml

from linerdesign.methods.equation import Severity
from linerdesign.methods.symbols import SYMBOLS

AXES = (
    "--diameter",
    "8 in",
    "600 mm",
    "--cover",
    "5 ft",
    "4 m",
    "--water",
    "0 ft",
    "9 ft",
)


def test_every_cell_is_what_size_gives(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml())
    code, out, _ = run("plan", "a.toml", *AXES, "--json")
    data = json.loads(out)
    assert code == 0
    assert data["water_datum"] == "groundwater_above_invert"
    assert len(data["cells"]) == 8
    for cell in data["cells"]:
        pipe = {
            "host_diameter": cell["host_diameter"],
            "cover": cell["cover"],
            "groundwater_above_invert": cell["water"],
        }
        single = sized(pipe=pipe)
        assert cell["required_thickness"]["value"] == pytest.approx(
            25.4 * single.required_thickness, rel=1e-12
        )
        assert cell["nominal_thickness"]["value"] == pytest.approx(
            25.4 * single.nominal_thickness, rel=1e-9
        )
        assert cell["governing"] == single.governing
        assert cell["status"] == single.status


def test_water_of_the_criteria_that_is_not_used_is_named(run, tmp_path):
    owners = {"defaults": {"groundwater_below_surface": "5 ft"}}
    (tmp_path / "a.toml").write_text(toml(criteria=owners, drop=("groundwater_above_invert",)))
    _, out, _ = run("plan", "a.toml", *AXES[:6])
    assert "own water, stated as groundwater below surface, is not used" in out
    _, out, _ = run("plan", "a.toml", *AXES)
    assert "is not used" not in out
    assert "water: groundwater below surface" in out


def test_the_pipe_states_the_datum_of_the_water(run, tmp_path):
    below = {"groundwater_below_surface": "5 ft"}
    (tmp_path / "a.toml").write_text(toml(below, drop=("groundwater_above_invert",)))
    _, out, _ = run("plan", "a.toml", *AXES, "--json")
    assert json.loads(out)["water_datum"] == "groundwater_below_surface"


def test_forms_and_what_is_printed_on_them(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(criteria={"minimum_thickness": "4.5 mm"}))
    targets = ("-o", "p.csv", "-o", "p.xlsx", "-o", "p.pdf", "-o", "p.txt")
    assert run("plan", "a.toml", *AXES, *targets)[0] == 0
    with (tmp_path / "p.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 8
    assert rows[0]["nominal_thickness [mm]"] == "4.5"
    text = (tmp_path / "p.txt").read_text()
    for words in (_meaning("t_floor"), "4.5 mm", _meaning("E_s"), "1000 psi", "F1216-07b"):
        assert words in text
    book = openpyxl.load_workbook(tmp_path / "p.xlsx")
    cells = {str(c.value) for sheet in book for row in sheet for c in row if c.value is not None}
    assert any("cover 5 ft" in cell for cell in cells)
    assert (tmp_path / "p.pdf").read_bytes().startswith(b"%PDF")


def test_thicknesses_stand_under_each_other(run, tmp_path):
    """Numbers of one and two figures end in one column, as the head does."""
    (tmp_path / "a.toml").write_text(toml())
    lines = run("plan", "a.toml", *AXES)[1].splitlines()
    starts = [n for n, line in enumerate(lines) if line.startswith("diameter")]
    assert len(starts) == 2
    for start in starts:
        rows = [lines[start].rstrip(), *(line.rstrip() for line in lines[start + 2 : start + 4])]
        assert len({len(row) for row in rows}) == 1


def test_bad_axes_are_all_named(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml())
    code, _, err = run("plan", "a.toml", "--diameter", "8", "--cover", "-3 ft", "--water", "deep")
    assert code == 2
    assert all(option in err for option in ("--diameter", "--water"))


def test_outside_the_method_is_marked(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml({"ovality": "12 %"}))
    code, out, _ = run("plan", "a.toml", *AXES)
    assert code == 1
    assert re.search(r"\d [A-Z]!", out)
    assert "ovality over 10 %" in out


def test_a_table_of_loads_that_does_not_reach_is_refused_by_cell(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml({"live_load": "H-20 table"}))
    words = ("--diameter", "8 in", "--water", "0 ft", "--cover", "4 ft", "0.3 ft")
    code, out, err = run("plan", "a.toml", *words)
    assert (code, out) == (2, "")
    assert "0 ft, 0.3 ft, 8 in, live_load: cover " in err
    assert "4 ft, 8 in, live_load" not in err


STATIONS = [
    {"at": "0 ft", "ground_elevation": "112 ft", "invert_elevation": "100 ft"},
    {
        "at": "150 ft",
        "ground_elevation": "118 ft",
        "invert_elevation": "99.5 ft",
        "ovality": "6 %",
    },
    {
        "at": "300 ft",
        "ground_elevation": "110 ft",
        "invert_elevation": "99 ft",
        "soil_reaction_modulus": "900 psi",
        "soil_unit_weight": "140 pcf",
    },
]
SLOPING = {
    "station": STATIONS,
    "groundwater_elevation": "108 ft",
    "live_load": "HL-93",
    "soil_reaction_modulus": "silty sand, 90 % compaction",
    "origin": {"live_load": "plan", "soil_reaction_modulus": "assumed"},
}


def _sloping(**pipe):
    return SLOPING | pipe, ("cover", "groundwater_above_invert")


def _alike(cell, water):
    """The pipe of a cell as `size` takes it: its diameter, cover and water at every station."""
    varied = {"ground_elevation", "invert_elevation"}
    stations = [{k: v for k, v in each.items() if k not in varied} for each in STATIONS]
    pipe = {k: v for k, v in SLOPING.items() if k not in ("groundwater_elevation", "cover")}
    pipe |= {"station": stations, "host_diameter": cell["host_diameter"], "cover": cell["cover"]}
    return pipe | water


def _project(run, tmp_path, pipe, drop):
    (tmp_path / "a.toml").write_text(toml(pipe, criteria={"thickness_step": "0.5 mm"}, drop=drop))


def _cells(run, *axes):
    code, out, err = run("plan", "a.toml", "--json", *axes)
    assert code in (0, 1), err
    return json.loads(out)


def test_every_station_counts_as_in_size(run, tmp_path):
    # By compaction, not by depth: `size` wants one way of reading the soil at all stations.
    soil = {"soil_reaction_modulus": "silty sand, moderate compaction"}
    _project(run, tmp_path, *_sloping(**soil))
    data = _cells(run)
    assert data["water_datum"] == "groundwater_above_invert"
    governing = set()
    # Every fifth cell, which meets all diameters, covers and waters.
    for cell in data["cells"][::5]:
        water = {"groundwater_above_invert": cell["water"]}
        # The standard pipe of these tests states its water so already.
        pipe = _alike(cell, water) | soil
        single = sized(pipe=pipe, criteria={"thickness_step": "0.5 mm"})
        assert cell["nominal_thickness"]["value"] == pytest.approx(
            25.4 * single.nominal_thickness, rel=1e-9
        )
        assert cell["required_thickness"]["value"] == pytest.approx(
            25.4 * single.required_thickness, rel=1e-12
        )
        assert (cell["governing"], cell["status"]) == (single.governing, single.status)
        said = [note.text for note in single.notes if note.severity is not Severity.DEFAULT]
        assert set(map(_anywhere, cell["notes"])) == set(map(_anywhere, said))
        worst = {c.station for c in single.checks if c.required_thickness == _most(single.checks)}
        assert cell["station"] in worst
        governing.add(cell["station"])
    assert governing >= {"150 ft", "300 ft"}


def _anywhere(note):
    return note.partition(" (at ")[0]


def _most(checks):
    return max(each.required_thickness for each in checks)


def test_elevations_are_those_of_the_pipe(run, tmp_path):
    """Water at an elevation, against `size` on the height that it is above each invert."""
    soil = {"soil_reaction_modulus": "1000 psi"}
    stations = [{k: e[k] for k in ("at", "invert_elevation", "ground_elevation")} for e in STATIONS]
    _project(run, tmp_path, *_sloping(**soil, station=stations))
    data = _cells(run, "--water", "108 ft", "--diameter", "15 in", "--cover", "15 ft")
    (cell,) = data["cells"]
    assert data["water_datum"] == "groundwater_elevation"
    # By hand: 108 - 99 = 9 ft over the lowest invert, which is the worst of three alike.
    pipe = {"host_diameter": "15 in", "cover": "15 ft", "groundwater_above_invert": "9 ft"}
    single = sized(pipe=pipe | {"live_load": "HL-93"}, criteria={"thickness_step": "0.5 mm"})
    assert cell["station"] == "300 ft"
    assert cell["required_thickness"]["value"] == pytest.approx(25.4 * single.required_thickness)


def test_an_elevation_under_every_invert_is_refused(run, tmp_path):
    _project(run, tmp_path, *_sloping())
    code, out, err = run("plan", "a.toml", "--water", "0 ft", "99.2 ft", "98 ft")
    assert (code, out) == (2, "")
    for water in ("0 ft", "98 ft"):
        assert f"planning table, --water {water}: below every invert" in err
    assert "lowest 99 ft" in err
    assert "99.2 ft" not in err


def test_a_pipe_above_ground_has_nothing_to_vary(run, tmp_path):
    pipe = {"above_ground": True, "internal_pressure": "60 psi"}
    buried = ("ovality", "cover", "groundwater_above_invert", "soil_unit_weight")
    drop = (*buried, "soil_reaction_modulus", "live_load")
    resin = {"tensile_strength": "3000 psi"}
    (tmp_path / "a.toml").write_text(toml(pipe, resin, drop=drop))
    code, out, err = run("plan", "a.toml")
    assert (code, out) == (2, "")
    assert "choose a buried pipe" in err


def _meaning(key):
    return SYMBOLS[key].meaning


def test_all_that_is_held_fixed_is_listed(run, tmp_path):
    _project(run, tmp_path, *_sloping())
    data = _cells(run, *AXES[:6])
    held = {each["assumption"]: each for each in data["held_fixed"]}
    live = held[_meaning("W_s")]
    assert (live["value"], live["source"]) == ("HL-93", "plan")
    # What differs by station stands for each, and the rest once.
    soil = held[_meaning("E_s") + " (at 0 ft, 150 ft)"]
    assert soil["value"] == "silty sand, 90 % compaction"
    assert soil["source"].startswith("assumed, Duncan & Hartley 1982")
    assert held[_meaning("E_s") + " (at 300 ft)"]["value"] == "900 psi"
    assert held[_meaning("q_pipe") + " (at 150 ft)"]["value"] == "6 %"
    assert held[_meaning("w") + " (at 0 ft, 150 ft)"]["value"] == "120 pcf"
    assert held[_meaning("N")]["source"].startswith("default")
    _, text, _ = run("plan", "a.toml", *AXES[:6])
    assert "the pipe has 3 stations; the worst governs each cell" in text
    assert "the pipe's own water, stated as groundwater elevation, is not used" in text
    letters = dict(re.findall(r"([A-L]) (X1\.\d|DR limit)", text))
    places = dict(re.findall(r"(\d): (\d+ ft)", text.partition("governing station")[2]))
    shown = re.findall(r" (\d\S*) ([A-L])(\d)[*!x]?", text.partition("About")[0])
    assert shown == [
        (f"{each['nominal_thickness']['value']:g}", letter, number)
        for each in sorted(data["cells"], key=_as_printed(data))
        for letter, number in [
            (
                {name: letter for letter, name in letters.items()}[each["governing"]],
                {at: number for number, at in places.items()}[each["station"]],
            )
        ]
    ]


def _as_printed(data):
    """Rows of the printed tables are diameters, columns covers."""
    order = [list(dict.fromkeys(c[k] for c in data["cells"])) for k in ("water", "host_diameter")]
    covers = list(dict.fromkeys(c["cover"] for c in data["cells"]))
    return lambda c: (
        order[0].index(c["water"]),
        order[1].index(c["host_diameter"]),
        covers.index(c["cover"]),
    )


def test_the_tables_read_from_are_named(run, tmp_path):
    soil = {
        "trench": "silty sand, 90 % compaction",
        "native": "loose granular",
        "trench_width": "10 ft",
        "combining_table": "2005",
    }
    load = {"method": "H-20 table", "table": "in psf"}
    (tmp_path / "a.toml").write_text(toml({"soil_reaction_modulus": soil, "live_load": load}))
    data = _cells(run, "--diameter", "8 in", "--cover", "6 ft", "--water", "0 ft")
    held = {each["assumption"]: each for each in data["held_fixed"]}
    assert held[_meaning("W_s")]["source"] == "given, the table in psf"
    assert held[_meaning("E_b")]["source"] == "given, Duncan & Hartley 1982"
    assert "2005" in held[_meaning("E_s")]["source"]
    assert "loose granular" in held[_meaning("E_n")]["source"]


def test_a_station_that_governs_everywhere_is_named_once(run, tmp_path):
    _project(run, tmp_path, *_sloping())
    _, text, _ = run("plan", "a.toml", "--diameter", "8 in", "--cover", "15 ft")
    assert "station 300 ft governs every cell" in text
    assert "governing equation: A X1.3" in text


def test_notes_are_those_of_the_wall_that_the_pipe_gets(run, tmp_path):
    """By X1.1 a round pipe under 1 ft of water may have DR 131, one of 9 % ovality 101."""
    places = [{"at": "a", "ovality": "0 %"}, {"at": "b", "ovality": "9 %"}]
    pipe = {"condition": "partially deteriorated", "station": places, "host_diameter": "36 in"}
    wet = {"dry_case": False}
    (tmp_path / "a.toml").write_text(toml(pipe, criteria=wet))
    (cell,) = _cells(run, "--diameter", "36 in", "--cover", "16 ft", "--water", "1 ft")["cells"]
    water = {"groundwater_above_invert": "1 ft"}
    single = sized(pipe=pipe | water, criteria=wet)
    about = "dimension ratio DR over 100"
    alone = sized(pipe=pipe | {"ovality": "0 %", "station": []} | water, criteria=wet)
    assert any(about in note.text for note in alone.notes)
    assert not any(about in note.text for note in single.notes)
    assert cell["station"] == "b"
    assert not any(about in note for note in cell["notes"])


def test_several_resins_in_both_conditions_are_what_size_gives(run, tmp_path):
    stiff = '[[resin]]\nname = "Stiff"\nflexural_modulus = "600 ksi"\nflexural_strength = "9 ksi"\n'
    (tmp_path / "a.toml").write_text(toml() + stiff)
    data = _cells(run, *AXES, "--all-resins", "--condition", "both")
    assert len(data["cells"]) == 4 * 8
    moduli = {"Felt A": ("250000 psi", "4500 psi"), "Stiff": ("600 ksi", "9 ksi")}
    for cell in data["cells"]:
        modulus, strength = moduli[cell["resin"]]
        pipe = {
            "condition": cell["condition"],
            "host_diameter": cell["host_diameter"],
            "cover": cell["cover"],
            "groundwater_above_invert": cell["water"],
        }
        resin = {"flexural_modulus": modulus, "flexural_strength": strength}
        single = sized(pipe=pipe, resin=resin)
        assert cell["governing"] == single.governing
        assert cell["nominal_thickness"]["value"] == pytest.approx(25.4 * single.nominal_thickness)


def test_a_condition_for_which_the_pipe_lacks_keys_is_refused(run, tmp_path):
    drop = ("soil_unit_weight", "soil_reaction_modulus")
    (tmp_path / "a.toml").write_text(toml({"condition": "partially deteriorated"}, drop=drop))
    code, out, err = run("plan", "a.toml", *AXES, "--condition", "both")
    assert (code, out) == (2, "")
    for key in drop:
        assert f'missing key {key} in planning table, pipe "Trunk", required for a fully' in err


def test_the_owners_minimum_has_a_letter_of_its_own(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(criteria={"minimum_thickness": "40 mm"}))
    _, text, _ = run("plan", "a.toml", *AXES[:3])
    assert re.search(r"40(\.5)? M", text)
    assert "M owner's minimum" in text


def test_the_csv_is_an_inventory_that_batch_sizes_alike(run, tmp_path):
    """The columns of the table, sized row by row by the other task, give the same walls."""
    pipe = {"ovality": "3 %", "live_load": "HL-93"}
    (tmp_path / "a.toml").write_text(toml(pipe))
    code, _, err = run("plan", "a.toml", *AXES, "--condition", "both", "-o", "plan.csv")
    assert code == 0, err
    with (tmp_path / "plan.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    varied = {"groundwater_above_invert [ft]", "cover [ft]", "host_diameter [in]"}
    assert varied <= rows[0].keys()
    ours = ("required_thickness [mm]", "nominal_thickness [mm]", "governing", "status", "message")
    kept = [key for key in rows[0] if key not in (*ours, "minimum_governs", "station")]
    with (tmp_path / "inventory.csv").open("w", newline="") as file:
        writer = csv.DictWriter(file, kept, extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)
    code, _, err = run("batch", "inventory.csv", "--project", "a.toml", "-o", "sized.csv")
    assert code == 0, err
    with (tmp_path / "sized.csv").open(newline="") as file:
        sized_rows = list(csv.DictReader(file))
    assert len(sized_rows) == 16
    for row, other in zip(rows, sized_rows, strict=True):
        for key in ours[:2]:
            assert float(other[key]) == pytest.approx(float(row[key]), rel=1e-9)
        assert other["governing"] == row["governing"]


def test_every_option_changes_the_fingerprint(run, tmp_path):
    stiff = '[[resin]]\nname = "Stiff"\nflexural_modulus = "600 ksi"\nflexural_strength = "9 ksi"\n'
    (tmp_path / "a.toml").write_text(toml() + stiff)
    more = (
        (),
        ("--resin", "Stiff"),
        ("--condition", "partially deteriorated"),
        ("--cover", "5 ft"),
        ("--units", "SI"),
    )
    found = [_cells(run, *AXES, *words)["fingerprint"] for words in (*more, ())]
    assert len(set(found)) == len(more)
    assert found[0] == found[-1]
    assert found[0] in run("plan", "a.toml", *AXES)[1]


def test_more_cells_than_a_table_takes_are_refused_with_their_number(run, tmp_path):
    """20,000 cells: 21 diameters by 31 covers by 31 depths of water are 20,181."""
    (tmp_path / "a.toml").write_text(toml(), encoding="utf-8")
    axes = (
        *("--diameter", *(f"{n} in" for n in range(8, 29))),
        *("--cover", *(f"{n} ft" for n in range(5, 36))),
        *("--water", *(f"{n} ft" for n in range(1, 32))),
    )
    code, out, err = run("plan", "a.toml", *axes)
    assert (code, out) == (2, "")
    assert "more than 20,000 cells" in err
