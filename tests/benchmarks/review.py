"""How long a review takes: 30 pipes with errors seeded by hand, letter and JSON.

python tests/benchmarks/review.py
"""

import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1]))

import review_rates as rates
from by_hand import project, thicknesses

from linerdesign import review, size
from linerdesign.project.reading import parse

PIPES = 30


def submittal():
    """A project file of 30 pipes, each with its own resin; every second one shows all its lines."""
    resins, pipes = [], []
    for i, (x, slips, style) in enumerate(rates.seeded(200, 3)):
        if x.si or x.short_term_strength:
            continue
        lines = thicknesses(x, *slips, rounded=style.carried)
        stated = {"required_thickness": f"{style.shown(rates.in_mm(x, lines['required']))} mm"}
        text = project(x, stated, rates.steps_shown(x, lines, style) if i % 2 else None)
        head, rest = text.split("[[resin]]")
        resin, pipe = rest.split("[[pipe]]")
        resins.append("[[resin]]" + resin.replace('"Felt"', f'"R{i}"'))
        pipes.append("[[pipe]]" + pipe.replace('"A"', f'"P{i}"\nresin = "R{i}"'))
        if len(pipes) == PIPES:
            return head + "".join(resins) + "".join(pipes)
    raise AssertionError("too few pipes drawn")


def main():
    """Prints the seconds of each part, and of `size` for the same pipes."""
    read = parse(submittal().encode(), "submittal.toml")
    start = perf_counter()
    sized = size(read)
    assert sized.document
    base = perf_counter() - start
    for name, part in (("letter", "document"), ("with JSON", "data")):
        start = perf_counter()
        getattr(review(read), part)
        seconds = perf_counter() - start
        print(f"review of {PIPES} pipes, {name}: {seconds:.2f} s ({seconds / base:.1f} x size)")


if __name__ == "__main__":
    main()
