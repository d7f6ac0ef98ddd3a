"""How a generated part is laid out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table."""
    lines = [columns, tuple("---" for _ in columns), *rows]
    return "\n".join("| " + " | ".join(_cell(cell) for cell in line) + " |" for line in lines)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
