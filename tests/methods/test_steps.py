"""The lines of a sheet of two stations: what they share stands once, the rest at each."""

from dataclasses import replace

import pytest
from projects import sized

from linerdesign.expressions.tree import Call, Number, Symbol
from linerdesign.methods.equation import Condition, Limit, Severity
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.lines import line
from linerdesign.methods.method import lines_of
from linerdesign.methods.origin import Giver, Origin
from linerdesign.methods.steps import input_step, input_steps, line_step, sheet_steps
from linerdesign.methods.task import Input
from linerdesign.methods.verification import Verified, constant_identity, identity_of
from linerdesign.methods.working import signed, values_of, worked

PLACES = ("0 ft", "90 ft")
# Of a fully deteriorated pipe, what the groundwater enters, itself or as the condition of X1.2.
BY_WATER = {
    *("h_invert", "H_w", "sigma_L", "P", "R_w", "q_t", "t_X1_1", "a_q", "b_q", "t_X1_2", "t_X1_3"),
    *("P_X1_1", "N_X1_1", "sigma_X1_2", "sigma_allowed", "N_X1_2", "q_X1_3", "N_X1_3"),
}


@pytest.fixture(scope="module")
def result():
    """Groundwater 6 ft and 14 ft above the invert; all else is shared."""
    stations = [
        {"at": place, "groundwater_above_invert": head}
        for place, head in zip(PLACES, ("6 ft", "14 ft"), strict=True)
    ]
    return sized(pipe={"station": stations}, drop=("groundwater_above_invert",))


def test_what_the_water_enters_stands_at_each_station_and_the_rest_once(result):
    places = {}
    for step in result.steps:
        places.setdefault(step.key, []).append(step.station)
    assert {key for key, at in places.items() if at == list(PLACES)} == BY_WATER
    assert places.pop("t_required") == [*PLACES, None]
    assert all(at == [None] for key, at in places.items() if key not in BY_WATER)


def test_the_steps_are_numbered_through_and_have_the_values_of_their_stations(result):
    assert [step.number for step in result.steps] == list(range(1, len(result.steps) + 1))
    heads = {step.station: step.value for step in result.steps if step.key == "P"}
    assert heads == {"0 ft": pytest.approx(0.433 * 6), "90 ft": pytest.approx(0.433 * 14)}
    (worst,) = (step for step in result.steps if step.key == "t_required" and not step.station)
    assert worst.value == result.required_thickness == result.value("t_required", "90 ft")
    assert worst.source.endswith("the worst station governs")
    assert worst.equation is None
    # Once the wall is chosen, its lines stand once, for the station that asks for the thickest.
    (least,) = (step for step in result.steps if step.key == "t_least")
    assert dict(least.values)["t_required"] == worst.value
    assert [step.key for step in result.steps][-1] == "S_X1_4"


def test_a_line_that_does_not_apply_has_no_number():
    """Without groundwater neither X1.1 nor X1.2 asks for anything."""
    dry = sized(pipe={"groundwater_above_invert": "0 ft"}).steps
    idle = {step.key for step in dry if not step.applies}
    assert {"t_X1_1", "t_X1_2", "P_X1_1"} <= idle
    assert all((step.number == 0) is (step.key in idle) for step in dry)
    assert [step.number for step in dry if step.applies] == [
        *range(1, len([step for step in dry if step.applies]) + 1)
    ]


def test_the_provenance_of_a_published_value_is_that_of_its_verification():
    """A value that is no published one has nothing to verify."""
    record = Verified("2022", "X1.2.1", "A. Reed", "2026-01-05")
    verified = {constant_identity("K", "US"): record}
    for giver, found in ((Giver.STANDARD, record), (Giver.PIPE, None)):
        given = Input("K", 7.0, Origin("", giver, provenance="memory"))
        step = input_step(given, "US", None, verified)
        assert step.verified == found
        assert step.origin.provenance == (found.text if found else "memory")
    assert input_step(given, "US").origin.provenance == "memory"


