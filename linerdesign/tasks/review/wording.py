"""Texts of a review: what an error results in, and which value would tell errors apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from linerdesign.expressions.printing import positional
from linerdesign.methods.method import standard
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.review.coincidence import odds
from linerdesign.tasks.review.explain import Explanation, main_item, reproduced
from linerdesign.tasks.review.submittal import Item
from linerdesign.words import sentence


def explanation_text(
    explanation: Explanation, items: Sequence[Item], right: Mapping[str, float]
) -> str:
    """The number that an error results in, what was done, and the size of its effect."""
    item = main_item(explanation, items)
    given = item.shown(reproduced(explanation, item))
    now = right.get(item.key)
    effect = ""
    if now:
        share = percent(reproduced(explanation, item) / now - 1)
        effect = sentence("review.effect", share=share, value=item.shown(now))
    others = [name for name in explanation.explains if name != item.name]
    also = sentence("review.also", names=", ".join(others)) if others else ""
    rest = ""
    if not explanation.complete:
        rest = sentence("review.not complete")
    elif not explanation.exact:
        rest = sentence("review.not exact")
    what = "" if item.key in ("t", "t_required") else f"{item.name} = "
    return sentence(
        "review.explanation",
        value=f"{what}{given}",
        words=explanation.words,
        rest=f"{effect}{also}{rest}",
    )


def by_chance_text(explanation: Explanation) -> str:
    """How many arbitrary numbers would be explained as well; empty where chance has no part."""
    if explanation.chance is None:
        return ""
    return sentence("review.chance", odds=odds(explanation.chance))


def telling_apart(same: Sequence[Explanation], system: str) -> str:
    """The value to ask for where several explanations give the stated numbers alike."""
    if len(same) < 2:
        return ""
    asked_for = standard().submittals.asked_for
    best = max(asked_for, key=lambda key: (_different(same, key), -asked_for.index(key)))
    if _different(same, best) < 2:
        return ""
    quantity = SYMBOLS[best]
    unit = f" {quantity.unit(system)}" if quantity.unit(system) else ""
    groups: dict[str, list[str]] = {}
    for each in same:
        value = each.values.get(best)
        text = "not computed" if value is None else f"{positional(value, 4)}{unit}"
        groups.setdefault(text, []).append(each.words)
    listed = "; ".join(f"{text} if {', or if '.join(words)}" for text, words in groups.items())
    return sentence(
        "review.telling apart", meaning=quantity.meaning, symbol=quantity.symbol, values=listed
    )


def _different(same: Iterable[Explanation], key: str) -> int:
    """How many different values the explanations give, to four figures."""
    values = (each.values.get(key) for each in same)
    return len({None if value is None else positional(value, 4) for value in values})


def percent(share: float | None) -> str:
    """A difference as text with its sign."""
    return "-" if share is None else f"{round(100 * share, 1) + 0.0:+.1f} %"
