"""Plain answers: what people say, what it means, and what is refused with what is allowed."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airledger.errors import HouseFileError, InputError, QuantityError
from airledger.house.answers import Pull, SaidVentilator, WallDuct
from airledger.io.answers import KEYS, QUESTIONS, answers_from_text, answers_of, blank_form, load_answers, read_answer
from airledger.units import CFM, FOOT, INCH

WHOLE = """\
house: Curlew Lane 3
place: Homestead, Florida
floor area: 2480 ft2
ceiling: 9 ft 6 in
bedrooms: 4
storeys: one
tightness: 0.7 to 1.2 ach50
exhausts:
  hood: not picked, up to 1,200 cfm
  dryer: vented
  vacuum: none
  bath fans: 2 at 80 cfm
appliances: none, all electric
ventilator: ERV 150 cfm
wall duct: 10 in
entry door swings: out
"""


def faults(text):
    with pytest.raises(HouseFileError) as caught:
        answers_from_text(text, "answers.yaml")
    return caught.value.faults


class TestWhatBlowsAirOut:
    @pytest.mark.parametrize(
        ("said", "machines"),
        [
            ("none", []),
            ("hood 600 cfm", [("range hood", (600,), None, "")]),
            ("hood 250/500/900 cfm", [("range hood", (250, 500, 900), None, "")]),
            ("hood low 250, high 900 cfm", [("range hood", (250, 900), None, "")]),
            ("hood not picked, up to 1,200 cfm", [("range hood", (), 1200, "")]),
            ("48 inch range, hood not picked", [("range hood", (), 1200, "")]),
            ("regular dryer", [("dryer", (), None, "")]),
            ("heat pump dryer; no hood", [("dryer", (), None, "heat pump")]),
            ("two dryers 150 cfm", [("dryer 1", (150,), None, ""), ("dryer 2", (150,), None, "")]),
            ("bath fans", [("bath fan 1", (), None, ""), ("bath fan 2", (), None, "")]),
            ("open fireplace and central vacuum 200 cfm", [("fireplace", (), None, ""), ("vacuum", (200,), None, "")]),
        ],
    )
    def test_as_people_say_it(self, said, machines):
        found = read_answer("exhausts", said)
        told = [
            (m.name, tuple(round(f / CFM) for f in m.flows), m.not_picked and round(m.not_picked / CFM), m.vented)
            for m in found
        ]
        assert told == machines

    def test_metric_flows_read_too(self):
        assert read_answer("exhausts", "hood 283 L/s") == (Pull("range hood", "hood", (283 * 1e-3,)),)

    def test_a_fireplace_with_glass_blows_nothing_out_but_is_not_forgotten(self):
        (fire,) = read_answer("exhausts", "gas fireplace with glass")
        assert (fire.kind, fire.vented) == ("glass fireplace", "")

    @pytest.mark.parametrize(
        "said", ["banana", "hood: 900", "hood 0 cfm", "hood -5 cfm", "hood 1e9 cfm", "gas range", ""]
    )
    def test_what_cannot_be_read_says_what_is_allowed(self, said):
        with pytest.raises(QuantityError) as caught:
            read_answer("exhausts", said)
        assert "hood" in caught.value.expected


class TestWhatBurns:
    @pytest.mark.parametrize(
        ("said", "burning"),
        [
            ("none, all electric", []),
            ("electric water heater, induction range", []),
            ("heat pump water heater; gas cooktop", [("cooktop", "gas", "none")]),
            ("gas water heater natural draft", [("water heater", "gas", "natural draft")]),
            ("propane furnace, sealed", [("furnace", "propane", "sealed")]),
            ("oil boiler power vent", [("boiler", "oil", "power vent")]),
            ("gas fireplace, fixed glass, two pipes", [("fireplace", "gas", "direct vent")]),
            ("gas fireplace with glass", [("fireplace", "gas", "")]),
            ("wood stove", [("wood stove", "wood", "natural draft")]),
        ],
    )
    def test_as_people_say_it(self, said, burning):
        assert [(a.name, a.burns, a.vents) for a in read_answer("appliances", said)] == burning

    @pytest.mark.parametrize("said", ["furnace", "xyz", "", "not known"])
    def test_what_burns_is_never_guessed(self, said):
        with pytest.raises(QuantityError):
            read_answer("appliances", said)


@pytest.mark.parametrize(
    ("said", "low", "high", "unit"),
    [
        ("0.7 to 1.2", 0.7, 1.2, "ach50"),
        ("0.7 to 1.2 ACH50", 0.7, 1.2, "ach50"),
        ("1.1", 1.1, 1.1, "ach50"),
        ("1.0 +- 10 %", 0.9, 1.1, "ach50"),
        ("300 cfm50", 300 * CFM, 300 * CFM, "flow50"),
    ],
)
def test_tightness_with_and_without_its_unit(said, low, high, unit):
    value, found = read_answer("tightness", said)
    assert found == unit
    assert (value.low, value.high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize("said", ["0", "nan", "1.2 to 0.7", "abc", "500"])
def test_no_house_is_perfectly_tight_or_a_sieve(said):
    with pytest.raises(QuantityError):
        read_answer("tightness", said)


def test_the_other_answers():
    assert read_answer("place", "St. Paul, MN") == "St. Paul, MN"
    assert read_answer("place", "not known") == ""
    assert read_answer("floor area", "2,480 ft2") == pytest.approx(2480 * FOOT**2)
    assert read_answer("ceiling", "9 ft 6 in") == pytest.approx(9.5 * FOOT)
    assert read_answer("ceiling", "25000 ft3", 2500 * FOOT**2) == pytest.approx(10 * FOOT)
    assert read_answer("bedrooms", "four") == 4
    assert read_answer("wall duct", "two 10 in round") == WallDuct(10 * INCH, 2)
    assert read_answer("wall duct", "not known") is None
    assert read_answer("entry door swings", "outward") == "out"
    said = SaidVentilator("hrv", (70 * CFM, 160 * CFM))
    assert read_answer("ventilator", "HRV, 70 cfm low, 160 cfm boost") == (said, ())
    assert read_answer("ventilator", "none") == (None, ())
    assert len(read_answer("ventilator", "3 bath fans at 80 cfm")[1]) == 3


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("place", "12"), ("floor area", "2480"), ("floor area", "1 ft2"), ("ceiling", "9"), ("ceiling", "1 ft"),
        ("bedrooms", "-1"), ("bedrooms", "2.5"), ("storeys", "0"), ("wall duct", "10"), ("wall duct", "40 in"),
        ("entry door swings", "up"), ("ventilator", "a fan"), ("ventilator", "ERV 150"), ("floor area", ""),
    ],
)  # fmt: skip
def test_a_bad_answer_says_what_is_allowed(key, said):
    with pytest.raises(QuantityError) as caught:
        read_answer(key, said)
    assert caught.value.expected


def test_bath_fans_said_twice_count_once():
    values = {
        key: read_answer(key, text)
        for key, text in (
            ("floor area", "2000 ft2"),
            ("exhausts", "2 bath fans 80 cfm"),
            ("appliances", "none"),
            ("ventilator", "bath fans"),
        )
    }
    assert len(answers_of(values).exhausts) == 2


def test_nothing_goes_on_without_what_has_to_be_answered():
    with pytest.raises(QuantityError, match="appliances has to be answered"):
        answers_of({"floor area": 200.0, "exhausts": ()})


class TestFile:
    def test_a_whole_file_reads(self):
        answers = answers_from_text(WHOLE, "answers.yaml")
        assert answers.name == "Curlew Lane 3"
        assert [pull.name for pull in answers.exhausts] == ["range hood", "dryer", "bath fan 1", "bath fan 2"]
        assert answers.wall_duct == WallDuct(10 * INCH)
        assert answers.storeys == 1

    def test_a_list_and_a_line_say_the_same(self):
        line = WHOLE.replace(
            WHOLE[WHOLE.index("exhausts:") : WHOLE.index("appliances")], "exhausts: hood 600 cfm; dryer\n"
        )
        listed = WHOLE.replace(
            WHOLE[WHOLE.index("exhausts:") : WHOLE.index("appliances")], "exhausts: [hood 600 cfm, dryer]\n"
        )
        assert answers_from_text(line, "a") == answers_from_text(listed, "a")

    def test_all_faults_at_once_with_line_and_column(self):
        text = "place: [a]\nflor area: 3\nceiling: 9\nexhausts:\n  hood: 600\n  drier: x\nappliances:\n"
        text += "ventilator: {a: b}\n"
        found = {(fault.line, fault.column): fault for fault in faults(text)}
        assert set(found) == {(1, 1), (1, 8), (2, 1), (3, 10), (5, 9), (6, 3), (7, 1), (8, 13)}
        assert found[2, 1].nearest == "floor area"
        assert found[6, 3].nearest == "dryer"
        assert "unit" in found[5, 9].allowed

    def test_the_blank_form_names_every_question_and_asks_for_what_is_needed(self):
        form = blank_form()
        assert all(f"\n{key}:" in form for key in KEYS)
        assert {fault.key for fault in faults(form)} == {question.key for question in QUESTIONS if question.needed}

    def test_every_example_is_an_answer(self):
        form = "\n".join(f"{question.key}: {question.example}" for question in QUESTIONS)
        answers = answers_from_text(form, "answers.yaml")
        assert answers.place == "Homestead, Florida"

    def test_every_default_is_an_answer(self):
        read = {
            question.key: read_answer(question.key, question.default) for question in QUESTIONS if not question.needed
        }
        assert read["place"] == ""
        assert read["tightness"] is None
        assert read["bedrooms"] == 3
        assert read["ventilator"] == (None, ())

    def test_missing_file_folder_and_binary(self, tmp_path):
        with pytest.raises(InputError, match="no such file"):
            load_answers(tmp_path / "none.yaml")
        with pytest.raises(InputError, match="folder"):
            load_answers(tmp_path)
        (tmp_path / "b.yaml").write_bytes(b"\x00\x01\xff")
        with pytest.raises(HouseFileError):
            load_answers(tmp_path / "b.yaml")

    def test_500_mutated_files_read_or_are_refused_with_a_message(self):
        chance, messages = random.Random(14), []
        for _ in range(500):
            text = list(WHOLE)
            for _ in range(chance.randint(1, 6)):
                place = chance.randrange(len(text))
                change = chance.choice("xdis")
                if change == "d":
                    del text[place : place + chance.randint(1, 8)]
                elif change == "i":
                    text.insert(place, chance.choice(":{}[]#,\n\t -0&*!|>%'\"äcfm"))
                else:
                    text[place] = chance.choice("0123456789abc:,; \n-")
                text = text or [" "]
            try:
                answers = answers_from_text("".join(text), "answers.yaml")
            except InputError as refused:
                messages.append(str(refused))
            else:
                assert answers.floor_area > 0
        assert len(messages) > 50
        assert all(messages)


@given(st.sampled_from(KEYS), st.text(max_size=40))
def test_any_text_is_an_answer_or_a_quantity_error(key, text):
    try:
        said = read_answer(key, text)
    except QuantityError as refused:
        said = refused.expected
    assert said != "" or key == "place"


@given(
    st.lists(st.sampled_from(["hood", "dryer", "2 bath fans", "vacuum"]), min_size=1, max_size=5), st.integers(1, 1500)
)
def test_flows_of_a_line_are_finite_and_names_are_unique(items, flow):
    found = read_answer("exhausts", "; ".join(f"{item} {flow} cfm" for item in items))
    assert all(math.isfinite(f) and f > 0 for pull in found for f in pull.flows)
    assert len({pull.name for pull in found}) == len(found)


@pytest.mark.parametrize(
    ("key", "said", "told"),
    [
        ("floor area", "900", "900 of what? Say 900 ft2 or 900 m2"),
        ("floor area", "40 x 30", "one number and its unit: 2480 ft2"),
        ("floor area", "not sure", "this has to be answered, for example 2480 ft2"),
        ("ceiling", "9", "9 of what? Say 9 ft or 9 m"),
        ("storeys", "1.5", "a whole number from 1 to 4, for example 2; a half one counts as one more"),
        ("exhausts", "hood 900", "a flow with its unit, for example 900 cfm; "),
        ("exhausts", "microwave; dryer", "a microwave that blows outdoors is a hood: hood 300 cfm; else leave it out"),
        ("exhausts", "dryer, microwave", "a microwave that blows outdoors is a hood: hood 300 cfm; else leave it out"),
        ("wall duct", "10", "10 of what? Say 10 in or 10 mm"),
        ("wall duct", "10 x 12", "only round ducts are tried here: the round one that fits in it, for example 10 in"),
        ("tightness", "tight", "air changes an hour at 50 Pa, one number or a range: 0.7 to 1.2; "),
    ],
)
def test_an_answer_that_cannot_be_read_is_met_with_words_for_that_answer(key, said, told):
    with pytest.raises(QuantityError) as refused:
        read_answer(key, said)
    assert refused.value.expected.startswith(told)


@pytest.mark.parametrize("key", ["ceiling", "bedrooms", "storeys", "tightness", "wall duct", "entry door swings"])
def test_not_sure_is_an_answer_where_one_can_go_on_without(key):
    assert read_answer(key, "Not sure") is None


@pytest.mark.parametrize(("key", "said", "meant"), [("bedrooms", "3 bedrooms", 3), ("storeys", "two stories", 2)])
def test_a_count_may_carry_its_noun(key, said, meant):
    assert read_answer(key, said) == meant
