"""Names of pipes in a text, labels that were learnt, and values confirmed one by one."""

import io

import pytest

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe.confirming import confirmed, read_labels, with_labels
from linerdesign.tasks.transcribe.found import Found, Transcript
from linerdesign.tasks.transcribe.learnt import bare_label, learnt_key
from linerdesign.tasks.transcribe.names import heading, names_in, same_name
from linerdesign.words import sentence


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("MH 1 to MH 2", ["MH 1 to MH 2"]),
        ("From  MH-12A   to  MH-13 and on", ["MH-12A to MH-13"]),
        ("SSMH 4 - 5, CB 2 -> CB 3", ["SSMH 4 - 5", "CB 2 -> CB 3"]),
        ("Pipe 7 and Segment A-12", ["Pipe 7", "Segment A-12"]),
        # A run is no two numbered pipes, and a quantity is no name.
        ("Pipe 7: MH 1 to MH 2", ["MH 1 to MH 2"]),
        ("Pipe 12 in", []),
        ("Pipe 12 in the street", ["Pipe 12"]),
        ("Pipe 12  in", ["Pipe 12"]),
        ("Soil cover 10 ft", []),
    ],
)
def test_names_stand_in_a_text_with_their_span(text, names):
    found = list(names_in(text))
    assert [name for _, _, name in found] == names
    for start, end, name in found:
        assert " ".join(text[start:end].split()) == name


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Pipe: Mill Lane", "Mill Lane"),
        ("  Pipe run No.  =  Quay   Street ", "Quay Street"),
        ("MH 1 to MH 2", "MH 1 to MH 2"),
        ("Calculation for MH 1 to MH 2:", "MH 1 to MH 2"),
        ("MH 1 to MH 2, 310 ft", None),
        ("MH 1 to MH 2 = long", None),
        (f"MH 1 to MH 2 {'x' * 40}", "MH 1 to MH 2"),
        (f"MH 1 to MH 2 {'x' * 41}", None),
        ("Cover: 10 ft", None),
        ("", None),
    ],
)
def test_a_heading_is_a_name_and_little_more(text, name):
    assert heading(text) == name


def test_spellings_of_one_name_are_alike():
    assert same_name("MH 1 to MH 2") == same_name("mh-1 thru MH-2") == same_name("MH1 - MH2")
    assert same_name("MH 1 to MH 2") != same_name("MH 1 to MH 3")


def test_a_label_is_known_without_its_value_and_marks():
    assert bare_label("Mod. of soil (E'): 1,000 psi") == "Mod of soil E'"
    labels = {"Mod of soil E'": "soil_reaction_modulus"}
    assert learnt_key(labels, "Mod. of soil [E'] = 700 psi") == "soil_reaction_modulus"
    assert learnt_key(labels, "Soil") is None
    assert learnt_key({}, "Mod of soil E'") is None


def value(key="cover", text="10 ft", doubts=("transcribe.word",), label="Deck"):
    return Found("A", key, text, f"{label} {text}", "line 3", doubts, label)


def answering(*answers, found):
    """What a person with these answers leaves, the labels learnt, the questions and the print."""
    given, asked, out = iter(answers), [], io.StringIO()

    def read(question):
        asked.append(question)
        return next(given)

    made, labels = confirmed(Transcript(("A",), tuple(found), ()), read, out)
    return made.found, labels, asked, out.getvalue()


def test_each_answer_settles_one_value():
    doubtful = [value(label=f"L{i}") for i in range(4)]
    sure = value(doubts=())
    made, labels, asked, shown = answering("", "no", "12 ft", "Y", found=[sure, *doubtful])
    assert [(each.value, each.sure) for each in made] == [
        ("10 ft", True), ("10 ft", True), ("10 ft", False), ("12 ft", True), ("10 ft", True),
    ]  # fmt: skip
    assert labels == {"L0": "cover", "L2": "cover", "L3": "cover"}
    said = sentence("transcribe.ask_value", key="cover", value="10 ft")
    assert asked == [f"  A: {said} ? "] * 4
    assert shown.count("line 3: L0 10 ft") == 1
    assert f"({sentence('transcribe.word')})" in shown


def test_q_leaves_the_rest_as_it_is():
    made, labels, asked, _ = answering("q", found=[value(), value()])
    assert ([each.sure for each in made], labels, len(asked)) == ([False, False], {}, 1)


