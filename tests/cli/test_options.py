"""Options at fault: all of them are named at once, and nothing is written."""

import pytest
from projects import toml

from linerdesign.cli.options import measured, named, percent
from linerdesign.project.faults import InputFaults, every_fault
from linerdesign.project.reading import parse


def test_all_faults_are_raised_together():
    def read():
        with every_fault() as faults:
            percent("--first", "5", faults)
            percent("--second", "5 %", faults)
            measured("--third", "8 psi", "section", faults)

    with pytest.raises(InputFaults) as found:
        read()
    assert [fault.place for fault in found.value.faults] == ["--first", "--third"]


def test_a_percentage_is_a_share():
    with every_fault() as faults:
        assert percent("--gap", "2.5 %", faults) == pytest.approx(0.025)


@pytest.mark.parametrize(("text", "good"), [("10 %", True), ("10.1 %", False), ("0 %", True)])
def test_ends_of_a_range_are_in_it(text, good):
    faults = []
    percent("--gap", text, faults, (0.0, 0.1), "at most 10 %")
    assert [fault.text for fault in faults] == ([] if good else ["out of range: at most 10 %"])


def test_the_first_where_none_is_named_and_else_by_name():
    text = toml() + '[[resin]]\nname = "other"\nflexural_modulus = "2 GPa"\n'
    project = parse((text + 'flexural_strength = "30 MPa"\n').encode(), "a.toml")
    with every_fault() as faults:
        assert named("--resin", None, project.resins, faults) is project.resins[0]
        assert named("--resin", "other", project.resins, faults) is project.resins[-1]
    named("--resin", "third", project.resins, faults)
    assert '"other"' in faults[0].text


@pytest.mark.parametrize(
    ("words", "options"),
    [
        (
            ("plan", "a.toml", "--pipe", "x", "--resin", "y", "--cover", "z"),
            ("--pipe", "--resin", "--cover"),
        ),
        (
            ("compare", "a.toml", "--excess", "5", "--reference", "x", "--pipe", "y"),
            ("--excess", "--reference", "--pipe"),
        ),
        (
            (
                *("profile", "a.csv", "--smoothing", "100", "--window", "x"),
                *("--tube-diameter", "1 psi", "--tube-thickness", "6 mm", "--needed", "y"),
            ),
            ("--smoothing", "--window", "--tube-diameter", "--needed"),
        ),
        (
            ("buckling", "a.toml", "--gap", "x", "--ovality", "60 %", "--imperfection", "y"),
            ("--gap", "--ovality", "--imperfection"),
        ),
        (("compare", "a.toml", "--resin-share", "101 %"), ("--resin-share-by-mass",)),
        (("creep", "a.csv", "--t0", "x", "--life", "0 h"), ("--t0", "--life", "a.csv,")),
    ],
)
def test_a_command_names_every_option_at_fault(run, tmp_path, words, options):
    (tmp_path / "a.toml").write_text(toml())
    (tmp_path / "a.csv").write_text("diameter [mm]\n300\n301\n")
    code, _, err = run(*words)
    assert code == 2
    assert [line.partition(":")[0].split()[0] for line in err.splitlines()[:-1]] == list(options)


def test_no_option_overwrites_a_file_that_was_read(run, tmp_path):
    """Also the table of pipes, and also where the command writes the form by itself."""
    table = tmp_path / "street.csv"
    heads = "name,condition,host_diameter [in],ovality [%],groundwater,length [ft]"
    table.write_text(f"{heads}\nA,partially deteriorated,8,2,none,90\n")
    file = tmp_path / "street.txt"
    file.write_text(f'pipes = "{table.name}"\n{toml()}')
    before = table.read_bytes(), file.read_bytes()
    other = tmp_path / "other.json"
    code, _, said = run("size", file, "--force", "-o", other, "-o", table, "-o", file)
    assert code == 2
    assert "street.csv is a file that this calculation reads" in said
    assert "street.txt is a file that this calculation reads" in said
    assert (table.read_bytes(), file.read_bytes()) == before
    assert not other.exists()


@pytest.mark.parametrize(
    "words",
    [
        ("size", "p.toml", "-o", "link.json"),
        ("size", "p.toml", "-o", "new.json", "-o", "here/new.json"),
        ("size", "p.toml", "-o", "away.json", "-o", "new.json"),
        ("verification", "-o", "p.toml", "--for", "p.toml"),
        ("verification", "-o", "link.toml", "--for", "p.toml"),
        ("verification", "-o", "o.toml", "--for", "p.toml"),
        ("transcribe", "s.txt", "--labels", "l.toml", "-o", "l.toml"),
        ("transcribe", "s.txt", "--labels", "l.toml", "-o", "here/l.toml"),
        ("creep", "c.csv", "--write", "p.toml", "-o", "link.json"),
    ],
)
def test_no_link_leads_over_a_file_that_is_read_or_written_by_another_name(run, tmp_path, words):
    """Whoever overwrites the project through a link has lost it all the same."""
    inputs = {
        "p.toml": 'criteria = "o.toml"\n' + toml().replace("[criteria]\n", ""),
        "o.toml": "[criteria]\nsafety_factor = 2.0\n",
        "l.toml": '[labels]\nbore = "host_diameter"\n',
        "s.txt": "bore 8 in\n",
        "c.csv": "time [h],modulus [psi]\n" + "".join(f"{10**n},{300 - n}\n" for n in range(5)),
    }
    for name, text in inputs.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    for link, target in (
        ("link.json", "p.toml"),
        ("link.toml", "p.toml"),
        ("away.json", "new.json"),
        ("here", "."),
    ):
        (tmp_path / link).symlink_to(target)
    code, out, err = run(*words, "--force")
    assert (code, out) == (2, "")
    assert "is given twice" in err or "that this calculation reads" in err, err
    assert {name: (tmp_path / name).read_text(encoding="utf-8") for name in inputs} == inputs
    assert not (tmp_path / "new.json").exists()
