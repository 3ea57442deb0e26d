"""Small changes to the code, one at a time: every place in a function where one can be made.

A change is a splice of the source text, so that it can be shown, applied and told apart by what it
replaces. Left out, as they fail at once or change words only: docstrings, annotations, f-strings,
defaults and decorators, module level, an argument made None, an argument left out.
"""

from __future__ import annotations

import ast
import difflib
import hashlib
import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("geometry", "statics", "setting")
WORDS = ("wording.py", "wording_de.py", "wording_en.py", "catalogue.py")

OPERATORS: dict[type[ast.AST], tuple[str, tuple[str, ...]]] = {
    ast.Lt: ("<", ("<=", ">")),
    ast.LtE: ("<=", ("<", ">=")),
    ast.Gt: (">", (">=", "<")),
    ast.GtE: (">=", (">", "<=")),
    ast.Eq: ("==", ("!=",)),
    ast.NotEq: ("!=", ("==",)),
    ast.Is: ("is", ("is not",)),
    ast.IsNot: ("is not", ("is",)),
    ast.In: ("in", ("not in",)),
    ast.NotIn: ("not in", ("in",)),
    ast.Add: ("+", ("-",)),
    ast.Sub: ("-", ("+",)),
    ast.Mult: ("*", ("/",)),
    ast.Div: ("/", ("*",)),
    ast.FloorDiv: ("//", ("/",)),
    ast.Mod: ("%", ("/",)),
    ast.Pow: ("**", ("*",)),
    ast.BitAnd: ("&", ("|",)),
    ast.BitOr: ("|", ("&",)),
    ast.And: ("and", ("or",)),
    ast.Or: ("or", ("and",)),
}
NAMES = {
    "min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin",
    "floor": "ceil", "ceil": "floor", "append": "extend",
}  # fmt: skip
SYMMETRIC = {"min", "max", "hypot", "isinstance", "Citation"}
PLAIN = (ast.Name, ast.Attribute, ast.Call, ast.Subscript)


@dataclass(frozen=True)
class Change:
    """One change: in `module` (a path below src) the bytes from `start` to `end` become `now`.

    `function` is the outermost one around it, `lines` the first and last line of its statement.
    """

    module: str
    function: str
    first_line: int
    line: int
    lines: tuple[int, int]
    start: int
    end: int
    was: str
    now: str

    @property
    def part(self) -> str:
        return Path(self.module).parent.name

    @property
    def name(self) -> str:
        """What it is called whatever line it stands on: place, change and a digest of the rest."""
        text = source(self.module)
        around = text[max(0, self.start - 60) : self.end + 60]
        digest = hashlib.sha256(around + self.now.encode()).hexdigest()[:6]
        return f"{self.part}.{Path(self.module).stem}.{self.function}#{digest}"

    def applied(self) -> bytes:
        text = source(self.module)
        return text[: self.start] + self.now.encode() + text[self.end :]

    def shown(self) -> str:
        """The changed lines before and after."""
        old, new = (text.decode().split("\n") for text in (source(self.module), self.applied()))
        told = list(difflib.unified_diff(old, new, lineterm="", n=0))[3:]
        return "\n".join(told)


@cache
def source(module: str) -> bytes:
    return (ROOT / "src" / module).read_bytes()


def files() -> list[str]:
    """The modules that are changed, as paths below src."""
    src = ROOT / "src"
    found = [p for part in PARTS for p in sorted((src / "underset" / part).glob("*.py"))]
    return [p.relative_to(src).as_posix() for p in found if p.name not in WORDS]


def changes(module: str) -> list[Change]:
    """Every change of a module, in the order of the text; a few of them do not compile."""
    text = source(module)
    tree = ast.parse(text)
    place = _Places(text)
    found: dict[tuple[int, int, str], Change] = {}
    for qualname, function in _functions(tree):
        for statement in _statements(function):
            lines = _span(statement)
            for start, end, now in _splices(statement, place):
                found[start, end, now] = Change(
                    module, qualname, _first_line(function), text[:start].count(b"\n") + 1, lines,
                    start, end, text[start:end].decode(), now,
                )  # fmt: skip
    return [found[key] for key in sorted(found)]


