"""What is said of the rows of a piece: one text a row, and each thing said with its rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.faults import Fault

Rows = NDArray[np.int64]
# Kinds of what is said of a row, beside the severities of findings.
ERROR, OUTLIER, FAILURE, DUPLICATE = "error", "outlier", "failure", "duplicate"
EXAMPLES = 3


@dataclass(frozen=True)
class Said:
    """One thing said of some rows: its kind, its text beside them, and the text for all of them."""

    kind: str
    text: str
    cause: str
    rows: Rows


@dataclass
class Messages:
    """What is said of the rows of a piece."""

    said: list[Said] = field(default_factory=list)

    def add(self, kind: str, text: str, rows: Any, cause: str = "") -> None:
        """Says something of some rows; `cause` is what is said of all rows alike."""
        self.said.append(Said(kind, text, cause or text, np.asarray(rows, np.int64)))

    def refuse(self, rows: Any, fault: Fault) -> None:
        """A fault of some rows; its cause is the fault without the value."""
        self.add(ERROR, str(fault), rows, str(replace(fault, value="")))

    def free(self, count: int) -> NDArray[np.bool_]:
        """Which rows have no fault."""
        mask = np.ones(count, bool)
        for each in self.said:
            if each.kind == ERROR:
                mask[each.rows] = False
        return mask

    def beside_rows(self, count: int) -> tuple[NDArray[np.int64], list[str]]:
        """The message of each row as an index into the texts, of which rows share many; the
        first text is empty. Faults come before all else."""
        codes, texts = np.zeros(count, np.int64), [""]
        for each in sorted(self.said, key=lambda each: each.kind != ERROR):
            # Each text met so far is met again with this one behind it.
            before, place = np.unique(codes[each.rows], return_inverse=True)
            codes[each.rows] = len(texts) + place
            texts += ["; ".join(filter(None, (texts[code], each.text))) for code in before]
        return codes, texts


@dataclass
class Count:
    """How many rows something is said of, and the first of them, counted from 1."""

    rows: int = 0
    examples: list[int] = field(default_factory=list)

    def add(self, rows: Rows, offset: int) -> None:
        """Adds rows of a piece, in rising order, that begins after `offset` rows."""
        self.rows += len(rows)
        first = (rows[:EXAMPLES] + offset + 1).tolist()
        self.examples = sorted({*self.examples, *first})[:EXAMPLES]


def counted(said: Iterable[Said], found: dict[tuple[str, str], Count], offset: int) -> None:
    """Adds what is said of a piece to the counts by kind and cause."""
    for each in said:
        if len(each.rows):
            found.setdefault((each.kind, each.cause), Count()).add(each.rows, offset)
