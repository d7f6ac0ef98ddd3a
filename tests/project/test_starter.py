"""The project that `new` writes: what it shows as defaults can be taken as it is written."""

import re
import tomllib

from linerdesign.project.reading import parse


def test_every_default_can_be_uncommented(run, tmp_path):
    assert run("new", "a.toml")[0] == 0
    text = (tmp_path / "a.toml").read_text(encoding="utf-8")
    head, _, rest = text.partition("[[resin]]")
    head = re.sub(r"(?m)^# (?=\w+ = )", "", head)
    rest = rest.replace('# condition = "partially', 'condition = "partially')
    criteria = tomllib.loads(head)["criteria"]
    assert criteria["dry_case"] is True
    project = parse((head + "[[resin]]" + rest).encode())
    assert project.criteria.safety_factor == criteria["safety_factor"] == 2.0
