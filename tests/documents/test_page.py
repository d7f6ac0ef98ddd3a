"""The page as text: whole, linked, escaped, and with every value under its name."""

import json
import re
import zlib
from base64 import b64decode, b64encode
from dataclasses import replace
from hashlib import sha256
from itertools import pairwise

import pytest
from pages import HOSTILE, Reader, document, page, partial, results, several
from projects import toml

from linerdesign.documents import page as page_module
from linerdesign.documents.allowed import allowed, may_be_changed
from linerdesign.documents.blocks import Bullets, Grid, Paragraph, Picture
from linerdesign.documents.numbers import clean
from linerdesign.documents.page import render, resource
from linerdesign.methods.symbols import SYMBOLS, name_of


@pytest.fixture(scope="module")
def designs():
    return results(toml(), partial(), several(), toml(pipe={"design_thickness": "12 mm"}))


@pytest.fixture(scope="module")
def text(designs):
    return page(designs)


@pytest.fixture(scope="module")
def read(text):
    return Reader(text)


def test_the_same_document_gives_the_same_bytes(designs, text):
    assert page(designs) == text


def test_every_value_stands_under_its_name(designs, read):
    named = {
        attributes["data-name"]: (tag, attributes)
        for tag, attributes, _ in read.all(attribute="data-name")
    }
    assert len(named) == len(read.all(attribute="data-name"))
    first = 1
    for result in designs:
        for index, station in enumerate(result.stations):
            for step in result.steps:
                if step.station not in (None, station) or step.source.startswith("one tube"):
                    continue
                tag, attributes = named[f"pipe{first + index}_{name_of(step.key)}"]
                stated = step.line is None and may_be_changed(step)
                assert tag == "input" if stated else tag in ("b", "span")
                assert float(attributes["data-value"]) == step.value
                if stated:
                    # Written as a person writes it; the page calculates with all of it.
                    assert float(attributes["value"]) == pytest.approx(step.value, rel=1e-5)
        first += len(result.stations)


def test_names_of_results_are_those_of_the_workbook(read):
    names = {attributes["data-name"] for _, attributes, _ in read.all(attribute="data-name")}
    wanted = ("required_thickness", "nominal_thickness", "t_X1_1", "t_X1_3", "t_X1_4")
    assert {f"pipe1_{name}" for name in wanted} <= names
    inputs = ("host_diameter", "ovality", "groundwater_above_invert", "flexural_modulus")
    assert {f"pipe1_{name}" for name in (*inputs, "safety_factor")} <= names
    assert "pipe5_t_X1_3" in names


def test_links_lead_somewhere(read):
    ids = [attributes["id"] for _, attributes, _ in read.all(attribute="id")]
    assert len(ids) == len(set(ids))
    targets = [attributes["href"] for _, attributes, _ in read.all("a")]
    assert {target[1:] for target in targets} <= set(ids)
    assert any(target.startswith("#equation") for target in targets)


def test_a_long_page_opens_with_its_first_sheets_and_packs_the_others(designs, monkeypatch):
    values = re.compile(r'data-name="([^"]+)"(?: data-shares="[^"]+")? data-value="([^"]+)"')
    whole = values.findall(page(designs))
    monkeypatch.setattr(page_module, "OPEN_SHEETS", 1)
    monkeypatch.setattr(page_module, "PACKED_SHEETS", 2)
    packed = page(designs)
    (found,) = re.findall(r"const packed = (\[.*\]);", packed)
    pieces = [zlib.decompress(b64decode(piece), -15).decode() for piece in json.loads(found)]
    assert packed.count("<section class=") == 1
    assert [piece.count("<section class=") for piece in pieces] == [2, 1]
    parts = [values.findall(each) for each in (packed, *pieces)]
    assert [pair for part in parts for pair in part] == whole


def test_every_formula_stands_in_plain_text_too(text, read):
    """So that no reader depends on a font for roots and subscripts; typed out here by hand."""
    classes = [attributes.get("class") for _, attributes, _ in read.all(attribute="class")]
    # Each line of a sheet, and once more among the equations, beside the mathematics.
    assert classes.count("typed") > 100
    entries = [attributes for _, attributes, _ in read.all("article")]
    assert classes.count("formula") == len(entries)
    lines = {line for _, attributes, line in read.all("p") if attributes.get("class") == "typed"}
    assert "t_X1.1 = D/(1 + (2*K*E_L*C/((1 - nu^2)*N*P))^(1/3))" in lines
    assert "C = ((1 - q/100)/(1 + q/100)^2)^3" in lines
    assert "n_s = t_min/t_s, rounded up" in lines
    assert not any("ceil" in line for line in lines)


def test_fields_are_as_wide_as_their_values():
    """4.5 mm on a US sheet is 0.177165354330709 in, of which six figures mean something."""
    read = Reader(page(results(toml(criteria={"minimum_thickness": "4.5 mm"}))))
    fields = [a for _, a, _ in read.all("input") if "hidden" not in a]
    assert "0.177165" in {a["value"] for a in fields}
    assert max(len(a["value"]) for a in fields) < 10
    assert all(int(a["size"]) >= len(a["value"]) for a in fields)
    css = resource("page.css")
    (rule,) = re.findall(r"\ninput \{([^}]*)\}", css)
    assert "min-width" in rule
    assert not re.search(r"[^-]width:", rule)


