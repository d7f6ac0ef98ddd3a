"""A test that a route names must run, over all its cases, every equation that the route claims."""

from collections import Counter
from functools import cache

import pytest
from evidence import running
from routes import ROUTES

_LEFT = {f"tests/{route.test}": set(route.equations) for route in ROUTES if route.equations}
_RUN: Counter[str] = Counter()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item):
    """Notes the equations that run; after the last case of the function none may be left."""
    name = _function(item)
    if name not in _LEFT:
        return (yield)
    with running() as run:
        result = yield
    _LEFT[name] -= run
    _RUN[name] += 1
    if _RUN[name] == _cases(item.session)[name] and _LEFT[name] and not _selected(item.config):
        pytest.fail(f"routes claim what {name} never runs: {[e.number for e in _LEFT[name]]}")
    return result


@cache
def _cases(session):
    """How many cases of each function this session runs."""
    return Counter(map(_function, session.items))


def _function(item):
    return item.nodeid.partition("[")[0]


def _selected(config):
    """Whether somebody runs single cases, which need not run everything."""
    by_word = config.option.keyword or getattr(config.option, "lf", False)
    return bool(by_word) or any("::" in str(each) for each in config.args)
