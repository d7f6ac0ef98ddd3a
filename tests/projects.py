"""Project files made from a few values, for tests. The values are invented."""

from linerdesign.project.assembly import designed_all, tasks
from linerdesign.project.floors import watch
from linerdesign.project.reading import parse

RESIN = {
    "name": "Felt A",
    "flexural_modulus": "250000 psi",
    "flexural_strength": "4500 psi",
}
# The published 48 in example: Najafi 2010, pp. 75-83.
PIPE = {
    "name": "Trunk",
    "condition": "fully deteriorated",
    "host_diameter": "48 in",
    "ovality": "2 %",
    "cover": "16 ft",
    "groundwater_above_invert": "12 ft",
    "soil_unit_weight": "120 pcf",
    "soil_reaction_modulus": "1000 psi",
    "live_load": "0.35 psi",
}


# A lateral of 4 in for tests of legs, and its felt.
FELT = {"name": "felt"} | {key: RESIN[key] for key in ("flexural_modulus", "flexural_strength")}
LATERAL = {
    "name": "L1",
    "condition": "partially deteriorated",
    "host_diameter": "4 in",
    "ovality": "2 %",
    "groundwater_above_invert": "8 ft",
}
# Of a line in two legs, behind its pipe.
LEGS = """
[[pipe.leg]]
at = "0 ft"
[[pipe.leg]]
at = "20 ft"
host_diameter = "4.6 in"
bend = "45 deg"
bend_radius = "12 in"
"""


def toml(pipe=None, resin=None, criteria=None, project=None, drop=()):
    """The text of a project with one pipe: the usual values less `drop`, and those given."""
    pipe = {k: v for k, v in PIPE.items() if k not in drop} | (pipe or {})
    tables = {
        "[project]": {"title": "Harrowmere trunk"} | (project or {}),
        "[criteria]": criteria or {},
        "[[resin]]": RESIN | (resin or {}),
        "[[pipe]]": pipe,
    }
    return "\n".join(f"{head}\n{_body(table)}" for head, table in tables.items())


def _body(table):
    stations = table.get("station", [])
    lines = [f"{key} = {_value(value)}" for key, value in table.items() if key != "station"]
    for station in stations:
        lines.append(f"[[pipe.station]]\n{_body(station)}")
    return "\n".join(lines) + "\n"


def _value(value):
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    if isinstance(value, list):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value)


def sized(units=None, **tables):
    """The design of the one pipe of `toml(**tables)`."""
    project = parse(toml(**tables).encode(), "test.toml")
    return designed_all(tasks(project, units), watch(project.criteria))[0]