def compiles(change: Change) -> bool:
    """Whether the change leaves a module that Python can read."""
    try:
        compile(change.applied(), change.module, "exec")
    except SyntaxError:
        return False
    return True


def draw(part: str, count: int, seed: int) -> list[Change]:
    """So many changes of a part, any as likely as any other; the same for one code and seed."""
    found = [c for module in files() if Path(module).parent.name == part for c in changes(module)]
    random.Random(f"{part} {seed}").shuffle(found)
    drawn: dict[str, Change] = {}
    for change in found:
        if len(drawn) == count:
            break
        if compiles(change):
            drawn.setdefault(change.name, change)
    return list(drawn.values())


def named(text: str) -> list[Change]:
    """Every change of a function whose name (setting.loads._tip) holds this text."""
    found = {c.name: c for m in files() for c in changes(m) if text in c.name and compiles(c)}
    return list(found.values())


# --- where ----------------------------------------------------------------------------------------

Function = ast.FunctionDef | ast.AsyncFunctionDef


class _Places:
    """Byte offsets of syntax nodes."""

    def __init__(self, text: bytes) -> None:
        self.text = text
        self.begins = [0]
        for line in text.split(b"\n"):
            self.begins.append(self.begins[-1] + len(line) + 1)

    def start(self, node: ast.expr | ast.stmt | ast.keyword) -> int:
        return self.begins[node.lineno - 1] + node.col_offset

    def end(self, node: ast.expr | ast.stmt | ast.keyword) -> int:
        assert node.end_lineno is not None and node.end_col_offset is not None
        return self.begins[node.end_lineno - 1] + node.end_col_offset

    def of(self, node: ast.expr | ast.stmt) -> str:
        return self.text[self.start(node) : self.end(node)].decode()


def _functions(tree: ast.Module) -> Iterator[tuple[str, Function]]:
    """Functions of the module and methods of its classes, not those inside functions."""
    for node in tree.body:
        if isinstance(node, Function):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, Function):
                    yield f"{node.name}.{inner.name}", inner


def _first_line(function: Function) -> int:
    """The line where its code object begins: that of the first decorator."""
    return min(node.lineno for node in (function, *function.decorator_list))


def _statements(function: Function) -> Iterator[ast.stmt]:
    for node in ast.walk(function):
        if isinstance(node, ast.stmt) and node is not function:
            yield node


def _span(statement: ast.stmt) -> tuple[int, int]:
    """The lines of a statement, of its head alone where it has a body."""
    body = getattr(statement, "body", None)
    last = statement.end_lineno or statement.lineno
    return statement.lineno, max(statement.lineno, body[0].lineno - 1) if body else last


def _own(node: ast.AST) -> Iterator[ast.AST]:
    """The expressions of a statement, not of the statements inside it."""
    if isinstance(node, ast.JoinedStr | Function | ast.ClassDef):
        return
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "defaults", "kw_defaults", "decorator_list"):
            continue
        for inner in value if isinstance(value, list) else [value]:
            if isinstance(inner, ast.AST) and not isinstance(inner, ast.stmt):
                yield inner
                yield from _own(inner)


# --- what -----------------------------------------------------------------------------------------

Splices = Iterator[tuple[int, int, str]]


def _splices(statement: ast.stmt, place: _Places) -> Splices:
    if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
        return
    yield from _statement_splices(statement, place)
    for node in _own(statement):
        if isinstance(node, ast.JoinedStr):
            continue
        for kind, maker in MAKERS:
            if isinstance(node, kind):
                yield from maker(node, place)


