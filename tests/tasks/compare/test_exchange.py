"""Properties of one resin exchanged for another's, against single designs of resins made so."""

import pytest
from projects import toml

from linerdesign.methods.sizing import design
from linerdesign.project.assembly import task
from linerdesign.project.measures import Measure
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.exchange import effects
from linerdesign.tasks.compare.systems import cases_of, options

# Initial modulus in psi and retention in percent; the last has no tensile strength.
RESINS = {
    "soft": (250_000, 50),
    "mid": (400_000, 35),
    "stiff": (900_000, 60),
    "weak": (300_000, 40),
}
MORE = "".join(
    f'[[resin]]\nname = "{name}"\nflexural_modulus = "{E} psi"\nmodulus_retention = "{r} %"\n'
    + f'flexural_strength = "{3000 + 2 * r} psi"\n'
    + ('tensile_strength = "3000 psi"\n' if name != "weak" else "")
    for name, (E, r) in list(RESINS.items())[1:]
)
SITE = 'condition = "fully deteriorated"\novality = "2 %"\ncover = "5 ft"\n' + (
    'soil_unit_weight = "120 pcf"\nsoil_reaction_modulus = "1000 psi"\n'
)
STATIONS = (
    f'[[pipe]]\nname = "Two depths"\nhost_diameter = "24 in"\n{SITE}live_load = "0.5 psi"\n'
    'groundwater_above_invert = "5 ft"\n'
    '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\ncover = "16 ft"\n'
)
PRESSED = (
    '[[pipe]]\nname = "Main"\nhost_diameter = "12 in"\ncondition = "partially deteriorated"\n'
    'ovality = "2 %"\ngroundwater_above_invert = "9 ft"\ninternal_pressure = "10 psi"\n'
    'hole_diameter = "1 in"\n'
)
HIGH = (
    f'[[pipe]]\nname = "Shallow"\nhost_diameter = "12 in"\n{SITE}live_load = "none"\n'
    'groundwater = "none"\n'
)
# The strength decides, which differs from resin to resin.
OVAL = (
    '[[pipe]]\nname = "Oval"\nhost_diameter = "24 in"\ncondition = "partially deteriorated"\n'
    'ovality = "9 %"\ngroundwater_above_invert = "20 ft"\n'
)


def read():
    first = {"name": "soft", "tensile_strength": "3000 psi"}
    first |= {"flexural_modulus": "250000 psi", "modulus_retention": "50 %"}
    return parse((toml(resin=first) + STATIONS + PRESSED + HIGH + OVAL + MORE).encode())


@pytest.mark.parametrize(("system", "reference"), [("US", 0), ("SI", 1), ("US", 2), ("SI", 3)])
def test_each_modulus_is_exchanged_alone(system, reference):
    town = read()
    own = town.resins[reference]
    cases = cases_of(town, system)
    table = options(town, cases, Purchase())
    found = effects(town, own, cases.cases, table)

    def needed(pipe, E, retention):
        made = own.changed(
            {
                "flexural_modulus": Measure(E, "psi", ""),
                "modulus_retention": Measure(retention, "%", ""),
            }
        )
        result = design(task(pipe, made, town.criteria, system))
        return result.required_thickness * (25.4 if system == "US" else 1.0)

    E, r = RESINS[own.name]
    others = [name for name in RESINS if name != own.name]
    expected = [
        (pipe.name, name)
        for pipe in town.pipes
        for name in others
        if pipe.name != "Main" or "weak" not in (name, own.name)
    ]
    assert [(each.pipe, each.resin) for each in found] == expected
    for each in found:
        pipe = town.by_name[each.pipe]
        other_E, other_r = RESINS[each.resin]
        row = town.pipes.index(pipe)
        column = [resin.name for resin in town.resins].index(each.resin)
        assert each.reference == pytest.approx(needed(pipe, E, r))
        assert each.reference == table[row][reference].wall.required
        assert each.all_properties == table[row][column].wall.required
        # The long-term modulus of the other with the own initial one, and the reverse.
        assert each.long_term_modulus == pytest.approx(needed(pipe, E, other_E * other_r / E))
        assert each.initial_modulus == pytest.approx(needed(pipe, other_E, E * r / other_E))
    changed = {each.pipe for each in found if each.initial_modulus < 0.99 * each.reference}
    assert ("Shallow" in changed) == (own.name != "stiff")
    strong = [each for each in found if each.pipe == "Oval"]
    assert all(each.initial_modulus == pytest.approx(each.reference) for each in strong)
