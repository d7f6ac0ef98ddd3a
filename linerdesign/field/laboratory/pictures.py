"""Pictures of a creep test: the readings with their model and bound, and the residuals."""

from __future__ import annotations

import numpy as np

from linerdesign.documents.blocks import Picture
from linerdesign.documents.figures import COLOURS, DASHES, label, new_figure, picture
from linerdesign.expressions.printing import positional
from linerdesign.field.laboratory.creep import CreepFit, CreepResult
from linerdesign.words import sentence


def creep_line(result: CreepResult, unit: str, factor: float) -> Picture:
    """Modulus over time in logarithms; `factor` turns the moduli of the fit into `unit`."""
    figure, (axes,) = new_figure(6.5, 4.0, 1)
    fits = _drawn(result)
    what = sentence(f"field.property_read_{result.adopted.test}")
    for number, fit in enumerate(fits):
        colour = COLOURS[number % len(COLOURS)]
        time = np.geomspace(min(fit.t0, float(fit.time[0])), fit.life_hours, 200)
        name = label(fit.level or "readings")
        axes.plot(fit.time, factor * fit.modulus, "o", color=colour, ms=3.5, label=name)
        dash = DASHES[number % len(DASHES)]
        axes.plot(time, factor * fit.line(time), color=colour, ls=dash, lw=1.4)
        if fit is result.adopted:
            axes.plot(
                time,
                factor * fit.lower_line(time),
                color=colour,
                lw=0.9,
                ls=":",
                label=f"one-sided {100 * fit.confidence:g} % prediction bound",
            )
    adopted = result.adopted
    axes.axvline(adopted.life_hours, color="black", lw=0.8, label="design life")
    axes.set_xscale("log")
    axes.set_yscale("log")
    axes.set_xlabel("time, h")
    axes.set_ylabel(f"{what}, {unit}")
    axes.yaxis.set_major_formatter("{x:.6g}")
    axes.yaxis.set_minor_formatter("{x:.6g}")
    axes.tick_params(axis="y", which="minor", labelsize=7)
    axes.legend(frameon=False, fontsize=8)
    at_life, bound = (
        f"{positional(factor * value, 4)} {unit}"
        for value in (adopted.modulus_at_life, adopted.lower_bound)
    )
    moves = "rises" if adopted.slope > 0 else "falls"
    return picture(
        figure,
        sentence("field.creep_picture"),
        f"{what.capitalize()} {moves} with slope {adopted.slope:.4f} in logarithms "
        f"({adopted.curve.name}) to {at_life} at {adopted.life_hours:,.0f} h; "
        f"prediction bound {bound}.",
    )


def residuals(result: CreepResult) -> Picture:
    """Readings over their model, in percent, against time."""
    figure, (axes,) = new_figure(6.5, 2.6, 1)
    for number, fit in enumerate(_drawn(result)):
        axes.plot(
            fit.time,
            100 * (10**fit.residuals - 1),
            "o",
            color=COLOURS[number % len(COLOURS)],
            ms=3.5,
            label=label(fit.level or "readings"),
        )
    axes.axhline(0.0, color="black", lw=0.8)
    axes.set_xscale("log")
    axes.set_xlabel("time, h")
    axes.set_ylabel("over the model, %")
    axes.legend(frameon=False, fontsize=8)
    most = 100 * max(float(np.abs(10**fit.residuals - 1).max()) for fit in _drawn(result))
    return picture(figure, "Residuals", f"Largest residual {most:.2f} %.")


def _drawn(result: CreepResult) -> tuple[CreepFit, ...]:
    """The levels, and the line through all of them where that one was adopted."""
    return result.levels if result.adopted in result.levels else (result.adopted,)
