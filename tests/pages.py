"""Pages made for tests, and a reader of their markup. The values are invented."""

import re
from html.parser import HTMLParser

from projects import toml

from linerdesign.documents.blocks import Document, Heading, Sheet
from linerdesign.documents.page import render
from linerdesign.documents.schedule import schedule
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import tasks
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.reading import parse

VOID = {"meta", "link", "input", "br", "hr", "img"}
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "=1+1",
    "</style></title>${7*7}{{7*7}}",
    "مرحبا 🚰 \u202eevil",
    "first\nsecond",
    "x" * 10_000,
)
LISTED = ["4 mm", "6 mm", "9 mm", "12 mm", "15 mm"]
STATIONS = {
    "host_diameter": "12 in",
    "host_wall": "1 in",
    "groundwater_below_surface": "3 ft",
    "station": [
        {"at": "0 ft", "invert_depth": "8 ft"},
        {"at": "150 ft", "invert_depth": "9.7 ft", "ovality": "3 %"},
        {"at": "320 ft", "invert_depth": "2.5 ft"},
    ],
}


def results(*texts, units=None):
    """The designs of every pipe of these project files."""
    return [design(task) for text in texts for task in tasks(parse(text.encode(), "x.toml"), units)]


def document(designs, blocks=()):
    """A document with a schedule, these blocks and a sheet for each design."""
    first, sheets = 1, []
    for each in designs:
        sheets.append(Sheet(each, first))
        first += len(each.stations)
    return Document(
        title="Liner thickness calculation",
        blocks=(Heading("Schedule"), schedule(designs, {}), *blocks, *sheets),
        info=parse(toml().encode(), "x.toml").info,
        units=designs[0].basis.system,
        identity=Identity((FileRead("project", "x.toml", "0" * 64),), "0000-0000-0000-0000"),
    )


def page(designs, blocks=()):
    """The page of these designs as text."""
    return render(document(designs, blocks)).decode()


def partial(**pipe):
    """A partially deteriorated pipe from a resin made in listed thicknesses."""
    drop = ("ovality", "cover", "soil_unit_weight", "soil_reaction_modulus", "live_load")
    drop += ("groundwater_above_invert",)
    own = {
        "condition": "partially deteriorated",
        "host_diameter": "8 in",
        "maximum_diameter": "8.3 in",
        "minimum_diameter": "7.8 in",
        "groundwater_above_crown": "5 ft",
    }
    return toml(pipe=own | pipe, resin={"thicknesses": LISTED}, drop=drop)


def several(**pipe):
    """A pipe with three stations; at the last one no water stands over the invert."""
    return toml(pipe=STATIONS | pipe, drop=("cover", "groundwater_above_invert"))


class Reader(HTMLParser):
    """Elements as (tag, attributes, text inside), in order; refuses what is not nested."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.elements, self._open = [], []
        self.feed(text)
        self.close()
        assert not self._open, self._open

    def handle_starttag(self, tag, attributes):
        names = [name for name, _ in attributes]
        assert len(names) == len(set(names)), (tag, names)
        self.elements.append([tag, dict(attributes), ""])
        if tag not in VOID:
            self._open.append(self.elements[-1])

    def handle_startendtag(self, tag, attributes):
        self.elements.append([tag, dict(attributes), ""])

    def handle_endtag(self, tag):
        assert self._open.pop()[0] == tag

    def handle_data(self, data):
        for element in self._open:
            element[2] += data

    def all(self, tag=None, attribute=None):
        """The elements of a tag, or those that have an attribute."""
        return [
            (name, attributes, text)
            for name, attributes, text in self.elements
            if tag in (None, name) and (attribute is None or attribute in attributes)
        ]


def printed_plainly(text):
    """Without the commas between thousands, and with the minus that a program writes."""
    return re.sub(r"(?<=\d),(?=\d{3})", "", text).replace("−", "-")
