"""`python -m linerdesign` is the command `linerdesign`."""

from linerdesign.cli.main import program

raise SystemExit(program())