def test_mathematics_names_fonts_made_for_it(text):
    """One that comes with each of the common desktops, and free ones, before the browser's own."""
    (fonts,) = re.findall(r"\nmath \{\s*font-family: ([^;]+);", text)
    named = [name.strip(' \n"') for name in fonts.split(",")]
    assert {"Cambria Math", "STIX Two Math", "DejaVu Math TeX Gyre"} <= set(named)
    assert named[-2:] == ["math", "serif"]


def test_lines_that_do_not_apply_are_there_but_hidden():
    text = page(results(toml(criteria={"dry_case": False})))
    (start,) = re.findall(r'<li id="pipe1-t_DR_limit"[^>]*>', text)
    assert "hidden" in start
    (start,) = re.findall(r'<li id="pipe1-t_X1_1"[^>]*>', text)
    assert "hidden" not in start


def test_nothing_is_fetched_and_only_our_own_script_runs(text, read):
    assert not re.search(r'(?:src|href)="(?!#|data:)', text)
    assert not re.search(r"@import|url\(|fetch\(|XMLHttpRequest|eval\(|innerHTML", text)
    (policy,) = (a["content"] for _, a, _ in read.all("meta") if "http-equiv" in a)
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy
    for tag in ("script", "style"):
        ((_, _, content),) = read.all(tag)
        digest = b64encode(sha256(content.encode()).digest()).decode()
        assert f"{tag}-src 'sha256-{digest}'" in policy
    for _, attributes, _ in read.all():
        assert not [name for name in attributes if name.startswith("on") or name == "style"]


@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: repr(name[:12]))
def test_hostile_names_are_text(name):
    tables = {
        "pipe": {"name": name, "station": [{"at": name, "cover": "9 ft"}, {"at": "b"}]},
        "resin": {"name": name, "evidence": name, "thicknesses": ["20 mm", "50 mm"]},
        "project": {"title": name},
    }
    read = Reader(page(results(toml(**tables)), (Paragraph(name), Bullets((name,)))))
    headings = [text for _, _, text in read.all("h2")]
    assert clean(name.strip()) in headings
    assert len(read.all("script")) == 1
    assert not read.all("img")
    assert {attributes.get("href", "#")[0] for _, attributes, _ in read.all("a")} == {"#"}


def test_every_block_is_written(designs):
    blocks = (
        Paragraph("a paragraph < b"),
        Bullets(("one", "two")),
        Grid(("what", "how much"), "<>", (("felt", "4.5"),), "a table & its title"),
        Picture("<svg xmlns='http://www.w3.org/2000/svg'/>", "seen", "what is seen"),
    )
    read = Reader(page(designs[:1], blocks))
    assert "a paragraph < b" in [text for _, _, text in read.all("p")]
    assert any(text.startswith("a table & its title") for _, _, text in read.all("caption"))
    ((_, image, _),) = read.all("img")
    assert image["alt"] == "what is seen"
    assert b64decode(image["src"].partition(",")[2]).startswith(b"<svg")


def test_it_is_accessible(read):
    levels = [int(tag[1]) for tag, _, _ in read.all() if re.fullmatch("h[1-6]", tag)]
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert all(attributes.get("scope") in ("row", "col") for _, attributes, _ in read.all("th"))
    assert all(attributes["aria-label"] for _, attributes, _ in read.all("svg"))
    labels = {attributes["for"] for _, attributes, _ in read.all("label")}
    for _, attributes, _ in read.all("input"):
        assert "hidden" in attributes or attributes["id"] in labels


def test_a_page_without_sheets_has_no_script(designs):
    whole = replace(document(designs[:1]), blocks=(Paragraph("no sheet"),))
    read = Reader(render(whole).decode())
    assert not read.all("script")
    (policy,) = (a["content"] for _, a, _ in read.all("meta") if "http-equiv" in a)
    assert "script-src 'none'" in policy


# The README's table of keys, and the note of the standard for what has no upper end there.
TAKEN = {
    "D": ((">", 0), "a length greater than zero"),
    "q_pipe": ((">=", 0), ("<", 100), "an ovality in percent, at least 0 and under 100 %"),
    "r_E": ((">", 0), ("<=", 100), "a percentage with its sign, over 0 and at most 100 %"),
    "nu": ((">", 0), ("<", 0.5), "a number, over 0 and under 0.5"),
    "H": ((">", 0), "a depth greater than zero"),
    "h_invert": ("a height",),
    "E_s": ((">", 0), "a modulus greater than zero"),
    "W_s": ((">=", 0), "a pressure that is not negative"),
    "t": ((">", 0), "a length greater than zero"),
}


def test_fields_take_what_the_project_file_takes():
    for key, (*ends, expected) in TAKEN.items():
        kind = allowed(key)
        assert set(ends) == {end for end in kind.ends if abs(end[1]) < 1e15}, key
        assert kind.expected == expected


def test_every_field_has_a_key_of_the_project_file(designs):
    for result in designs:
        for step in result.steps:
            if step.line is None and step.arithmetic is None and SYMBOLS[step.key].name:
                assert allowed(step.key).example, step.key