# The published example in its order, each number worked by hand from those before it and rounded
# as in print (Najafi 2010, pp. 75-83).
INPUTS = """
D 48 in; q_pipe 2 %; H 16 ft; h_invert 12 ft; w 120 pcf; E_s 1000 psi; W_s 0.35 psi; E 250000 psi;
r_E 50 %; sigma 4500 psi; r_sigma 50 %; nu 0.3; N 2; K 7; DR_max 100; q_floor 0 %; t_floor 0 in;
s 0.05906 in; S_min 0.093 psi"""
WORKED = """
q 2 %; H_w 8 ft; C 0.8358; E_L 125000 psi; sigma_L 2250 psi; P 5.196 psi; R_w 0.835; B 0.4143;
q_t 14.95 psi; t_X1_1 0.8779 in; a_q 0.0306; b_q 0.51; t_X1_2 0.5169 in; t_DR_limit 0.48 in;
t_X1_3 1.008 in; t_X1_4 0.7903 in; t_required 1.008 in; t_least 1.008 in; n_steps 18; t 1.063 in;
DR 45.16; I 0.1001 in^3; P_X1_1 9.334 psi; N_X1_1 3.593; sigma_X1_2 204.5 psi;
sigma_allowed 1125 psi; N_X1_2 11; q_X1_3 16.18 psi; N_X1_3 2.164; S_X1_4 0.2263 psi"""


def printed(steps):
    return [f"{step.key} {step.value:.4g} {step.unit}".rstrip() for step in steps]


def rows(text):
    named = (each.split(maxsplit=2) for each in text.replace("\n", " ").split(";"))
    return [" ".join([key, f"{float(value):.4g}", *unit]) for key, value, *unit in named]


def test_the_whole_sheet_of_the_published_example():
    """Inputs first, then every line, each with what it reads from the lines above it."""
    result = sized()
    assert printed(result.steps) == rows(INPUTS) + rows(WORKED)
    known = {}
    for step in result.steps:
        if step.line is None:
            assert (step.origin is not None, step.arithmetic, step.values) == (True, None, ())
        else:
            assert step.origin is None
            assert dict(step.values) == {key: known[key] for key in step.line.arguments}
            assert step.line.result == step.key
            assert step.arithmetic is not None
        assert (step.station, step.applies, step.limits_left) == (None, True, ())
        known[step.key] = step.value
    given = input_steps(result.task)
    assert printed(given) == rows(INPUTS)
    assert {step.number for step in given} == {0}
    assert [step.value for step in given] == [step.value for step in result.steps[: len(given)]]


@pytest.mark.parametrize(
    ("pipe", "asking"),
    [
        ({"condition": "partially deteriorated"}, ("t_X1_1", "t_X1_2", "t_DR_limit")),
        (
            {"condition": "partially deteriorated", "groundwater_above_invert": "0 ft"},
            ("t_DR_limit",),
        ),
        (
            {"condition": "partially deteriorated", "ovality": "0 %"},
            ("t_X1_1", "t_DR_limit"),
        ),
    ],
)
def test_the_largest_is_taken_of_the_thicknesses_that_are_asked_for(pipe, asking):
    (largest,) = (step for step in sized(pipe=pipe).steps if step.key == "t_required")
    text = repr(largest.arithmetic)
    assert [key for key in ("t_X1_1", "t_X1_2", "t_DR_limit") if f"'{key}'" in text] == [*asking]
    if len(asking) == 1:
        assert largest.arithmetic == Symbol(*asking)


def test_the_worst_of_the_stations_is_the_largest_of_their_thicknesses(result):
    (worst,) = (step for step in result.steps if step.key == "t_required" and not step.station)
    each = [
        Number(step.value) for step in result.steps if step.key == "t_required" and step.station
    ]
    assert len(each) == 2
    assert worst.arithmetic == Call("max", tuple(each))
    assert (worst.unit, worst.line, worst.origin) == ("in", None, None)


def test_a_line_flags_the_ranges_that_its_values_leave():
    """A retention of 60 % is over 50, and with N = 1.5 leaves a factor of 2.5; E in psi and MPa."""
    of = line(gravity.long_term_modulus)
    values = {"E": 90_000.0, "r_E": 60.0, "N": 1.5, "E_L": 54_000.0}
    high, low, psi, mpa = (
        f"f1216.{each}"
        for each in (
            *("high_modulus_retention", "low_long_term_factor"),
            *("unusual_modulus_us", "unusual_modulus_si"),
        )
    )

    def left(system="US", waivers=frozenset(), **changes):
        known = {key: each for key, each in (values | changes).items() if each is not None}
        step = line_step(of, known, system, waivers=waivers)
        return [limit.code for limit in step.limits_left]

    assert left() == [high, low, psi]
    assert left("SI") == [high, low, mpa]
    assert left(waivers=frozenset({"evidence"})) == [low, psi]
    assert left(waivers=frozenset({"enhancement_evidence"})) == [high, low, psi]
    assert left(N=None) == [high, psi]
    assert left(N=1.8) == [high, psi]
    assert left(E=100_000.0, r_E=50.0) == []


