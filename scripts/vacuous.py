"""The gate for vacuous tests: those that still pass when the answer they check is empty.

A test is vacuous if its assertions may never be reached: in a loop or a comprehension over an
answer, or behind a condition.  Calls to test helpers are followed.  `assume` is allowed: hypothesis
fails a test whose examples are all rejected.
"""

import ast
from collections.abc import Callable
from enum import Enum
from pathlib import Path
from typing import NamedTuple

from leastitems import Scope, is_empty, scope_of
from testcode import Code, Function, certain_parts

RAISERS = {"raises", "warns", "waitSignal", "waitSignals", "waitUntil", "assertNotEmitted"}
STOPPERS = {"fail", "skip", "reject"}


class End(Enum):
    """How a block of code may end: with an assertion, or without one in one of three ways."""

    ASSERTED = "reaches an assertion"
    ON = "goes on with what follows"
    NEXT = "leaves the loop or this turn of it"
    OUT = "leaves the function"


Ends = frozenset[End]
ASSERTED, GOES_ON, NEXT_TURN, LEAVES = (frozenset({end}) for end in End)


class Tally(NamedTuple):
    """The number of tests examined, and a sentence for each vacuous one."""

    tests: int
    faults: list[str]


class Here(NamedTuple):
    """The function that a block of code is in, and what its names refer to."""

    function: Function
    scope: Scope


class Judge:
    """Decides whether a block of code always reaches an assertion that can fail."""

    def __init__(self, code: Code) -> None:
        self.code = code
        self._known: dict[tuple[str, int], bool] = {}

    def asserts(self, function: Function) -> bool:
        """True if calling the function always reaches an assertion; False if it calls
        itself first.
        """
        key = (function.module.name, function.node.lineno)
        if key not in self._known:
            self._known[key] = False
            here = Here(function, scope_of(self.code, function))
            self._known[key] = self.block(function.node.body, here) == ASSERTED
        return self._known[key]

    def asserts_somewhere(self, function: Function, seen: set[int]) -> bool:
        """True if there is any assertion in the function or in a helper that it calls."""
        if id(function.node) in seen:
            return False
        seen.add(id(function.node))
        for part in ast.walk(function.node):
            if isinstance(part, ast.Assert) or stops(part):
                return True
            if isinstance(part, ast.Call) and any(
                self.asserts_somewhere(one, seen) for one in self.code.called(part.func, function)
            ):
                return True
        return False

    def block(self, body: list[ast.stmt], here: Here) -> Ends:
        """Return how the statements may end, run one after the other."""
        ends = GOES_ON
        for statement in body:
            if End.ON in ends:
                ends = (ends - GOES_ON) | self.statement(statement, here)
        return ends

    def statement(self, node: ast.stmt, here: Here) -> Ends:
        """Return how one statement may end."""
        known = STATEMENTS.get(type(node))
        if known:
            return known(self, node, here)
        return ASSERTED if self.surely(node, here) else GOES_ON

    def surely(self, node: ast.AST, here: Here) -> bool:
        """True if evaluating the node always makes a call that asserts."""
        for part in certain_parts(node):
            if stops(part):
                return True
            if isinstance(part, ast.Call):
                found = self.code.called(part.func, here.function)
                if found and all(map(self.asserts, found)):
                    return True
        return False


def stops(node: ast.AST) -> bool:
    """True if the node calls something in pytest, hypothesis or numpy that can fail the test."""
    if not isinstance(node, ast.Call):
        return False
    name = getattr(node.func, "attr", "") or getattr(node.func, "id", "")
    return name in RAISERS | STOPPERS or name.startswith("assert_")


def true_of_nothing(node: ast.expr, scope: Scope) -> bool:
    """True if a condition holds for an empty answer: `all(...)`, `not any(...)`, `[...] == []`."""
    match node:
        case ast.BoolOp(op=ast.And()):
            return all(true_of_nothing(part, scope) for part in node.values)
        case ast.BoolOp():
            return any(true_of_nothing(part, scope) for part in node.values)
        case (
            ast.Call(func=ast.Name(id="all"), args=[one])
            | ast.UnaryOp(op=ast.Not(), operand=ast.Call(func=ast.Name(id="any"), args=[one]))
        ):
            return scope.least(one) < 1
        case (
            ast.UnaryOp(op=ast.Not(), operand=one)
            | ast.Compare(left=one, ops=[ast.LtE() | ast.Lt()])
        ):
            return scope.sifted(one)
        case ast.Compare(left=one, ops=[ast.Eq()], comparators=[right]):
            return is_empty(right) and scope.sifted(one)
    return False


# -- one function per kind of statement -------------------------------------------------------


def _assert(judge: Judge, node: ast.Assert, here: Here) -> Ends:
    sure = judge.surely(node.test, here) or not true_of_nothing(node.test, here.scope)
    return ASSERTED if sure else GOES_ON


def _return(judge: Judge, node: ast.Return, here: Here) -> Ends:
    return ASSERTED if judge.surely(node, here) else LEAVES


def _for(judge: Judge, node: ast.For, here: Here) -> Ends:
    if judge.surely(node.iter, here):
        return ASSERTED
    if here.scope.least(node.iter) < 1:
        return GOES_ON
    ends = judge.block(node.body, here._replace(scope=here.scope.within(node.target)))
    return (ends - NEXT_TURN) | GOES_ON if End.NEXT in ends else ends


def _if(judge: Judge, node: ast.If, here: Here) -> Ends:
    if judge.surely(node.test, here):
        return ASSERTED
    return judge.block(node.body, here) | judge.block(node.orelse, here)


def _with(judge: Judge, node: ast.With, here: Here) -> Ends:
    if any(judge.surely(item.context_expr, here) for item in node.items):
        return ASSERTED
    return judge.block(node.body, here)


def _try(judge: Judge, node: ast.Try, here: Here) -> Ends:
    ends = judge.block([*node.body, *node.orelse], here)
    for handler in node.handlers:
        ends |= judge.block(handler.body, here)
    return ASSERTED if judge.block(node.finalbody, here) == ASSERTED else ends


def _match(judge: Judge, node: ast.Match, here: Here) -> Ends:
    return frozenset[End]().union(*(judge.block(case.body, here) for case in node.cases))


def _while(judge: Judge, node: ast.While, here: Here) -> Ends:
    return ASSERTED if judge.surely(node.test, here) else GOES_ON


STATEMENTS: dict[type, Callable[..., Ends]] = {
    ast.Assert: _assert,
    ast.Return: _return,
    ast.Raise: lambda judge, node, here: ASSERTED,
    ast.Continue: lambda judge, node, here: NEXT_TURN,
    ast.Break: lambda judge, node, here: NEXT_TURN,
    ast.For: _for,
    ast.If: _if,
    ast.With: _with,
    ast.Try: _try,
    ast.Match: _match,
    ast.While: _while,
}


def vacuous_tests(root: Path) -> Tally:
    """Return the number of tests below `root / "tests"`, and a sentence for each vacuous one."""
    judge = Judge(Code(root))
    tests = list(judge.code.tests())
    faults = [
        f"{test.module.path.relative_to(root).as_posix()}:{test.node.lineno}: {test.node.name} "
        "can pass without an assertion: say first how many answers there must be"
        for test in tests
        if not judge.asserts(test) and judge.asserts_somewhere(test, set())
    ]
    return Tally(len(tests), faults)
