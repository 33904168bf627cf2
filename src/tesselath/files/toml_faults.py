"""What is wrong with a file that is no TOML, in the words of the shop.

Comes in: the text, and the error of the standard library's reader, which names the place. Goes out:
one fault with line and column, the rule and what would do. What it does not know it still puts at
its line.

The traps it knows are those makers meet: a fraction without quotes, an inch mark inside double
quotes, a text without quotes, braces over two lines, a table that has been closed already.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from tesselath.errors import Fault

__all__ = ["explain_toml"]

_POSITION = re.compile(r"\(at line (\d+), column (\d+)\)")
_NAMES = re.compile(r"\((('[^']*'(?:, )?)+),?\)")
_ENTRY = re.compile(r"\s*(?P<key>[^=#\[\]{}]+?)\s*=\s*(?P<value>.*)")
_HEADER = re.compile(r"\s*\[{1,2}([^\[\],]+)\]{1,2}\s*(?:#.*)?$")
_TOKEN = re.compile(r'"""|' + r"'''" + r'|"(?:[^"\\\n]|\\.)*"|' + r"'[^'\n]*'|#[^\n]*|[\[\]{}]")
_MEASURE = re.compile(r"[-+.−]?\s*[\d½¼¾⅓⅔⅛⅜⅝⅞]")
_FRACTION = re.compile(r"[/⁄½¼¾⅓⅔⅛⅜⅝⅞]")
_CURLY = str.maketrans({**dict.fromkeys("“”„″", '"'), **dict.fromkeys("‘’‚′", "'")})
_GENERAL = ("This line cannot be read.", "Check its quotes, brackets and commas.")


def explain_toml(error: Exception, *, text: str, file_name: str) -> Fault:
    r"""Say in one sentence why a file cannot be read.

    Source: the TOML 1.0 specification.

    Parameters
    ----------
    error : Exception
        What the standard library's TOML reader raised.
    text : str
        The text of the file.
    file_name : str
        Its name, for the place.

    Returns
    -------
    Fault
        The fault, with file, line, column and, where there is one, the key.

    Examples
    --------
    >>> import tomllib
    >>> text = "[opening]\nwidth = 54 1/2"
    >>> try:
    ...     tomllib.loads(text)
    ... except tomllib.TOMLDecodeError as error:
    ...     print(explain_toml(error, text=text, file_name="top.toml").rule)
    A fraction stands in quotes.
    """
    text = text.replace("\r\n", "\n")
    if isinstance(error, RecursionError):
        return Fault(file_name, None, "Its brackets are nested too deep to be read.")
    if not _POSITION.search(str(error)) and "end of document" not in str(error):
        return Fault(file_name, None, "It holds a number with too many digits.")
    trouble = _locate(str(error), text)
    rule, remedy = _explain(trouble)
    wrote = trouble.value if trouble.key and trouble.value else trouble.source.strip()
    wrote = wrote.removeprefix('"').removesuffix('"')  # the message puts its own round it
    place = f"{file_name}, line {trouble.line}, column {trouble.column}"
    return Fault(
        f"{place}, {trouble.key}" if trouble.key else place, _short(wrote) or None, rule, remedy
    )


@dataclass(frozen=True, slots=True)
class _Trouble:
    """The line where reading stopped, taken apart."""

    message: str
    text: str
    at: int
    line: int
    column: int
    source: str
    key: str
    value: str
    #: Brackets still open where reading stopped, each with its line.
    still_open: tuple[tuple[str, int], ...]

    @property
    def here(self) -> str:
        return self.text[self.at : self.at + 1]

    @property
    def before(self) -> str:
        return self.text[: self.at].rstrip(" \t")[-1:]


def _locate(message: str, text: str) -> _Trouble:
    """Find the line and take it apart into key and value."""
    found = _POSITION.search(message)
    end = len(text.rstrip())
    if message.startswith(("Unterminated", 'Expected "\'"')):
        end = _stray_quote(text)
    line, column = text.count("\n", 0, end) + 1, end - text.rfind("\n", 0, end)
    if found:
        line, column = int(found[1]), int(found[2])
    lines = text.split("\n")
    at = min(sum(len(above) + 1 for above in lines[: line - 1]) + column - 1, len(text))
    source = lines[line - 1]
    pending = _still_open(text, at)
    opened = next((opened for bracket, opened in pending if bracket == "["), line)
    entry = _ENTRY.match(lines[opened - 1])
    table = ""
    for above in lines[: opened - 1]:
        header = _HEADER.match(above)
        table = header[1].strip() if header else table
    key = entry["key"].strip("\"' ") if entry else ""
    value = entry["value"].strip() if entry and opened == line else source.strip()
    if value[:1] not in ("'", '"', "“", "‘"):
        value = value.split("#")[0].rstrip()
    return _Trouble(
        message=message,
        text=text,
        at=at,
        line=line,
        column=column,
        source=source,
        key=".".join(part for part in (table, key) if part) if key else "",
        value=value,
        still_open=pending,
    )


def _stray_quote(text: str) -> int:
    """Find the quotes that are never closed: the first outside all closed texts."""
    for found in re.finditer(_TOKEN.pattern + "|[\"']", text):
        if found[0] in ('"', "'"):
            return found.start()
        if found[0] in ('"""', "'''") and text.count(found[0], found.end()) == 0:
            return found.start()
    return len(text.rstrip())


def _still_open(text: str, at: int) -> tuple[tuple[str, int], ...]:
    """List the brackets that are open where reading stopped."""
    pending: list[tuple[str, int]] = []
    for found in _TOKEN.finditer(text, 0, at):
        if found[0] in "[{":
            pending.append((found[0], text.count("\n", 0, found.start()) + 1))
        elif found[0] in "]}" and pending:
            pending.pop()
    return tuple(pending)


def _explain(trouble: _Trouble) -> tuple[str, str]:
    """Ask one question after the other; the first that fits has the answer."""
    for question in (_twice, _braces, _quotes, _key, _value, _bracket):
        answer = question(trouble)
        if answer:
            return answer
    return _GENERAL


def _twice(trouble: _Trouble) -> tuple[str, str] | None:
    """Answer a key or a table that stands twice."""
    message = trouble.message
    if message.startswith("Cannot overwrite"):
        return (
            "This key stands twice in its table, or is a table already.",
            "Keep one of the two.",
        )
    found = _NAMES.search(message)
    if not message.startswith(("Cannot declare", "Cannot mutate")) or not found:
        return None
    names = re.findall(r"'([^']*)'", found[1])
    for n, name in enumerate(names, 1):
        braces = re.search(rf"^\s*(?:[\w.]+\.)?{re.escape(name)}\s*=\s*{{", trouble.text, re.M)
        if braces:
            line = trouble.text.count("\n", 0, braces.end()) + 1
            return (
                f"{'.'.join(names[:n])} was closed by its braces in line {line}.",
                f"Write all its entries in the braces, or all under [{'.'.join(names[:n])}].",
            )
    header = ".".join(names)
    if message.startswith("Cannot declare"):
        return (
            f"The table [{header}] stands twice.",
            f"Put its entries under one header; only tables written [[{header}]] may be repeated.",
        )
    return f"{header} has a value already and cannot be a table as well.", "Keep one of the two."


def _braces(trouble: _Trouble) -> tuple[str, str] | None:
    """Answer braces over several lines or with a comma at their end."""
    if not trouble.still_open or trouble.still_open[-1][0] != "{":
        return None
    header = trouble.key or "field.set"
    if trouble.here == "}" and trouble.before == ",":
        return "No comma stands before a closing brace.", "Take the comma out."
    if trouble.here in ("", "\n", "#"):
        return (
            "Entries in braces stand on one line.",
            f"Close the brace on that line, or write the entries under a header [{header}].",
        )
    return None


def _quotes(trouble: _Trouble) -> tuple[str, str] | None:
    """Answer quotes that are curly, not closed, or closed by an inch mark."""
    value = trouble.value
    if re.match(r"[\[\s]*[“”„‘’‚]", value):
        return "Quotes are straight, as on a keyboard.", f"Write {value.translate(_CURLY)}."
    if trouble.message.startswith("Unescaped '\\'"):
        return (
            "A backslash in double quotes does not stand for itself.",
            "Write forward slashes, or put the text in single quotes.",
        )
    inch = trouble.here == '"' and trouble.before == '"'
    if inch and re.search(r"[\d½¼¾⅓⅔⅛⅜⅝⅞]\"\s*$", trouble.text[: trouble.at]):
        start = trouble.text.rfind('"', 0, trouble.at - 1)
        measure = trouble.text[start : trouble.at].strip().strip('"')
        return (
            "The inch mark closes the double quotes.",
            f"""Write '{measure}"' in single quotes, or "{measure} in".""",
        )
    if trouble.message.startswith("Illegal character") and "'\\n'" not in trouble.message:
        return "A sign that cannot be printed stands in this text.", "Type the text anew."
    if trouble.message.startswith(("Unterminated", "Illegal character", 'Expected "\'"')):
        if re.search(r"\"\"\"|'''", value):
            return "The text in three quotes is not closed.", "Close it with three quotes."
        return "The quotes are not closed on their line.", "Close them where the text ends."
    if value.startswith(("'", '"')) and trouble.message.startswith("Expected newline"):
        if re.match(r"'\s*\d+'", value):
            return "The foot mark closes the single quotes.", 'Write it like "2 ft 3 in".'
        return (
            "Something stands after the closing quotes.",
            "Put one pair of quotes round the whole, single ones if double ones stand in it.",
        )
    return None


def _value(trouble: _Trouble) -> tuple[str, str] | None:
    """Answer a value that wants quotes, or is none."""
    if not trouble.key or trouble.message.startswith("Invalid statement"):
        return None
    value = _item(trouble)
    if not value:
        if trouble.message.startswith("Invalid value"):
            return "A value is missing after the equals sign.", ""
        return None
    if re.fullmatch(r"[-+]?\d+,\d+", value) and not trouble.still_open:
        return "A decimal is written with a point.", f"Write {value.replace(',', '.')}."
    if _MEASURE.match(value):
        quoted = re.sub(r"\s*(\"|″|'')$", " in", value).replace('"', " in").replace("′", "'")
        what = "A measure with its unit" if re.search(r"[^\d.\s+-]", value) else "Such a number"
        what = "A fraction" if _FRACTION.search(value) else what
        return f"{what} stands in quotes.", f'Put it in quotes: "{quoted}".'
    if value.lower() in ("true", "yes", "on", "false", "no", "off"):
        meant = "true" if value.lower() in ("true", "yes", "on") else "false"
        return "Yes and no are written true and false.", f"Write {meant}."
    if re.match(r"[^\W\d_]", value) and '"' not in value:
        return "A text stands in quotes.", f'Put it in quotes: "{value}".'
    return None


def _item(trouble: _Trouble) -> str:
    """Give the value at which reading stopped; in a list, the item."""
    if not trouble.still_open:
        return trouble.value
    start = max(trouble.text.rfind(sign, 0, trouble.at) for sign in "[{,=\n") + 1
    found = re.search(r"[,\]}#\n]", trouble.text[trouble.at :])
    end = trouble.at + found.start() if found else len(trouble.text)
    item = trouble.text[start:end].strip()
    return "" if "=" in item else item


def _key(trouble: _Trouble) -> tuple[str, str] | None:
    """Answer a line without an equals sign where one should be."""
    if trouble.still_open or trouble.source.lstrip().startswith("["):
        return None
    if trouble.message.startswith("Expected '='"):
        colon = re.match(r"\s*([\w.-]+)\s*:\s*(.*)", trouble.source)
        if colon:
            return (
                "Between a key and its value stands an equals sign.",
                f"Write {colon[1]} = {colon[2]}".rstrip() + ".",
            )
        if trouble.key:
            named = trouble.key.rpartition(".")[2].replace(" ", "_")
            return "A key has no spaces, unless it stands in quotes.", f"Write {named}."
        return 'A line is a key, an equals sign and a value, as in width = "54".', ""
    if trouble.message.startswith("Invalid statement"):
        return 'A line is a key, an equals sign and a value, as in width = "54".', ""
    return None


def _bracket(trouble: _Trouble) -> tuple[str, str] | None:
    """Answer a header or a list that is not closed."""
    header = not trouble.still_open or "declaration" in trouble.message
    if trouble.source.lstrip().startswith("[") and header:
        name = trouble.source.split("#")[0].strip("[] \t") or "frame"
        return "The header is not closed as it was opened.", f"Write [{name}] or [[{name}]]."
    if trouble.still_open and trouble.still_open[-1][0] == "[":
        return (
            f"The list opened in line {trouble.still_open[-1][1]} is not closed.",
            "Put commas between its items and a bracket ] after the last.",
        )
    return None


def _short(text: str) -> str:
    """Keep a quotation to one line of print."""
    plain = "".join(sign if sign.isprintable() else "?" for sign in " ".join(text.split()))
    return plain if len(plain) <= 60 else f"{plain[:57]}..."