def test_a_range_is_judged_as_soon_as_all_that_it_reads_is_known():
    """Of a line that knows its argument and its result, and nothing else: 1.2^3/12 is 0.144."""
    thick = Limit(Condition(lambda t, I: t < I), Severity.CAUTION, "f1216.no_bore")
    of = line(replace(gravity.wall_inertia, limits=(thick,)))
    assert line_step(of, {"t": 1.2, "I": 0.144}, "US").limits_left == (thick,)
    assert line_step(of, {"t": 12.0, "I": 144.0}, "US").limits_left == ()


def test_a_line_that_does_not_apply_flags_nothing_and_has_no_arithmetic():
    """Of a dry pipe with a retention of 60 %, over the usual 50."""
    pipe = {"condition": "partially deteriorated", "groundwater_above_invert": "0 ft"}
    resin = {"modulus_retention": "60 %"}
    for head, flags in (("0 ft", 0), ("3 ft", 1)):
        steps = sized(pipe=pipe | {"groundwater_above_invert": head}, resin=resin).steps
        (modulus,) = (step for step in steps if step.key == "E_L")
        assert len(modulus.limits_left) == flags
        assert (modulus.arithmetic is not None) is bool(flags)


def test_what_the_project_gives_and_no_line_reads_says_so():
    """Cover and soil of a sound host; the defaults that no line reads are left out."""
    steps = sized(pipe={"condition": "partially deteriorated"}).steps
    inputs = {step.key: step.source for step in steps if step.line is None}
    unused = {key for key, source in inputs.items() if "not used here" in source}
    assert unused == {"H", "w", "E_s", "W_s"}
    assert "S_min" not in inputs
    assert inputs["H"] == "given, not used here, stated as 16 ft"


def test_an_office_signs_each_line_and_constant_of_a_sheet():
    """Every equation of the sheet, the choice of the wall included, and the least stiffness."""
    record = Verified("2022", "X1.2", "A. Reed", "2026-01-05")
    plain = sized(pipe={"station": [{"at": "0 ft"}, {"at": "9 ft", "cover": "12 ft"}]})
    lines = lines_of(plain.basis)
    whole = {identity_of(each.equation): record for each in lines}
    whole[constant_identity("S_min", "US")] = record
    result = replace(plain, task=replace(plain.task, verified=whole))
    steps = sheet_steps(result)
    own = {each.result for each in lines} | {"S_min"}
    for step in steps:
        by_line = step.line is not None or step.key == "S_min"
        assert step.verified == (record if by_line else None), step.key
        assert (step.provenance == "verified") is by_line
    assert own <= {step.key for step in steps if step.verified}
    signed_inputs = {step.key for step in input_steps(result.task) if step.verified}
    assert signed_inputs == {"S_min"}


def test_lines_worked_beside_a_design():
    """D/t of 48 and 1.2 is 40, t^3/12 is 0.144 and E I/D^3 0.3255 psi."""
    inputs = [Input("D", 48.0), Input("t", 1.2), Input("E", 250_000.0)]
    lines = [line(each) for each in (gravity.dimension_ratio, gravity.wall_inertia)]
    lines.append(line(gravity.stiffness))
    expected = {"D": 48.0, "t": 1.2, "E": 250_000.0, "DR": 40.0, "I": 0.144}
    expected["S_X1_4"] = 250_000 * 0.144 / 48**3
    assert values_of(inputs, lines) == pytest.approx(expected)
    steps = worked(inputs, lines, "US")
    assert {step.key: step.value for step in steps} == pytest.approx(expected)
    assert [step.number for step in steps] == [1, 2, 3, 4, 5, 6]
    assert [step.unit for step in steps] == ["in", "in", "psi", "", "in^3", "psi"]
    assert worked(inputs, lines, "SI")[-1].unit == "MPa"
    with pytest.raises(KeyError):
        worked(inputs[:2], lines, "US")
    record = Verified("2022", "X1.2", "A. Reed", "2026-01-05")
    found = signed(steps, {identity_of(gravity.stiffness): record})
    assert [step.verified for step in found] == [*5 * [None], record]
    assert [replace(step, verified=None) for step in found] == [*steps]
    assert signed(list(steps), {}) == steps
