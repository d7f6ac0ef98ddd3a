"""What a label means: the key of its ideas, and what leaves it in doubt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linerdesign.project.stated import step_key
from linerdesign.project.usual import USUAL
from linerdesign.tasks.transcribe.keys import RETENTIONS, STEPS, in_unit_of, unit_of
from linerdesign.tasks.transcribe.labels import ideas_of_symbol, rows
from linerdesign.tasks.transcribe.numbers import Number
from linerdesign.tasks.transcribe.tokens import Token


@dataclass(frozen=True)
class Meaning:
    """The key that a label means, or none with the code of the reason in `doubts`."""

    key: str | None
    doubts: tuple[str, ...] = ()


def meaning(label: Sequence[Token]) -> Meaning:
    """The key of the ideas, symbols and equation numbers among the tokens of a label."""
    words = frozenset(token.value for token in label if token.sort == "idea")
    symbols = [ideas_of_symbol(token.value) for token in label if token.sort == "symbol"]
    equations = [token for token in label if token.sort == "equation"]
    doubts = _doubts_of_words(label)
    by_symbol = frozenset().union(*(found[0] for found in symbols if found))
    if not all(token.sure for token in equations):
        doubts += ("transcribe.numbered",)
        by_symbol |= {"thickness"}
    numbers = {token.value for token in equations}
    if found := _by_equation(words | by_symbol, numbers):
        return Meaning(found.key, (*found.doubts, *doubts))
    key, more = _key(words, by_symbol)
    if key is None:
        return Meaning(None, more)
    if not words and any(found and not found[1] for found in symbols):
        doubts += ("transcribe.symbol_only",)
    return Meaning(key, tuple(dict.fromkeys((*more, *doubts))))


def _doubts_of_words(label: Sequence[Token]) -> tuple[str, ...]:
    if any(token.sort == "doubt" for token in label):
        return ("transcribe.conditional",)
    return ("transcribe.word",) if any(token.sort == "word" for token in label) else ()


# Ideas that a sentence may be about, whatever it gives a number for.
_SUBJECTS = frozenset(("liner", "host", "material", "design"))


def _key(words: frozenset[str], by_symbol: frozenset[str]) -> tuple[str | None, tuple[str, ...]]:
    """The key of words and symbols together, or of either where the other is at odds with it."""
    for ideas, doubts in (
        (words | by_symbol, ()),
        (words, ("transcribe.symbol_differs",)),
        (by_symbol, ("transcribe.word",)),
    ):
        row = next((r for r in rows() if r.needs <= ideas <= r.needs | r.may), None)
        if row and ideas:
            return row.key, doubts if row.sure else (*doubts, "transcribe.wording")
    ideas = words | by_symbol
    if ideas & _SUBJECTS and ideas - _SUBJECTS:
        key, open_points = _key(words - _SUBJECTS, by_symbol - _SUBJECTS)
        if key is not None and not key.endswith("diameter"):
            return key, (*open_points, "transcribe.word")
    if "water" in ideas or ideas in ({"depth"}, {"depth", "host"}):
        return None, ("transcribe.no_datum",)
    return None, ("transcribe.no_key" if ideas else "transcribe.no_label",)


_CHOSEN = {"design", "nominal", "selected"}


def _by_equation(ideas: frozenset[str], equations: set[str]) -> Meaning | None:
    """Thickness or safety factor by a numbered equation."""
    if len(equations) != 1:
        return None
    (number,) = equations
    if "thickness" in ideas and not ideas & _CHOSEN:
        return Meaning(f"{STEPS}t {number}", ("transcribe.wording",) if "host" in ideas else ())
    if "safety" in ideas and step_key(f"N_{number}"):
        unclear = () if "provided" in ideas else ("transcribe.wording",)
        return Meaning(f"{STEPS}N_{number}", unclear)
    return None


def value_for(
    key: str, number: Number, label: Sequence[Token]
) -> tuple[str, tuple[str, ...]] | None:
    """A number as the value of a key, and its doubts; none where its unit is of another sort."""
    wanted = unit_of(key)
    if number.unit is None:
        if wanted == "":
            return number.text, number.doubts + _unusual(key, number.value)
        if key in RETENTIONS and 0 < number.value <= 1:
            return f"{100 * number.value:.10g} %", (*number.doubts, "transcribe.share")
        return number.text, (*number.doubts, "transcribe.no_unit")
    value = in_unit_of(key, number.value, number.unit)
    return None if value is None else (number.text, number.doubts + _unusual(key, value))


def _unusual(key: str, value: float) -> tuple[str, ...]:
    """A doubt about a value, in the unit of its key, that is outside the usual range."""
    if key not in USUAL:
        return ()
    least, most, _ = USUAL[key]
    return () if least <= value <= most else ("transcribe.unusual",)
