"""The least number of items that an expression in a test can have, as far as the code shows.

Only what is written out counts: literals, constants of the tests and of the program, lists made
from them item by item, and the values that `parametrize` or `given` hands to a test.  What the
program answers may be empty.
"""

import ast
import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from testcode import COMPREHENSIONS, Code, Function, FunctionNode, Module, names_in, own_parts
from testcode import assignments as assigned_by

VIEWS = {"items", "values", "keys", "copy"}
GROWS = {"append", "add", "extend", "update", "insert", "setdefault"}
DEPTH = 12  # how many names may refer to further names


@dataclass(frozen=True)
class Scope:
    """What the names in a function refer to: its own variables first, then its module's."""

    code: Code
    module: Module
    inputs: frozenset[str] = frozenset()  # drawn, parametrized, or from a loop over literals
    assigned: dict[str, list[ast.expr]] = field(default_factory=dict)
    grown: frozenset[str] = frozenset()  # lists that only grow in loops that may not run

    def within(self, target: ast.expr) -> "Scope":
        """Return the scope inside a loop over something written out, with the loop's variables."""
        return replace(self, inputs=self.inputs | names_in(target))

    def least(self, node: ast.expr, depth: int = DEPTH) -> int:
        """Return the least number of items the expression can have; 0 if nothing is
        known about it.
        """
        count = LEAST.get(type(node))
        return count(self, node, depth - 1) if count and depth else 0

    def value(self, name: str) -> tuple["Scope", ast.expr] | None:
        """Return the one value of a name, and the scope to read it in; None if it is not known."""
        if name in self.assigned:
            values = self.assigned[name]
            return (self, values[0]) if len(values) == 1 else None
        if name in self.module.constants:
            return Scope(self.code, self.module), self.module.constants[name]
        there = self.code.imported(self.module, name)
        return (Scope(self.code, there[0]), ast.Name(there[1])) if there else None

    def number(self, node: ast.expr, depth: int = DEPTH) -> int | None:
        """Return the value of an integer expression; None if it is not known."""
        match node:
            case ast.Constant(value=int() as number):
                return number
            case ast.UnaryOp(op=ast.USub(), operand=ast.Constant(value=int() as number)):
                return -number
            case ast.Call(func=ast.Name(id="len"), args=[one]):
                return self.least(one) or None
            case ast.Name(id=name) if depth and (known := self.value(name)):
                return known[0].number(known[1], depth - 1)
        return None

    def sifted(self, node: ast.expr) -> bool:
        """True if an expression was filtered from something that may be empty."""
        match node:
            case ast.ListComp() | ast.SetComp() | ast.DictComp():
                return any(self.least(g.iter) < 1 for g in node.generators)
            case ast.Call(func=ast.Name(id="set" | "list" | "sorted" | "tuple"), args=[one]):
                return isinstance(one, COMPREHENSIONS) and self.least(one) < 1
            case ast.Name(id=name):
                values = self.assigned.get(name, [])
                return name in self.grown or (len(values) == 1 and self.sifted(values[0]))
        return False


def scope_of(code: Code, function: Function) -> Scope:
    """Return what the names inside a function refer to, including those of enclosing functions."""
    inputs: frozenset[str] = frozenset()
    assigned: dict[str, list[ast.expr]] = {}
    for node in (*function.around, function.node):
        inputs |= inputs_of(node)
        for part in own_parts(node):
            for name, value in assigned_by(part):
                assigned.setdefault(name, []).append(value)
    scope = Scope(code, function.module, inputs, assigned)
    return replace(scope, grown=grown_in_loops(function.node, scope))


def inputs_of(node: FunctionNode) -> frozenset[str]:
    """Return the parameters that get their values from `parametrize` or `given`."""
    found: set[str] = set()
    parameters = [one.arg for one in node.args.args]
    for mark in node.decorator_list:
        match mark:
            case ast.Call(func=ast.Attribute(attr="parametrize"), args=[first, *_]):
                texts = [p.value for p in ast.walk(first) if isinstance(p, ast.Constant)]
                found |= {name.strip() for text in texts for name in str(text).split(",")}
            case ast.Call(func=ast.Name(id="given")):
                found |= {k.arg for k in mark.keywords if k.arg}
                found |= set(parameters[-len(mark.args) :] if mark.args else ())
    return frozenset(found)


def grown_in_loops(node: FunctionNode, scope: Scope) -> frozenset[str]:
    """Return the lists that start empty and grow only in loops that may not run."""
    surely_grown: dict[str, bool] = {}
    calls: set[int] = set()

    def look(part: ast.AST, surely: bool) -> None:
        match part:
            case ast.For():
                surely = surely and scope.least(part.iter) > 0
            case ast.Call(func=ast.Attribute(value=ast.Name(id=name), attr=how)) if how in GROWS:
                calls.add(id(part.func))
                surely_grown[name] = surely_grown.get(name, False) or surely
            case ast.AugAssign(target=ast.Name(id=name)):
                surely_grown[name] = surely_grown.get(name, False) or surely
        for child in ast.iter_child_nodes(part):
            look(child, surely)

    look(node, True)
    handed_on = {  # to a signal, for example: how often it is called cannot be seen here
        part.value.id
        for part in ast.walk(node)
        if isinstance(part, ast.Attribute)
        and isinstance(part.value, ast.Name)
        and part.attr in GROWS
        and id(part) not in calls
    }
    return frozenset(
        name
        for name, surely in surely_grown.items()
        if not surely
        and name not in handed_on
        and name in scope.assigned
        and is_empty(scope.assigned[name][0])
    )


