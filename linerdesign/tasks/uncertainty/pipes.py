"""The chance that each wall of a calculation is sufficient, and which uncertainty matters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_most
from linerdesign.methods.result import PipeResult
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import Purchase, cost_per_length, currencies
from linerdesign.project.reading import Project
from linerdesign.project.requests import has_legs, length_of
from linerdesign.tasks.uncertainty import inputs, sampling
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.tasks.uncertainty.model import Floats, Model, of_task, reliability_index
from linerdesign.tasks.uncertainty.sampling import FIRST, MOST, SCRAMBLES, TOLERANCE, Share
from linerdesign.tasks.walls import in_mm, made_in_mm

# Designs at most, all pipes and trials together.
MOST_DESIGNS = 30_000_000
# Trials that fail, from which on the reliability index is that of the trials.
ENOUGH_FAILING = 100
# Of the study of single inputs: trials of each pipe, so many at a time, classes of an input, points
# of the indices. By closed forms the value of knowing an input is within one in a hundred.
STUDIED, AT_ONCE, CLASSES, INDEXED = 2**15, 2**12, 64, 2**11


@dataclass(frozen=True)
class Wishes:
    """What is wanted: the uncertainties that are `stated`, or the `usual` ones too; the seed; the
    confidence, a fraction, of a thickness that is chosen for it."""

    which: str = inputs.STATED
    seed: int = sampling.SEED
    confidence: float = 0.95

    @property
    def usual(self) -> bool:
        """Whether inputs without a stated uncertainty have the usual one."""
        return self.which == inputs.USUAL


@dataclass(frozen=True)
class Influence:
    """What one uncertain input does: its first-order and total share of the variance of the
    required thickness, as fractions, and what is saved on the mean if it were known, at the same
    confidence: thickness in mm before rounding, and cost where that is known."""

    uncertainty: Uncertainty
    first: float | None
    total: float | None
    saved: float
    saved_cost: float | None


@dataclass(frozen=True)
class Chances:
    """One pipe under uncertainty; thicknesses in mm.

    `enough` is the chance that the wall meets all criteria, `without_factor` that it carries the
    loads at N = 1, `index` the reliability index of the latter, `by_trials` whether it is that of
    the trials or of first order. `nominal` is sufficient with the confidence wished for.
    """

    name: str
    wall: float
    enough: Share
    without_factor: Share
    index: float
    by_trials: bool
    nominal: float
    influences: tuple[Influence, ...]
    known: Influence | None = None


@dataclass(frozen=True)
class Found:
    """Every pipe with an uncertain input. `together` is the chance that all their walls are
    sufficient at once; `drawn` are the uncertain inputs with the pipe that they belong to and
    what they are drawn once for. `left_out` names pipes with legs, whose thinner wall around a bend
    or in a wider leg the trials do not know."""

    wishes: Wishes
    pipes: tuple[Chances, ...]
    together: Share
    trials: int
    converged: bool
    drawn: tuple[tuple[str, Uncertainty, str], ...]
    currency: str = ""
    left_out: tuple[str, ...] = ()


@dataclass
class _Case:
    """A pipe with its model, and the columns of its inputs among the points."""

    result: PipeResult
    pipe: Pipe
    resin: Resin
    model: Model
    columns: list[int]
    enough: NDArray[np.int64] = field(default_factory=lambda: np.zeros(SCRAMBLES, np.int64))
    carries: NDArray[np.int64] = field(default_factory=lambda: np.zeros(SCRAMBLES, np.int64))

    @property
    def wall(self) -> float:
        """The wall in the unit of the sheet."""
        return self.result.nominal_thickness


class Columns(dict[tuple[str, str], int]):
    """The column of each value that is drawn: what it is drawn once for, and its quantity."""

    def of(self, found: Sequence[Uncertainty], pipe: str, resin: str) -> list[int]:
        """The columns of some inputs, new ones where there are none yet."""
        keys = [(inputs.scope(each.name, pipe, resin), each.key) for each in found]
        return [self.setdefault(key, len(self)) for key in keys]


def pipes_under_uncertainty(
    project: Project, results: Sequence[PipeResult], wishes: Wishes
) -> Found:
    """The chances of the pipes of a calculation.

    Raises:
        InputFaults: uncertainties of values that are not there, or none at all.
    """
    if {result.name for result in results} == set(project.by_name):
        inputs.refuse_unused(project, [result.task for result in results])
    columns, cases = Columns(), []
    drawn = []
    left_out = [r.name for r in results if has_legs(project, project.by_name[r.name])]
    for result in results:
        if result.name in left_out:
            continue
        pipe = project.by_name[result.name]
        resin = project.resin_of(pipe)
        found = inputs.of_task(project, pipe, resin, result.task, wishes.usual)
        if found:
            places = columns.of(found, pipe.name, resin.name)
            cases.append(_Case(result, pipe, resin, of_task(result.task, found), places))
            drawn += [(pipe.name, e, inputs.scope(e.name, pipe.name, resin.name)) for e in found]
    if not cases:
        others = [each for pipe in project.faulty or () for each in pipe.faults]
        missing = fault("uncertainty.none", project.file_name or "the project")
        raise InputFaults(others or [missing])
    trials, together, converged = _drawn(cases, wishes.seed, len(columns))
    return Found(
        wishes=wishes,
        pipes=tuple(_chances(case, wishes, trials) for case in cases),
        together=together,
        trials=trials,
        converged=converged,
        drawn=tuple(drawn),
        currency=", ".join(currencies(case.resin for case in cases)),
        left_out=tuple(left_out),
    )


def most_points(cases: int) -> int:
    """Points of a scramble at most for so many designs of one trial."""
    most = MOST_DESIGNS // (cases * SCRAMBLES)
    return int(np.clip(2 ** (most.bit_length() - 1), FIRST, MOST))


def _drawn(cases: Sequence[_Case], seed: int, columns: int) -> tuple[int, Share, bool]:
    """Counts in every case until all chances are known well enough: the trials, the chance that
    all walls are sufficient at once, and whether the error aimed at was reached."""
    counted, done = np.zeros(SCRAMBLES, np.int64), 0
    for block in sampling.blocks(seed, columns, most_points(2 * len(cases))):
        flat = np.concatenate(block)[None]
        every = np.ones(flat.shape[1], bool)
        for case in cases:
            own = flat[..., case.columns]
            enough = at_most(case.model.required(own)[0], case.wall)
            carries = at_most(case.model.required(own, without_factor=True)[0], case.wall)
            case.enough += by_scramble(enough)
            case.carries += by_scramble(carries)
            every &= enough
        counted += by_scramble(every)
        done += block.shape[1]
        every_count = [counted, *(c for case in cases for c in (case.enough, case.carries))]
        together, *others = (sampling.share(each, done) for each in every_count)
        converged = all(each.error <= TOLERANCE for each in (together, *others))
        if converged:
            break
    return done * SCRAMBLES, together, converged


def by_scramble(happened: Any) -> NDArray[np.int64]:
    """How often something happened in each scramble."""
    return np.array([np.count_nonzero(each) for each in np.split(happened, SCRAMBLES)])


def _chances(case: _Case, wishes: Wishes, trials: int) -> Chances:
    of_each = trials // SCRAMBLES
    enough, carries = (sampling.share(c, of_each) for c in (case.enough, case.carries))
    index, by_trials = index_of(
        case.model, np.array([case.wall]), trials - case.carries.sum(), trials
    )
    nominal, influences, known = _study(case, wishes)
    return Chances(
        name=case.result.name,
        wall=float(made_in_mm(case.model.basis, case.wall)),
        enough=enough,
        without_factor=carries,
        index=float(index[0]),
        by_trials=bool(by_trials[0]),
        nominal=nominal,
        influences=influences,
        known=known,
    )


def index_of(model: Model, walls: Floats, failing: Any, trials: Any) -> tuple[Floats, Any]:
    """The reliability index of each pipe, and whether it is that of the trials: it is where
    enough of them fail, or pass, to tell it; else of first order."""
    from scipy.special import ndtri

    failed = np.broadcast_to(failing, walls.shape)
    told = (failed >= ENOUGH_FAILING) & (trials - failed >= ENOUGH_FAILING)
    found = np.where(told, 0.0 - ndtri(failed / trials), np.nan)
    if not told.all():
        rest = reliability_index(model, walls)
        # Where trials fail that the search does not know of, nothing is said.
        found = np.where(told, found, np.where((rest == np.inf) & (failed > 0), np.nan, rest))
    return found, told


def _study(case: _Case, wishes: Wishes) -> tuple[float, tuple[Influence, ...], Influence | None]:
    """The nominal thickness for the confidence, what each input does, and what all do together."""
    model, count = case.model, len(case.model.uncertain)
    shares = sampling.points(wishes.seed, count, STUDIED)
    parts = np.split(shares, STUDIED // AT_ONCE)
    required = np.concatenate([model.required(part[None])[0] for part in parts])
    floor = float(np.max(model.inputs.get("t_floor", 0.0)))

    def confident(some: Floats) -> float:
        return max(float(np.quantile(some, wishes.confidence, method="higher")), floor)

    now = confident(required)
    nominal = float(made_in_mm(model.basis, model.nominal(np.array([now]))[0]))
    first, total = _indices(model, wishes.seed)
    found = []
    for place, each in enumerate(model.uncertain):
        classes = np.floor(shares[:, place] * CLASSES)
        walls = np.array([confident(required[classes == c]) for c in range(CLASSES)])
        saved = _saved(case, now, walls)
        found.append(Influence(each, first[place], total[place], *saved))
    known = None
    if count > 1:
        saved = _saved(case, now, np.maximum(required, floor))
        known = Influence(model.uncertain[0], None, None, *saved)
    return nominal, tuple(found), known


def _saved(case: _Case, now: float, walls: Floats) -> tuple[float, float | None]:
    """What walls of other thicknesses save on the mean: in mm, and in money where it is known."""
    basis, length = case.model.basis, length_of(case.pipe)
    thick = in_mm(basis, np.append(walls, now))
    saved = float(thick[-1] - np.mean(thick[:-1]))
    wide = in_mm(basis, float(np.max(case.model.inputs["D"])))
    costs = cost_per_length(wide, thick, case.resin, Purchase())
    if costs is None or length is None:
        return saved, None
    spread = np.broadcast_to(costs, thick.shape)
    money = float((spread[-1] - np.mean(spread[:-1])) * length.to("m"))
    return saved, money if np.isfinite(money) else None


def _indices(model: Model, seed: int) -> Iterator[list[float | None]]:
    """The first-order and the total Sobol indices of the required thickness."""
    from scipy import stats

    count = len(model.uncertain)
    none: list[float | None] = [None] * count

    def thickness(at: Floats) -> Floats:
        # The indices are computed in place: a copy.
        return np.array(model.required(at.T[None])[0])

    sample = thickness(sampling.points(seed, count, FIRST).T)
    if not np.isfinite(sample).all() or np.ptp(sample) == 0:
        yield none
        yield none
        return
    if count == 1:
        yield [1.0]
        yield [1.0]
        return
    uniform = [stats.uniform()] * count
    rng = np.random.default_rng(seed)
    found = stats.sobol_indices(func=thickness, n=INDEXED, dists=uniform, rng=rng)
    for part in (found.first_order, found.total_order):
        yield [float(each) if np.isfinite(each) else None for each in np.ravel(part)]
