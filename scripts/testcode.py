"""The tests as parsed code: modules, functions, and which function a call runs."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import chain
from pathlib import Path

FunctionNode = ast.FunctionDef | ast.AsyncFunctionDef
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.GeneratorExp, ast.DictComp)
LATER = (
    ast.Lambda,
    ast.FunctionDef,
    ast.AsyncFunctionDef,
    ast.ClassDef,
)  # not run where they are defined


class Module:
    """One parsed file: its functions, classes, constants and imports by name."""

    def __init__(self, name: str, path: Path) -> None:
        self.name = name
        self.path = path
        tree = ast.parse(path.read_text(encoding="utf-8"))
        self.functions = {n.name: n for n in tree.body if isinstance(n, FunctionNode)}
        self.classes = {n.name: n for n in tree.body if isinstance(n, ast.ClassDef)}
        self.constants = dict(chain.from_iterable(map(assignments, tree.body)))
        self.imports = dict(chain.from_iterable(map(imports, ast.walk(tree))))


@dataclass(frozen=True)
class Function:
    """A function of the tests, with the functions that enclose it, outermost first."""

    module: Module
    node: FunctionNode
    around: tuple[FunctionNode, ...] = ()

    def inner(self) -> dict[str, "Function"]:
        """Return the functions defined inside it and inside those that enclose it, by name."""
        found: dict[str, Function] = {}
        for depth, node in enumerate((*self.around, self.node)):
            around = (*self.around, self.node)[: depth + 1]
            for part in own_parts(node):
                if isinstance(part, FunctionNode):
                    found[part.name] = Function(self.module, part, around)
        return found


class Code:
    """All tests below a folder, and the modules that they import."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._modules: dict[str, Module | None] = {}
        files = sorted((root / "tests").rglob("*.py"))
        names = [".".join(path.relative_to(root).with_suffix("").parts) for path in files]
        self.modules = [found for found in map(self.module, names) if found]
        self._methods: dict[str, list[Function]] = {}
        for module in self.modules:
            for node in chain.from_iterable(one.body for one in module.classes.values()):
                if isinstance(node, FunctionNode):
                    self._methods.setdefault(node.name, []).append(Function(module, node))

    def module(self, name: str) -> Module | None:
        """Return the module of that dotted name below the root or its scripts; None if there is
        none.
        """
        if name not in self._modules:
            parts = name.split(".")
            places = [self.root.joinpath(*parts), self.root.joinpath("scripts", *parts)]
            files = [f for p in places for f in (p.with_suffix(".py"), p / "__init__.py")]
            path = next((f for f in files if f.is_file()), None)
            self._modules[name] = Module(name, path) if path else None
        return self._modules[name]

    def imported(self, module: Module, name: str) -> tuple[Module, str] | None:
        """Return the module that an imported name comes from, and its name there."""
        source, there = module.imports.get(name, ("", ""))
        found = self.module(source) if there else None
        return (found, there) if found else None

    def tests(self) -> Iterator[Function]:
        """Yield every test, file by file."""
        for module in self.modules:
            if module.path.name.startswith("test_"):
                for name, node in module.functions.items():
                    if name.startswith("test_"):
                        yield Function(module, node)

    def called(self, node: ast.expr, inside: Function) -> list[Function]:
        """Return the test functions that calling the expression may run; [] if none.

        Methods are matched by name alone, so every method of that name is returned.
        """
        module = inside.module
        match node:
            case ast.Name(id=name):
                inner = inside.inner()
                return [inner[name]] if name in inner else self._function(module, name)
            case ast.Attribute(value=ast.Name(id=prefix), attr=name) if prefix in module.imports:
                source, there = module.imports[prefix]
                found = self.module(f"{source}.{there}" if there else source)
                return self._function(found, name) if found else []
            case ast.Attribute(attr=name):
                return self._methods.get(name, [])
        return []

    def _function(self, module: Module, name: str) -> list[Function]:
        if not module.name.startswith("tests."):
            return []
        if name in module.functions:
            return [Function(module, module.functions[name])]
        there = self.imported(module, name)
        return self._function(*there) if there else []


def imports(part: ast.AST) -> Iterator[tuple[str, tuple[str, str]]]:
    """Yield the names that a statement imports, each with its module and its name there, if any."""
    match part:
        case ast.ImportFrom(module=str() as source):
            for alias in part.names:
                yield alias.asname or alias.name, (source, alias.name)
        case ast.Import():
            for alias in part.names:
                yield alias.asname or alias.name, (alias.name, "")


def assignments(part: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    """Yield the names that a node assigns, each with its value, or None where that is unknown."""
    unknown = ast.Constant(None)
    match part:
        case ast.Assign(targets=[ast.Name(id=name)], value=value):
            yield name, value
        case ast.Assign(targets=[ast.Tuple(elts=names)], value=ast.Tuple(elts=values)):
            for one, value in zip(names, values, strict=False):
                if isinstance(one, ast.Name):
                    yield one.id, value
        case ast.AnnAssign(target=ast.Name(id=name), value=ast.expr() as value):
            yield name, value
        case ast.NamedExpr(target=ast.Name(id=name), value=value):
            yield name, value
        case ast.Assign() | ast.AugAssign() | ast.For() | ast.withitem():
            targets = getattr(part, "targets", None) or [
                getattr(part, "target", None) or getattr(part, "optional_vars", None)
            ]
            for target in filter(None, targets):
                for name in names_in(target):
                    yield name, unknown


def names_in(target: ast.AST) -> frozenset[str]:
    """Return the names in an assignment's target."""
    return frozenset(part.id for part in ast.walk(target) if isinstance(part, ast.Name))


@cache  # asked for each call in a function
def own_parts(node: ast.AST) -> tuple[ast.AST, ...]:
    """Return all nodes inside a function in their order, except the bodies of functions defined in
    it.
    """
    found: list[ast.AST] = []
    left = [*ast.iter_child_nodes(node)][::-1]
    while left:
        child = left.pop()
        found.append(child)
        if not isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            left += [*ast.iter_child_nodes(child)][::-1]
    return tuple(found)


def certain_parts(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the node and everything that always runs with it: no branches, lambdas or
    loop bodies.
    """
    yield node
    match node:
        case ast.BoolOp(values=[first, *_]) | ast.IfExp(test=first):
            inside: list[ast.AST] = [first]
        case _ if isinstance(node, COMPREHENSIONS):
            inside = [node.generators[0].iter]
        case _ if isinstance(node, LATER):
            inside = []
        case _:
            inside = list(ast.iter_child_nodes(node))
    for part in inside:
        yield from certain_parts(part)
