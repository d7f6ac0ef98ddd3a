"""Line numbers of the tables and keys of a TOML file, for its faults."""

from __future__ import annotations

import re
import tomllib

Path = tuple[str | int, ...]
# A longer text is not searched: its faults name table and key alone.
LONGEST = 4_000_000
DEEPEST = 8
_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*|\n|[\[\]{}=.]|[^\s\"'\#\[\]{}=.]+",
    re.DOTALL,
)


def lines_of(text: str) -> dict[Path, int]:
    """The line of every table and key of a valid TOML text, from 1.

    A path leads from the top of the file, with positions in lists from 0. Keys inside
    a value, an inline table for instance, have no line of their own.
    """
    return _Reader().read(text) if len(text) <= LONGEST else {}


class _Reader:
    """Reads a text token by token: the start of a statement, its value, the next one."""

    def __init__(self) -> None:
        self.found: dict[Path, int] = {}
        self.lengths: dict[Path, int] = {}
        self.table: Path = ()

    def read(self, text: str) -> dict[Path, int]:
        """The lines found."""
        words: list[str] = []
        depth, line, in_value = 0, 1, False
        for match in _TOKEN.finditer(text):
            token = match[0]
            if token == "\n" and depth == 0:
                self._header(words, line)
                words, in_value = [], False
            elif in_value:
                depth += (token in "[{") - (token in "]}")
            elif token == "=":
                self._put(self.table, _names(words), line)
                in_value = True
            elif not token.startswith("#"):
                words.append(token)
            line += token.count("\n")
        self._header(words, line)
        return self.found

    def _header(self, words: list[str], line: int) -> None:
        """A statement without a value: the header of a table, if anything."""
        if words[:1] != ["["]:
            return
        names = _names(words)
        parent = self._resolved(names[:-1])
        self.table = (*parent, names[-1])
        if words[:2] == ["[", "["]:
            index = self.lengths.get(self.table, 0)
            self.lengths[self.table] = index + 1
            self.found.setdefault(self.table, line)
            self.table = (*self.table, index)
        self.found.setdefault(self.table, line)

    def _resolved(self, names: list[str]) -> Path:
        """The table of these names; of a list, its last one."""
        path: Path = ()
        for name in names:
            path = (*path, name)
            if path in self.lengths:
                path = (*path, self.lengths[path] - 1)
        return path

    def _put(self, table: Path, names: list[str], line: int) -> None:
        for length in range(1, min(len(names), DEEPEST) + 1):
            self.found.setdefault((*table, *names[:length]), line)


def _names(words: list[str]) -> list[str]:
    """The names of a dotted key, quotes taken off."""
    return [
        tomllib.loads(f"k = {word}")["k"] if word[0] in "\"'" else word
        for word in words
        if word not in ("[", "]", ".")
    ]
