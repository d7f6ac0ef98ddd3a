"""Mappings that no person would write: faults or a project, and never anything else."""

import datetime
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from projects import PIPE, toml

import linerdesign

GOOD = tomllib.loads(toml())
SETTINGS = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
odd = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=20),
    st.binary(max_size=5),
    st.just(datetime.date(2026, 1, 1)),
    st.just(10**400),
    st.sets(st.integers(), max_size=2),
)
keys = st.one_of(st.text(max_size=10), st.integers(), st.none(), st.sampled_from(list(PIPE)))
anything = st.recursive(
    odd, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3)
)


def assert_safe(tables):
    try:
        sizing = linerdesign.size(linerdesign.read(tables))
    except linerdesign.InputFaults as refused:
        faults = refused.faults
    else:
        faults = ()
        assert all(0 < pipe.required_thickness < float("inf") for pipe in sizing.pipes)
    assert all(fault.code and str(fault) for fault in faults)


@SETTINGS
@given(st.dictionaries(st.sampled_from(["project", "criteria", "resin", "pipe", ""]), anything))
def test_tables_at_random(tables):
    assert_safe(tables)


@SETTINGS
@given(st.sampled_from([*PIPE, "station", "origin", "stated", "diameters"]), anything)
def test_one_value_of_a_pipe_at_random(key, value):
    assert_safe({**GOOD, "pipe": [{**PIPE, key: value}]})


@SETTINGS
@given(st.sampled_from(list(GOOD)), anything)
def test_one_table_at_random(table, value):
    assert_safe({**GOOD, table: value})


def test_nesting_beyond_reason():
    deep = {}
    for _ in range(20_000):
        deep = {"pipe": deep}
    with pytest.raises(linerdesign.InputFaults, match="nesting"):
        linerdesign.read(deep)
    round_and_round = {}
    round_and_round["pipe"] = [round_and_round]
    with pytest.raises(linerdesign.InputFaults, match="nesting"):
        linerdesign.read(round_and_round)