def _statement_splices(node: ast.stmt, place: _Places) -> Splices:
    whole = place.start(node), place.end(node)
    match node:
        case ast.Expr(value=ast.Call()) | ast.Raise():
            yield *whole, "pass"
        case ast.Break():
            yield *whole, "continue"
        case ast.Continue():
            yield *whole, "break"
        case ast.Return(value=ast.expr() as value) if place.of(value) != "None":
            yield place.start(value), place.end(value), "None"
        case ast.AugAssign():
            yield from _operator(node.op, place.end(node.target), place.start(node.value), place)
        case ast.If() | ast.While() if isinstance(node.test, PLAIN):
            yield place.start(node.test), place.end(node.test), f"not {place.of(node.test)}"


def _operator(op: ast.AST, low: int, high: int, place: _Places) -> Splices:
    """The operator that stands between two operands, replaced."""
    was, others = OPERATORS.get(type(op), ("", ()))
    at = place.text.find(was.encode(), low, high)
    if at >= 0:
        yield from ((at, at + len(was), now) for now in others)


def _binary(node: ast.BinOp, place: _Places) -> Splices:
    yield from _operator(node.op, place.end(node.left), place.start(node.right), place)


def _boolean(node: ast.BoolOp, place: _Places) -> Splices:
    for left, right in zip(node.values, node.values[1:], strict=False):
        yield from _operator(node.op, place.end(left), place.start(right), place)


def _compare(node: ast.Compare, place: _Places) -> Splices:
    left = node.left
    for op, right in zip(node.ops, node.comparators, strict=True):
        yield from _operator(op, place.end(left), place.start(right), place)
        left = right


def _unary(node: ast.UnaryOp, place: _Places) -> Splices:
    at = place.start(node)
    if isinstance(node.op, ast.Not):
        yield at, at + 3, ""
    elif isinstance(node.op, ast.USub):
        yield at, at + 1, ""


def _constant(node: ast.Constant, place: _Places) -> Splices:
    whole = place.start(node), place.end(node)
    match node.value:
        case bool():
            yield *whole, str(not node.value)
        case int() | float():
            yield *whole, repr(node.value + 1)
        case str():
            yield *whole, repr(f"XX{node.value}XX")


def _either(node: ast.IfExp, place: _Places) -> Splices:
    this, test, that = (place.of(n) for n in (node.body, node.test, node.orelse))
    yield place.start(node), place.end(node), f"(({that}) if {test} else ({this}))"


def _choice(node: ast.comprehension, place: _Places) -> Splices:
    for test in node.ifs:
        if isinstance(test, PLAIN):
            yield place.start(test), place.end(test), f"not {place.of(test)}"


def _call(node: ast.Call, place: _Places) -> Splices:
    name = getattr(node.func, "id", getattr(node.func, "attr", ""))
    if name in NAMES:
        end = place.end(node.func)
        yield end - len(name), end, NAMES[name]
    if name not in SYMMETRIC:
        for one, two in zip(node.args, node.args[1:], strict=False):
            yield from _swapped(one, two, place)
    for keyword in node.keywords:
        if keyword.arg is not None:
            before = max(
                place.end(n)
                for n in (node.func, *node.args, *node.keywords)
                if place.end(n) < place.start(keyword)
            )
            low = before + 1 if before == place.end(node.func) else before
            yield low, place.end(keyword), ""


def _swapped(one: ast.expr, two: ast.expr, place: _Places) -> Splices:
    first, second = place.of(one), place.of(two)
    if first != second and not isinstance(one, ast.Starred) and not isinstance(two, ast.Starred):
        gap = place.text[place.end(one) : place.start(two)].decode()
        yield place.start(one), place.end(two), f"{second}{gap}{first}"


MAKERS = (
    (ast.BinOp, _binary),
    (ast.BoolOp, _boolean),
    (ast.Compare, _compare),
    (ast.UnaryOp, _unary),
    (ast.Constant, _constant),
    (ast.IfExp, _either),
    (ast.comprehension, _choice),
    (ast.Call, _call),
)
