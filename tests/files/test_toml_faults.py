"""A file that is no TOML is answered in the words of the shop."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, strategies as st

from tesselath.errors import Fault
from tesselath.files import explain_toml

#: Words of the standard library's reader that must not reach a maker.
FOREIGN = ("Expected", "Invalid", "Illegal", "Unclosed", "Unterminated", "Cannot", "namespace")


def fault_of(text: str) -> Fault:
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        return explain_toml(error, text=text, file_name="top.toml")
    raise AssertionError("the text can be read")


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        ("[opening]\nwidth = 54 1/2", "line 2, column 12, opening.width", 'quotes: "54 1/2".'),
        ("[opening]\nwidth = 1/2 # half", "line 2, column 10, opening.width", 'quotes: "1/2".'),
        ('width = 54 1/2"', "line 1, column 12, width", 'Put it in quotes: "54 1/2 in".'),
        ("width = ½", "line 1, column 9, width", 'Put it in quotes: "½".'),
        ("width = 20mm", "line 1, column 11, width", 'Put it in quotes: "20mm".'),
        ("angle = 45 deg", "line 1, column 12, angle", 'Put it in quotes: "45 deg".'),
        ("spares = 10 %", "line 1, column 13, spares", 'Put it in quotes: "10 %".'),
        ("x = .5", "line 1, column 5, x", 'Put it in quotes: ".5".'),
        ("overall = [58 1/2, 24]", "line 1, column 15, overall", 'quotes: "58 1/2".'),
        ('p = [["1", "2"],\n  [27 1/2, 0],\n]', "line 2, column 7, p", 'quotes: "27 1/2".'),
        ("x = 1,5\ny = 2", "line 1, column 6, x", "A decimal is written with a point. Write 1.5."),
        ('width = "24 1/8""', "line 1, column 17, width", """Write '24 1/8"' in single quotes"""),
        ('overall = ["58"", "24""]', "line 1, column 16, overall", '"58 in"'),
        ("width = '2' 3\"'", "line 1, column 13, width", "The foot mark closes the single quotes."),
        ("[field]\npattern = herringbone", "line 2, column 11, field.pattern", '"herringbone"'),
        ("x = True", "line 1, column 5, x", "Write true."),
        ("x = no\ny = 1", "line 1, column 5, x", "Write false."),
        ("x =\ny = 2", "line 1, column 4, x", "A value is missing"),
        (
            "name = “Hall”",
            "line 1, column 8, name",
            'Quotes are straight, as on a keyboard. Write "Hall"',
        ),
        ('x = "abc\ny = 1', "line 1, column 9, x", "The quotes are not closed on their line."),
        ("a = 1\nx = 'abc\ny = 1", "line 2, column 5, x", "The quotes are not closed"),
        ('x = """abc\ny = 1', "line 1, column 5, x", "The text in three quotes is not closed."),
        ('p = "patterns\\my.toml"', "line 1, column 16, p", "Write forward slashes"),
        ('x = "a\x07b"', "line 1, column 7, x", "A sign that cannot be printed"),
        ('x = "a" "b"', "line 1, column 9, x", "Something stands after the closing quotes."),
        (
            "set = { a = 1,\n b = 2 }",
            "line 1, column 15, set",
            "Entries in braces stand on one line",
        ),
        ("[field]\nset = {\n a = 1 }", "line 2, column 8, field.set", "under a header [field.set]"),
        ("set = { a = 1, }", "line 1, column 16, set", "No comma stands before a closing brace."),
        (
            'tone = { a = 1 }\n[tone.letters]\nb = "c"',
            "line 2, column 14",
            "tone was closed by its braces in line 1.",
        ),
        (
            "[field]\nset = { r = 1 }\n[field.set]\nr = 5",
            "line 3, column 11",
            "field.set was closed by its braces in line 2.",
        ),
        ("set = { a = 1 }\nset.b = 2", "line 2, column 10, set.b", "set was closed by its braces"),
        ("a = 1\na = 2\nb = 3", "line 2, column 6, a", "This key stands twice in its table"),
        ("[a]\nx = 1\n[a]", "line 3, column 3", "The table [a] stands twice."),
        ("a = [1]\n[[a]]\nb = 1", "line 2, column 4", "a has a value already"),
        ("a: 1", "line 1, column 2", "Write a = 1."),
        ("end trim = 1", "line 1, column 5, end trim", "A key has no spaces"),
        ("hello", "line 1, column 6", "A line is a key, an equals sign and a value"),
        ("= 1", "line 1, column 1", "A line is a key, an equals sign and a value"),
        ("[a\nb = 1", "line 1, column 3", "The header is not closed"),
        ("[[a]\nb = 1", "line 1, column 4", "Write [a] or [[a]]."),
        ("x = [1, 2\ny = 3", "line 2, column 1, x", "The list opened in line 1 is not closed."),
        ("x = +-1", "line 1, column 5, x", "This line cannot be read."),
        ("x = " + "[" * 5000, "top.toml", "nested too deep"),
        ("x = " + "9" * 5000, "top.toml", "too many digits"),
    ],
)
def test_each_trap_has_its_own_sentence(text: str, place: str, says: str) -> None:
    for ending in ("\n", "\r\n"):
        fault = fault_of(text.replace("\n", ending))
        assert place in fault.place
        assert says in f"{fault.rule} {fault.remedy}"
        assert "\n" not in str(fault)
        assert not any(word in fault.rule for word in FOREIGN)


@given(
    text=st.lists(
        st.sampled_from(
            ["a", "b.c", "=", " ", "\n", "[", "]", "{", "}", ",", '"', "'", "1", "1/2", "#", '"""']
        ),
        max_size=14,
    ).map("".join)
)
def test_whatever_cannot_be_read_gets_one_line_with_a_place(text: str) -> None:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        fault = explain_toml(error, text=text, file_name="top.toml")
        message = str(fault)
        line = int(fault.place.split("line ")[1].split(",")[0])
    else:
        message, line = "top.toml, line 1: .", 1
    assert message.startswith("top.toml, line ")
    assert message.endswith(".")
    assert "\n" not in message
    assert 1 <= line <= text.count("\n") + 1
