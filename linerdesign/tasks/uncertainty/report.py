"""The chances of a calculation as blocks of its document and as JSON data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.json import amount, quantity
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.tasks.uncertainty.model import FAR
from linerdesign.tasks.uncertainty.pipes import ENOUGH_FAILING, Chances, Found, Influence, Wishes
from linerdesign.tasks.uncertainty.sampling import SCRAMBLES, TOLERANCE, Share
from linerdesign.words import heads_of, of_area

# Pipes whose inputs are listed one by one.
MOST_PIPES = 20
# The share of the variance from which on an input is listed that saves nothing.
LEAST_SHARE = 0.005
Drawn = Sequence[tuple[str, Uncertainty, str]]

said = of_area("uncertainty")


def blocks(found: Found) -> Iterator[Block]:
    """The section of a calculation."""
    yield Heading(said("title"))
    yield Paragraph(said("no_model"))
    yield _pipes(found)
    yield from _influences(found)
    yield inputs_grid(found.drawn)
    yield Bullets(tuple(_about(found)))


def _about(found: Found) -> Iterator[str]:
    if len(found.pipes) > 1:
        chance = plus_minus(found.together)
        yield said("together", count=len(found.pipes), chance=f"{chance} %")
    yield from about_left_out(found.left_out)
    yield said("enough")
    yield said("index", failing=ENOUGH_FAILING)
    yield said("confidence", confidence=100 * found.wishes.confidence)
    yield said("shares")
    yield said("value", least=100 * LEAST_SHARE)
    yield from about_trials(found.wishes, found.trials, found.converged)


def about_left_out(names: Sequence[str]) -> Iterator[str]:
    """The pipes of which nothing is said."""
    if names:
        yield said("left_out", names=", ".join(names))


def about_trials(wishes: Wishes, trials: int, converged: bool) -> Iterator[str]:
    """How the chances were found."""
    yield said("once")
    if wishes.usual:
        yield said("usual")
    yield said("trials", trials=trials, seed=wishes.seed, scrambles=SCRAMBLES)
    if not converged:
        yield said("not_converged", tolerance=100 * TOLERANCE)


def plus_minus(share: Share) -> str:
    """A chance in percent with its error."""
    return said("plus_minus", percent=100 * share.chance, error=100 * share.error)


def _pipes(found: Found) -> Grid:
    rows = tuple(
        (
            each.name,
            f"{each.wall:g}",
            plus_minus(each.enough),
            plus_minus(each.without_factor),
            _index(each),
            f"{each.nominal:g}" if math.isfinite(each.nominal) else "-",
        )
        for each in found.pipes
    )
    confident = f"{100 * found.wishes.confidence:g} %, mm"
    columns = heads_of("uncertainty.pipes", confident=confident)
    return Grid(columns, "<>>>>>", rows, said("pipes"))


def _index(each: Chances) -> str:
    if math.isnan(each.index):
        return "-"
    if math.isinf(each.index):
        return said("certain" if each.index == math.inf else "never", most=FAR)
    return f"{each.index:.2f}" if each.by_trials else said("first_order", index=each.index)


def _influences(found: Found) -> Iterator[Block]:
    """Inputs with a share of the variance or something saved; in one line what is worth nothing."""
    lowest = sorted(found.pipes, key=lambda each: each.enough.chance)[:MOST_PIPES]
    shown = [each for each in found.pipes if each in lowest]
    priced = any(i.saved_cost is not None for each in shown for i in each.influences)
    rows: list[tuple[str, ...]] = []
    nothing: list[str] = []
    for each in shown:
        ordered = sorted(each.influences, key=lambda i: -(i.total or 0.0))
        cells = [(i.uncertainty.meaning, i) for i in ordered]
        cells += [(said("all_known"), each.known)] if each.known else []
        if cells and not any(_saves(i) for _, i in cells):
            nothing.append(each.name)
        rows += [
            (each.name, name, *_influence(i, priced))
            for name, i in cells
            if _saves(i) or (i.total or 0.0) >= LEAST_SHARE
        ]
    columns = heads_of("uncertainty.influences", currency=found.currency)[: None if priced else -1]
    code = "influences" if len(shown) == len(found.pipes) else "influences_most"
    caption = said(code, count=len(shown), all=len(found.pipes))
    if rows:
        yield Grid(columns, "<<>>>" + ">" * priced, tuple(rows), caption)
    if nothing:
        code = "not_worth" if len(nothing) < len(shown) else "none_worth"
        yield Bullets((said(code, pipes=", ".join(nothing)),))


def _saves(each: Influence) -> bool:
    """Whether knowing the input saves anything, as printed."""
    return bool(math.isfinite(each.saved) and round(each.saved, 2) > 0)


def _influence(each: Influence, priced: bool) -> tuple[str, ...]:
    shares = ("-" if part is None else f"{100 * part:z.0f}" for part in (each.first, each.total))
    saves = _saves(each)
    # What saves no thickness saves no money: the rest is the scatter of the trials.
    money = "-" if each.saved_cost is None else f"{each.saved_cost if saves else 0:,.0f}"
    saved = f"{each.saved if saves else 0:.2f}" if math.isfinite(each.saved) else "-"
    return (*shares, saved, *([money] if priced else []))


def inputs_grid(drawn: Drawn, names: Mapping[str, str] = MappingProxyType({})) -> Grid:
    """Every uncertain input with its distribution, and what it is drawn once for.

    `names` are those of resins as the document has them, where they are more than the name.
    """
    found: dict[tuple[str, ...], dict[str, None]] = {}
    for pipe, each, scope in drawn:
        source = said("stated") if each.stated else said("by_source", origin=each.origin)
        resin = names.get(scope, scope)
        own = said("drawn_pipe") if scope == pipe else said("drawn_resin", name=resin)
        own = own if scope else said("drawn_project")
        row = (each.meaning, each.words, source, own)
        found.setdefault(row, {})[pipe] = None
    rows = tuple((*row, str(len(pipes))) for row, pipes in found.items())
    return Grid(heads_of("uncertainty.inputs"), "<<<<>", rows, said("inputs"))


def data(found: Found) -> dict[str, Any]:
    """The chances as JSON data."""
    return {
        **trials_data(found.wishes, found.trials, found.converged),
        "all_sufficient": share_data(found.together),
        "pipes": [_pipe_data(each, found.currency) for each in found.pipes],
        "inputs": inputs_data(found.drawn),
        "left_out": list(found.left_out),
    }


def trials_data(wishes: Wishes, trials: int, converged: bool) -> dict[str, Any]:
    """How the chances were found, as JSON data."""
    return {
        "uncertainties": wishes.which,
        "seed": wishes.seed,
        "trials": trials,
        "converged": converged,
        "confidence": wishes.confidence,
    }


def share_data(share: Share) -> dict[str, float]:
    """A chance as JSON data."""
    return {"chance": share.chance, "standard_error": share.error}


def inputs_data(drawn: Drawn) -> list[dict[str, Any]]:
    """The uncertain inputs as JSON data."""
    return [
        {
            "pipe": pipe,
            "key": each.name,
            "uncertainty": each.words,
            "distribution": each.distribution.shape,
            "stated": each.stated,
            "source": each.origin,
            "drawn_once_for": scope,
        }
        for pipe, each, scope in drawn
    ]


def finite(number: float | None) -> float | None:
    """The number, none where it is not finite: JSON has no other."""
    return number if number is not None and math.isfinite(number) else None


def _pipe_data(each: Chances, currency: str) -> dict[str, Any]:
    known = each.known
    return {
        "name": each.name,
        "wall": amount(each.wall, "mm"),
        "sufficient": share_data(each.enough),
        "without_safety_factor": share_data(each.without_factor),
        "reliability_index": finite(each.index),
        "reliability_index_by": "trials" if each.by_trials else "first order",
        "nominal_for_confidence": quantity(finite(each.nominal), "mm"),
        "influences": [
            {"key": i.uncertainty.name, "first_order": i.first, "total": i.total}
            | _saved(i, currency)
            for i in each.influences
        ],
        "all_known": known and _saved(known, currency),
    }


def _saved(each: Influence, currency: str) -> dict[str, Any]:
    return {
        "saved": quantity(finite(each.saved), "mm"),
        "saved_cost": amount(each.saved_cost, currency),
    }
