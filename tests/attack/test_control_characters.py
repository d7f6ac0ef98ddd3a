"""Control characters in the names of a project: shown escaped, and no file that can't be opened."""

import json
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from every_command import FORMS, RUNS, copied_examples
from pypdf import PdfReader

from linerdesign.cli.main import main

# Escape, NUL, line feed, C1, right-to-left override, a character that XML does not have.
HOSTILE = r"\u001b[31m\u0000\n\u009b\u202e\uFFFE"
NOT_SHOWN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufffe\uffff]")
# Samples and surveys name their pipes in tables of their own.
KEYS = "resin|at|title|client|location|evidence"
COMMANDS = {
    **dict.fromkeys(("size", "review", "compare", "plan", "buckling"), f"name|{KEYS}"),
    "accept": KEYS,
}


@pytest.mark.parametrize("command", COMMANDS)
def test_no_form_holds_a_control_character(capsys, monkeypatch, tmp_path, command):
    monkeypatch.chdir(tmp_path)
    copied_examples(tmp_path)
    texts = re.compile(rf'^({COMMANDS[command]}) = "(.*)"$', re.MULTILINE)
    for file in tmp_path.glob("*.toml"):
        text = texts.sub(lambda m: f'{m[1]} = "{m[2]}{HOSTILE}"', file.read_text("utf-8"))
        file.write_text(text, encoding="utf-8")
    words = RUNS[command]
    words = words[: words.index("--pipe")] if "--pipe" in words else words
    outputs = [word for form in FORMS for word in ("-o", f"out{form}")]
    assert main([*words, *outputs]) in (0, 1), capsys.readouterr().err
    made = {"messages": capsys.readouterr().err}
    made |= {name: Path(name).read_text("utf-8") for name in ("out.txt", "out.json", "out.html")}
    made["pdf"] = "".join(page.extract_text() for page in PdfReader("out.pdf").pages)
    with zipfile.ZipFile("out.xlsx") as book:
        for part in book.namelist():
            if part.endswith(".xml"):
                made[part] = book.read(part).decode()
                ElementTree.fromstring(made[part])
    assert "\\x1b[31m" in made["out.txt"]
    json.loads(made["out.json"])
    found = {name: NOT_SHOWN.search(text) for name, text in made.items()}
    assert {name: match[0] for name, match in found.items() if match} == {}
