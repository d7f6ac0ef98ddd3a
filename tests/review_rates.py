"""How often a review names a seeded error, and how often it accuses a right calculation.

Pipes, errors and rounding are drawn from a fixed seed; the numbers come from the hand calculation
of `by_hand`. `python tests/review_rates.py 500` prints the rates of a longer run.
"""

import math
import random
import sys
from collections import Counter
from decimal import ROUND_DOWN, ROUND_HALF_UP, ROUND_UP, Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from by_hand import SLIPS, project, random_pipe, thicknesses

from linerdesign.project.reading import parse
from linerdesign.tasks.review.reviewing import Wishes, reviewed

# The share by which an error must move the required thickness, and the units of its last digit:
# less is lost in its rounding.
MATERIAL, UNITS = 0.01, 2
STRESSES, RATIOS = ("P", "q_t", "E_L", "sigma_L"), ("C", "R_w", "B'")


WAYS = {"nearest": ROUND_HALF_UP, "cut": ROUND_DOWN, "up": ROUND_UP}


ANY_WAY = ("nearest", "nearest", "cut", "up")


def to_figures(value, figures, way="nearest"):
    """A number as text with so many figures."""
    if value == 0:
        return "0"
    number = Decimal(repr(value))
    places = figures - 1 - number.adjusted()
    return f"{number.quantize(Decimal(1).scaleb(-places), WAYS[way]):f}"


class Rounding:
    """A number of figures, how digits are dropped, and whether rounded values are carried on."""

    def __init__(self, chance, ways=("nearest",)):
        self.figures = chance.choice([3, 4, 5, 6])
        self.way = chance.choice(ways)
        self.carries = chance.random() < 0.5

    def carried(self, value):
        return float(self.shown(value)) if self.carries else value

    def __repr__(self):
        carried = "carried" if self.carries else "not carried"
        return f"{self.figures} figures, {self.way}, {carried}"

    def shown(self, value):
        return to_figures(value, self.figures, self.way)


def in_mm(x, thickness):
    """A thickness of the hand calculation in mm."""
    return thickness * (1 if x.si else 25.4)


def steps_shown(x, lines, style):
    """Every intermediate value that a submittal can show."""
    stress = "MPa" if x.si else "psi"
    steps = {}
    for key in ("E_L", "sigma_L", "C", "P", "H_w", "R_w", "B'", "q_t"):
        if key in lines:
            unit = stress if key in STRESSES else "" if key in RATIOS else "m" if x.si else "ft"
            steps[key] = f"{style.shown(lines[key])} {unit}".strip()
    for key, value in lines.items():
        if key.startswith("t X"):
            steps[key] = f"{style.shown(in_mm(x, value))} mm"
    return steps


def review_of(x, stated, steps=None, **criteria):
    """What the review says of one pipe."""
    found = parse(project(x, stated, steps, **criteria).encode(), "test.toml")
    (pipe,) = reviewed(found, found.info.units, Wishes())
    return pipe


def seeded(count, seed, slips_each=1, ways=("nearest",)):
    """Pipes, errors that each change the printed thickness, and their rounding."""
    chance = random.Random(seed)
    found = 0
    while found < count:
        x, slips = random_pipe(chance), chance.sample(SLIPS, slips_each)
        style = Rounding(chance, ways)
        lines = thicknesses(x, *slips)
        fewer = [thicknesses(x, *(s for s in slips if s != slip)) for slip in slips]
        required = lines["required"]
        if required <= 0 or required > 0.3 * x.D:
            continue
        last = 10.0 ** (math.floor(math.log10(in_mm(x, required))) + 1 - style.figures)
        least = max(MATERIAL, UNITS * last / in_mm(x, required))
        if min(abs(required / less["required"] - 1) for less in fewer) < least:
            continue
        found += 1
        yield x, tuple(slips), style


def ranks(count, seed, with_steps, slips_each=1):
    """For each seeded error: rank in the list, rank of its place, whether the line is right.

    With intermediates the digits are rounded in any way, without to the nearest.
    """
    ways = ANY_WAY if with_steps else ("nearest",)
    for x, slips, style in seeded(count, seed, slips_each, ways):
        lines = thicknesses(x, *slips, rounded=style.carried)
        stated = {"required_thickness": f"{style.shown(in_mm(x, lines['required']))} mm"}
        pipe = review_of(x, stated, steps_shown(x, lines, style) if with_steps else None)
        listed = pipe.found.explanations
        names = [set(each.names) for each in listed]
        hit = next((i for i, each in enumerate(names) if set(slips) == each), None)
        first_three = set().union(*(each.names for each in listed if each.place <= 3))
        yield {
            "slips": slips,
            "style": style,
            "x": x,
            "listed": names,
            "rank": 99 if hit is None else hit + 1,
            "place": 99 if hit is None else listed[hit].place,
            "both": set(slips) <= first_three,
            "departs": bool(pipe.found.departures),
            "first": pipe.found.first_departure,
        }


def right_calculations(count, seed):
    """Right calculations in any rounding; those that got a correction, a cause or a departure."""
    chance = random.Random(seed)
    for _ in range(count):
        x, style = random_pipe(chance), Rounding(chance, ANY_WAY)
        edition = chance.random() < 0.2 and x.fully
        slips = ("other-edition",) if edition else ()
        criteria = {"edition": "F1216-07a"} if edition else {}
        lines = thicknesses(x, *slips, rounded=style.carried)
        required = in_mm(x, lines["required"])
        stated = {"required_thickness": f"{style.shown(required)} mm"}
        if chance.random() < 0.5:
            stated["thickness"] = f"{-(-float(style.shown(required)) // 1.5) * 1.5:g} mm"
        steps = steps_shown(x, lines, style)
        shown = chance.choice([{}, steps, dict(chance.sample(list(steps.items()), 3))])
        pipe = review_of(x, stated, {k: v for k, v in steps.items() if k in shown}, **criteria)
        yield x, style, stated, shown, pipe


def share(found, key, most):
    """The share whose number is at most so much."""
    return sum(each[key] <= most for each in found) / len(found)


def main(count):
    for with_steps in (False, True):
        found = list(ranks(count, 5, with_steps))
        print(f"one error, {'with' if with_steps else 'without'} intermediates, {count} pipes")
        for key in ("rank", "place"):
            print(f"  {key} 1: {share(found, key, 1):.3f}   {key} 3: {share(found, key, 3):.3f}")
        print(f"  departs: {sum(e['departs'] for e in found) / count:.3f}")
        missed = Counter(e["slips"][0] for e in found if e["place"] > 1)
        print("  missed:", missed.most_common(12))
    found = list(ranks(count // 3, 7, True, 2))
    both = sum(each["both"] for each in found) / len(found)
    print(f"two errors, with intermediates: both among the first three {both:.3f}")
    wrong = Counter()
    for _, _, _, _, pipe in right_calculations(count, 11):
        wrong["departs"] += bool(pipe.found.departures)
        wrong["explained"] += bool(pipe.found.explanations)
        weights = {comment.weight for comment in pipe.comments}
        wrong["correction"] += "correction" in weights
    print(f"{count} right calculations: {dict(wrong)}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
