"""The sentences of a review: what a slip gives, and which value would tell slips apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from linerdesign.expressions.printing import positional
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.review.chance import odds
from linerdesign.tasks.review.explain import Explanation, main_item, reproduced
from linerdesign.tasks.review.submittal import Item

# Lines that submittals usually show, the earlier the better to ask for.
_ASKABLE = [
    "q",
    "C",
    "E_L",
    "sigma_L",
    "nu",
    "K",
    "N",
    "h_invert",
    "P",
    "H",
    "H_w",
    "R_w",
    "B",
    "E_s",
    "W_s",
    "q_t",
    "t_X1_1",
    "t_X1_2",
    "t_X1_3",
    "t_X1_4",
    "t_DR_limit",
    "D",
    "t_required",
]


def sentence(explanation: Explanation, items: Sequence[Item], right: Mapping[str, float]) -> str:
    """What a reviewer would write: the number, the slip that gives it, the size of its effect."""
    item = main_item(explanation, items)
    given = item.shown(reproduced(explanation, item))
    what = "" if item.name in ("thickness", "required_thickness") else f"{item.name} = "
    text = f"{what}{given} is what results if {explanation.words}"
    now = right.get(item.key)
    if now:
        effect = reproduced(explanation, item) / now - 1
        text += f" (effect {percent(effect)} on {item.shown(now)})"
    others = [name for name in explanation.explains if name != item.name]
    if others:
        text += f"; it also gives the stated {', '.join(others)}"
    if not explanation.complete:
        text += "; it does not explain every stated value"
    elif not explanation.exact:
        text += "; the fit is close, not to the last digit"
    return text + "."


def by_chance_text(explanation: Explanation) -> str:
    """How many arbitrary numbers would be explained as well; empty where chance has no part."""
    if explanation.chance is None:
        return ""
    what = "such a pair" if len(explanation.slips) > 1 else "a slip that fits as well"
    return f"Of arbitrary numbers near it, {odds(explanation.chance)} would find {what}."


def telling_apart(same: Sequence[Explanation], system: str) -> str:
    """The value to ask for where several explanations give the stated numbers alike."""
    if len(same) < 2:
        return ""
    best = max(_ASKABLE, key=lambda key: (_different(same, key), -_ASKABLE.index(key)))
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
    return f"The {quantity.meaning} ({quantity.symbol}) would tell them apart: {listed}."


def _different(same: Iterable[Explanation], key: str) -> int:
    """How many different values the explanations give, to four figures."""
    values = (each.values.get(key) for each in same)
    return len({None if value is None else positional(value, 4) for value in values})


def percent(share: float | None) -> str:
    """A difference as text with its sign."""
    return "-" if share is None else f"{share:+.1%}".replace("%", " %")