def is_empty(node: ast.expr) -> bool:
    """True if an expression is an empty list, tuple, set or dict."""
    match node:
        case ast.List(elts=[]) | ast.Tuple(elts=[]) | ast.Dict(keys=[]):
            return True
        case ast.Call(func=ast.Name(id="set" | "list" | "frozenset" | "dict"), args=[]):
            return True
    return False


# -- one function per kind of expression ------------------------------------------------------


def _text(scope: Scope, node: ast.Constant, depth: int) -> int:
    return len(node.value) if isinstance(node.value, str | bytes) else 0


def _items(scope: Scope, node: ast.Tuple | ast.List, depth: int) -> int:
    starred = (one for one in node.elts if isinstance(one, ast.Starred))
    plain = sum(not isinstance(one, ast.Starred) for one in node.elts)
    return plain + sum(scope.least(one.value, depth) for one in starred)


def _set(scope: Scope, node: ast.Set, depth: int) -> int:
    return 1 if node.elts else 0  # two may be equal


def _dict(scope: Scope, node: ast.Dict, depth: int) -> int:
    return 1 if any(node.keys) else 0


def _comprehension(scope: Scope, node: ast.ListComp | ast.GeneratorExp, depth: int) -> int:
    if any(g.ifs for g in node.generators):
        return 0
    return math.prod(scope.least(g.iter, depth) for g in node.generators)


def _unlike(scope: Scope, node: ast.SetComp | ast.DictComp, depth: int) -> int:
    return min(1, _comprehension(scope, node, depth))  # type: ignore[arg-type]


def _joined(scope: Scope, node: ast.BinOp, depth: int) -> int:
    left, right = scope.least(node.left, depth), scope.least(node.right, depth)
    match node.op:
        case ast.Add():
            return left + right
        case ast.BitOr():
            return max(left, right)
        case ast.Mult():
            return left * (scope.number(node.right) or 0)
    return 0


def _name(scope: Scope, node: ast.Name, depth: int) -> int:
    if node.id in scope.inputs:
        return 1
    if node.id in scope.module.classes:
        return _members(scope.module.classes[node.id])
    known = scope.value(node.id)
    return known[0].least(known[1], depth) if known else 0


def _members(group: ast.ClassDef) -> int:
    bases = frozenset().union(*map(names_in, group.bases))
    enumeration = bases & {"Enum", "IntEnum", "StrEnum"}
    return sum(isinstance(node, ast.Assign) for node in group.body) if enumeration else 0


def _literal(scope: Scope, node: ast.Subscript, depth: int) -> int:
    match node:
        case ast.Subscript(value=ast.Name(id="Literal"), slice=ast.Tuple(elts=written)):
            return len(written)
    return 0


def _call(scope: Scope, node: ast.Call, depth: int) -> int:
    match node.func:
        case ast.Attribute(value=ast.Constant(value=str() as text), attr="split"):
            return len(text.split())
        case ast.Attribute(value=inner, attr=name) if name in VIEWS:
            return scope.least(inner, depth)
        case ast.Name(id=name) | ast.Attribute(value=ast.Name(id="itertools"), attr=name):
            counts = [scope.least(one, depth) for one in node.args]
            count = CALLS.get(name)
            return count(scope, node, counts) if count and counts else 0
    return 0


def _range(scope: Scope, node: ast.Call, counts: list[int]) -> int:
    numbers = [scope.number(one) for one in node.args]
    known = [number for number in numbers if number is not None]
    return len(range(*known)) if len(known) == len(numbers) else 0


def _zip(scope: Scope, node: ast.Call, counts: list[int]) -> int:
    strict = any(k.arg == "strict" and ast.unparse(k.value) == "True" for k in node.keywords)
    return max(counts) if strict else min(counts)


def _combinations(scope: Scope, node: ast.Call, counts: list[int]) -> int:
    number = scope.number(node.args[-1])
    return math.comb(counts[0], number) if number else 0


def _first(scope: Scope, node: ast.Call, counts: list[int]) -> int:
    return counts[0]


CALLS: dict[str, Callable[[Scope, ast.Call, list[int]], int]] = {
    **dict.fromkeys(
        ("enumerate", "sorted", "reversed", "list", "tuple", "iter", "get_args"), _first
    ),
    **dict.fromkeys(("set", "frozenset"), lambda scope, node, counts: min(1, counts[0])),
    **dict.fromkeys(("combinations", "permutations"), _combinations),
    "range": _range,
    "zip": _zip,
    "map": lambda scope, node, counts: min(counts[1:], default=0),
    "product": lambda scope, node, counts: math.prod(counts),
    "pairwise": lambda scope, node, counts: max(0, counts[0] - 1),
}
LEAST: dict[type, Callable[..., int]] = {
    ast.Constant: _text,
    ast.Tuple: _items,
    ast.List: _items,
    ast.Set: _set,
    ast.Dict: _dict,
    ast.ListComp: _comprehension,
    ast.GeneratorExp: _comprehension,
    ast.SetComp: _unlike,
    ast.DictComp: _unlike,
    ast.BinOp: _joined,
    ast.Name: _name,
    ast.Subscript: _literal,
    ast.Call: _call,
}
