"""One run of each command in each form that it can write, on the worked examples."""

from __future__ import annotations

import shutil
from pathlib import Path

EXAMPLES = Path(__file__).parent.parent / "worked_examples"
FORMS = (".txt", ".json", ".pdf", ".xlsx", ".html")


def copied_examples(folder: Path) -> None:
    """The files that the runs read, small, in a folder."""
    chapel, network = EXAMPLES / "chapel_hill_street", EXAMPLES / "harrowmere_network"
    for name in ("project.toml", "samples.csv", "bending_lower.csv", "creep.csv"):
        shutil.copy(chapel / name, folder)
    rows = (chapel / "profile_upper.csv").read_text("utf-8").splitlines()
    (folder / "profile.csv").write_text("\n".join(rows[:73]) + "\n", encoding="utf-8")
    shutil.copy(network / "project.toml", folder / "network.toml")
    rows = (network / "inventory.csv").read_text("utf-8").splitlines()
    (folder / "inventory.csv").write_text("\n".join(rows[:40]) + "\n", encoding="utf-8")
    quay = EXAMPLES / "review_quay_street"
    shutil.copy(quay / "owner.toml", folder)
    text = (quay / "project.toml").read_text("utf-8")
    (folder / "quay.toml").write_text("[[pipe]]".join(text.split("[[pipe]]")[:3]), encoding="utf-8")
    shutil.copy(EXAMPLES / "transcribe_mill_lane" / "submittal.md", folder)
    shutil.copytree(EXAMPLES / "docket_harrowmere", folder / "docket")
    text = (EXAMPLES / "compare_resins" / "project.toml").read_text("utf-8")
    short = "[[pipe]]".join(text.split("[[pipe]]")[:2])
    (folder / "compare.toml").write_text(short, encoding="utf-8")


RUNS = {
    "transcribe": ["transcribe", "submittal.md"],
    "docket": ["docket", "docket"],
    "size": ["size", "project.toml", "--both-conditions"],
    "review": ["review", "quay.toml", "--side-by-side", "--sheets"],
    "compare": ["compare", "compare.toml", "--by", "cost"],
    "plan": ["plan", "network.toml", "--diameter", "8 in", "12 in", "--cover", "5 ft"],
    "accept": ["accept", "project.toml"],
    "creep": ["creep", "creep.csv"],
    "profile": ["profile", "profile.csv"],
    "buckling": ["buckling", "project.toml", "--pipe", "MH 12 to MH 13"],
}
# Files beside the usual forms.
BATCH = ["batch", "inventory.csv", "--project", "network.toml", "-o"]
TABLES = {
    **{f"batch {form}": [*BATCH, f"sized{form}"] for form in (".csv", ".xlsx", ".parquet")},
    "transcribe .toml": [*RUNS["transcribe"], "-o", "read.toml"],
    "plan .csv": [*RUNS["plan"], "-o", "plan.csv"],
    "compare pictures": [*RUNS["compare"], "--pictures", "."],
    "profile --write": [
        *(*RUNS["profile"], "--write", "project.toml", "--force"),
        *("--pipe", "MH 11 to MH 12"),
    ],
    "creep --write": [*RUNS["creep"], "--write", "project.toml", "--force"],
    "new": ["new", "new.toml"],
    "equations": ["equations"],
    "verification": ["verification", "-o", "record.toml"],
}


def every_run() -> dict[str, list[str]]:
    """Each command printing and writing every form at once, then the tables."""
    runs = {}
    for name, words in RUNS.items():
        runs[name] = [*words, "--json"]
        for form in FORMS:
            runs[name] += ["-o", f"{name}{form}"]
    return runs | TABLES