def test_a_value_without_its_unit_is_asked_for_again():
    made, _, asked, shown = answering("12", "12 ft 3 m", "9 ft", found=[value()])
    assert (made[0].value, len(asked)) == ("9 ft", 3)
    assert shown.count(sentence("transcribe.no_unit")) == 2
    made, *_ = answering("2.5", found=[value("safety_factor", "2.0")])
    assert made[0].value == "2.5"


OF_LABEL = ("wording", "word", "symbol_only", "symbol_differs")


def test_only_doubts_about_the_label_are_learnt():
    for doubts, learnt in (
        (("transcribe.wording", "transcribe.symbol_only"), True),
        (tuple(f"transcribe.{each}" for each in OF_LABEL), True),
        (("transcribe.wording", "transcribe.no_unit"), False),
    ):
        assert bool(answering("y", found=[value(doubts=doubts)])[1]) is learnt
    assert not answering("y", found=[value(label="")])[1]


def test_labels_are_kept_in_a_file(tmp_path):
    path = tmp_path / "labels.toml"
    assert read_labels(path) == {}
    path.write_text(with_labels({"Soil E'": "soil_reaction_modulus", "Deck": "cover"}), "utf-8")
    assert read_labels(path) == {"Deck": "cover", "Soil E'": "soil_reaction_modulus"}
    for text, said in (
        ('labels = "cover"', "labels"),
        ('[labels]\nDeck = "covr"\nSoil = 3\nFine = "cover"\n', "Deck"),
    ):
        path.write_text(text, "utf-8")
        with pytest.raises(InputFaults, match=said) as found:
            read_labels(path)
        assert len(found.value.faults) == (2 if "Deck" in text else 1)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[lables]\nDeck = "cover"\n',
         ["no table [labels]; give labels and their keys (labels.toml)",
          "unknown table lables; did you mean labels? (labels.toml, line 1)"]),
        ('labels = "cover"\n',
         ["no table [labels]; give labels and their keys (labels.toml, line 1)"]),
        ('x = 1\n[labels]\nDeck = "cover"\n"Wall dim" = "covr"\nSoil = 3\n',
         ["unknown table x; known: labels (labels.toml, line 1)",
          'Wall dim "covr": not a key of a value; give a key of the project file ([labels] of '
          "labels.toml, line 4)",
          "Soil 3: not a key of a value; give a key of the project file ([labels] of labels.toml, "
          "line 5)"]),
        ("[labels\n",
         ["not valid TOML: labels.toml (line 1): Expected ']' at the end of a table declaration"]),
    ],
)  # fmt: skip
def test_every_fault_of_a_file_of_labels_has_its_line(tmp_path, text, said):
    path = tmp_path / "labels.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputFaults) as found:
        read_labels(path)
    assert [str(each) for each in found.value.faults] == said


def test_labels_of_a_file_are_compared_bare(tmp_path):
    path = tmp_path / "labels.toml"
    path.write_text('[labels]\n"Wall dim. (mm)" = "stated.thickness"\n', "utf-8")
    assert read_labels(path) == {"Wall dim mm": "stated.thickness"}


def test_a_file_of_labels_has_a_million_bytes_at_most(tmp_path):
    path = tmp_path / "labels.toml"
    for count, large in ((1_000_000, False), (1_000_001, True)):
        text = '[labels]\nDeck = "cover"\n#'
        path.write_text(text + "x" * (count - len(text)), "utf-8")
        if not large:
            assert read_labels(path) == {"Deck": "cover"}
            continue
        with pytest.raises(InputFaults, match=r"labels\.toml"):
            read_labels(path)


def test_what_to_answer_and_the_place_of_a_value_are_shown(capsys):
    *_, shown = answering("y", found=[value()])
    assert shown == (
        f"{sentence('transcribe.ask_help')}\n\nline 3: Deck 10 ft\n"
        f"  ({sentence('transcribe.word')})\n"
    )
    whole = value(doubts=("transcribe.word", "transcribe.no_unit"))
    *_, asked, shown = answering("NO", found=[Found("", *list(vars(whole).values())[1:])])
    assert asked == [f"  {sentence('transcribe.ask_value', key='cover', value='10 ft')} ? "]
    both = "; ".join(sentence(f"transcribe.{code}") for code in ("word", "no_unit"))
    assert f"({both})" in shown
    *_, shown = answering("12", "Yes", found=[value()])
    assert shown.endswith(f"  {sentence('transcribe.no_unit')}\n")
    assert capsys.readouterr().out == ""
