"""A plugin of pytest that notes which functions of the package every passing test calls.

`TOUCHED=FILE pytest -n0 -p touched` writes, by test, its seconds and functions as `module:name`,
`*` where it starts another program. Under a file's own name stands what it calls at its import,
under `linerdesign` what the modules of the package call at theirs.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import pkgutil
import sys
import threading
from collections import Counter, defaultdict
from functools import _lru_cache_wrapper
from pathlib import Path
from types import CodeType

import pytest

PACKAGE = f"{Path(__file__).parents[1] / 'linerdesign'}{os.sep}"
_codes: dict[int, CodeType] = {}
_programs: list[bool] = []
_seconds: Counter[str] = Counter()
_functions: defaultdict[str, set[str]] = defaultdict(set)
_failed: set[str] = set()


def pytest_configure(config):
    sys.addaudithook(_hear)
    threading.settrace(_note)
    for _ in _noted("linerdesign"):
        _import_all()


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    try:
        return (yield from _noted(collector.nodeid))
    finally:
        _forget()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item, nextitem):
    try:
        return (yield from _noted(item.nodeid.partition("[")[0]))
    finally:
        if nextitem is None or nextitem.path != item.path:
            _forget()


def pytest_runtest_logreport(report):
    if report.failed:
        _failed.add(report.nodeid.partition("[")[0])


def pytest_sessionfinish():
    sys.settrace(None)
    kept = {
        name: (seconds, sorted(_functions[name]))
        for name, seconds in _seconds.items()
        if name not in _failed and (_functions[name] or "::" in name)
    }
    Path(os.environ["TOUCHED"]).write_text(json.dumps(kept), encoding="utf-8")


def _import_all():
    package = importlib.import_module("linerdesign")
    for each in pkgutil.walk_packages(package.__path__, "linerdesign."):
        if not each.name.endswith("__main__"):
            importlib.import_module(each.name)


def _note(frame, event, argument):
    _codes[id(frame.f_code)] = frame.f_code


def _hear(event, arguments):
    if event in ("subprocess.Popen", "os.fork", "os.posix_spawn"):
        _programs.append(True)


def _noted(name):
    _codes.clear()
    _programs.clear()
    # Anew for each: a test that recurses too deep ends what is traced.
    sys.settrace(_note)
    started = _processor()
    try:
        return (yield)
    finally:
        _seconds[name] += _processor() - started
        _functions[name].update(_named(code) for code in list(_codes.values()) if _ours(code))
        _functions[name].update("*" for _ in _programs)


def _processor():
    """Seconds of the processor so far, those of the programs started included."""
    return sum(os.times()[:4])


def _ours(code):
    return code.co_filename.startswith(PACKAGE) and code.co_name != "<module>"


def _named(code):
    """`methods/steps:Maker.line`; what has no name of its own by the function round it."""
    module = code.co_filename.removeprefix(PACKAGE).removesuffix(".py")
    names = [name for name in code.co_qualname.split(".") if not name.startswith("<")]
    return f"{module}:{'.'.join(names)}"


def _forget():
    """Empties what functions have kept, which would hide the calls of the tests that follow."""
    for each in gc.get_objects():
        if isinstance(each, _lru_cache_wrapper) and each.__module__.startswith("linerdesign"):
            each.cache_clear()
