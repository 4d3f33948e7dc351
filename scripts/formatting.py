"""The formatting gate: numbers for people are turned into text only in `gridjig/units`.

A length, an angle, a mass or a count formatted by hand elsewhere soon differs from the same number
in another place, in its digits, its sign or its zeros.  The gate reads the syntax tree of every
other file of the program and reports what looks like number formatting.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

HOME = "gridjig/units/"
"""The only place where numbers become text."""

ALLOWED: dict[tuple[str, str], str] = {
    (
        "gridjig/qt/style/appearance.py",
        "_sizes",
    ): "sizes of letters in a style sheet, which Qt reads",
    ("gridjig/qt/style/icons.py", "tinted.colour"): "a colour of an SVG, which is no number",
}
"""What else may format a number, as (file, function), and why."""

_UNIT = r"(?:mm²?|cm²?|m|in²|ft|lbs?|kg(?:/m)?|lb/ft|deg(?:rees)?|°|′|″|'|\")(?![\w'\"])"
_UNIT_FOLLOWS = re.compile(rf"^ ?(?:{_UNIT}|in(?=$|[.,;:)\]]))")
"""A unit at the start of a text; "in" is also a word, and a unit only if nothing follows."""
_FLOAT_SPEC = re.compile(r".*[eEfFgGn%,_]|.*\.\d+|\+")
_PERCENT_SPEC = re.compile(
    r"%[-+ #0]*\d*(?:\.\d+)?[eEfFgG]|%[-+ #0]*\d*[sd] ?(?:mm|in\b|lb|kg|°|′)"
)
_BRACED_SPEC = re.compile(r"\{\w*:(?:[^{}]*(?:[eEfFgGn%,_]|\.\d+))\}")
_CUTTING = {"removeprefix", "removesuffix", "lstrip", "rstrip", "strip"}
_OF_NUMBER = re.compile(r"[.0≈±<]*[0≈±<][.0]*|\.?0+| ?(?:mm|in|lb|kg|°|′|\")")
_SIGNS = {"0.", "≈"}
_EXCHANGED = {("-", "−"), ("+", "±"), ("<", "under "), ("−", "-")}


def by_hand(root: Path) -> list[str]:
    """Return a sentence for every number that is formatted in the wrong place.

    Exceptions that are no longer needed are reported too.
    """
    used: set[tuple[str, str]] = set()
    found = []
    for path in sorted((root / "gridjig").rglob("*.py")):
        name = path.relative_to(root).as_posix()
        if name.startswith(HOME):
            continue
        for line, function, what in formatted(path.read_text(encoding="utf-8")):
            if (name, function) in ALLOWED:
                used.add((name, function))
            else:
                found.append(f"{name}:{line}: {function or 'the module'} {what}; see {HOME}")
    idle = [
        f"{file}: {function} is allowed and needs it no more"
        for file, function in ALLOWED
        if (root / file).exists() and (file, function) not in used
    ]
    return found + idle


def formatted(source: str) -> Iterator[tuple[int, str, str]]:
    """Yield where a source text formats a number: line, function (with its class), and what it
    does.
    """
    yield from _walk(ast.parse(source), "")


def _walk(node: ast.AST, inside: str) -> Iterator[tuple[int, str, str]]:
    for child in ast.iter_child_nodes(node):
        within = inside
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            within = f"{inside}.{child.name}".lstrip(".")
        for what in _faults(child):
            yield getattr(child, "lineno", 0), within, what
        yield from _walk(child, within)


def _faults(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.JoinedStr):
        yield from _in_f_string(node)
    elif isinstance(node, ast.Call):
        yield from _in_call(node)
    elif isinstance(node, ast.BinOp):
        yield from _in_operation(node)


def _in_f_string(node: ast.JoinedStr) -> Iterator[str]:
    for at, part in enumerate(node.values):
        if not isinstance(part, ast.FormattedValue):
            continue
        shown = ast.unparse(part.value)
        spec = ast.unparse(part.format_spec)[2:-1] if part.format_spec is not None else ""
        follows = node.values[at + 1] if at + 1 < len(node.values) else None
        unit = _unit_of(follows)
        if spec and _FLOAT_SPEC.fullmatch(spec):
            yield f"formats {shown} as “{spec}”"
        elif _called(part.value) == "round":
            yield f"rounds {shown} for a text"
        elif unit:
            yield f"puts “{unit}” behind {shown}"


def _unit_of(node: ast.AST | None) -> str:
    """Return the unit that a constant starts with, or an empty string."""
    if not (isinstance(node, ast.Constant) and isinstance(node.value, str)):
        return ""
    match = _UNIT_FOLLOWS.match(node.value)
    return match[0] if match else ""


def _called(node: ast.AST) -> str:
    """Return the name of the function that a node calls, or an empty string."""
    if not isinstance(node, ast.Call):
        return ""
    if isinstance(node.func, ast.Attribute):
        return node.func.attr
    return node.func.id if isinstance(node.func, ast.Name) else ""


def _in_call(node: ast.Call) -> Iterator[str]:
    name, args, on = _called(node), node.args, node.func
    texts = [a.value for a in args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
    if name.startswith("format_") and args and _called(args[0]) == "round":
        yield f"rounds before it is shown: {ast.unparse(node)}"
    if isinstance(on, ast.Name):
        if name == "format" and len(args) == 2 and texts and _FLOAT_SPEC.fullmatch(texts[-1]):
            yield f"formats {ast.unparse(args[0])} as “{texts[-1]}”"
        if name == "str" and args and _called(args[0]) == "round":
            yield f"rounds {ast.unparse(args[0])} for a text"
    elif isinstance(on, ast.Attribute):
        template = on.value.value if isinstance(on.value, ast.Constant) else None
        if name == "format" and isinstance(template, str) and _BRACED_SPEC.search(template):
            yield f"formats by “{template}”"
        if _cuts(name, texts):
            yield f"cuts a shown number about: {ast.unparse(node)}"


def _cuts(method: str, texts: list[str]) -> bool:
    """True if a method with these texts changes the digits, the sign or the unit of a number."""
    if method == "replace" and texts:
        return texts[0] in _SIGNS or tuple(texts[:2]) in _EXCHANGED
    return method in _CUTTING and any(_OF_NUMBER.fullmatch(text) for text in texts)


def _in_operation(node: ast.BinOp) -> Iterator[str]:
    left, right = node.left, node.right
    written = left.value if isinstance(left, ast.Constant) else None
    if isinstance(node.op, ast.Mod) and isinstance(written, str) and _PERCENT_SPEC.search(written):
        yield f"formats by “{written}”"
    unit = _unit_of(right)
    if isinstance(node.op, ast.Add) and written is None and unit:
        yield f"puts “{unit}” behind {ast.unparse(left)}"
