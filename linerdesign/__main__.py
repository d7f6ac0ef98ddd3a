"""`python -m linerdesign` is the command `linerdesign`."""

from linerdesign.cli.start import program

if __name__ == "__main__":
    raise SystemExit(program())
