"""Every single change of a module that a test should notice: operators, numbers, words' counterparts, dropped steps.

Texts, messages, annotations and docstrings are left alone: they decide nothing.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = ["Change", "changes"]

COMPARED: dict[type[ast.cmpop], tuple[str, ...]] = {
    ast.Lt: ("<=", ">"), ast.LtE: ("<", ">"), ast.Gt: (">=", "<"), ast.GtE: (">", "<"), ast.Eq: ("!=",),
    ast.NotEq: ("==",), ast.Is: ("is not",), ast.IsNot: ("is",), ast.In: ("not in",), ast.NotIn: ("in",),
}  # fmt: skip
COMPUTED: dict[type[ast.operator], str] = {
    ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*", ast.FloorDiv: "*", ast.Mod: "*", ast.Pow: "*",
    ast.LShift: ">>", ast.RShift: "<<", ast.BitOr: "&", ast.BitAnd: "|",
}  # fmt: skip
SWAPPED = {"min": "max", "max": "min", "floor": "ceil", "all": "any", "any": "all", "minimum": "maximum"} | {
    "maximum": "minimum", "ceil": "floor", "sin": "cos", "cos": "sin",
}  # fmt: skip
PAIRS = (
    ("inner", "outer"), ("dry", "wet"), ("low", "high"), ("friction", "cohesion"), ("dead", "imposed"),
    ("bottom", "top"), ("_in", "_out"), ("upper", "lower"), ("required", "factor"), ("placing", "service"),
    ("width", "height"), ("least", "most"), ("met", "short"),
)  # fmt: skip
IN_TEXT = ("inner", "outer", "dry", "wet", "placing", "service", "friction", "cohesion", "bearing")


@dataclass(frozen=True)
class Change:
    """One change: the text between two places of the source, and what stands there instead."""

    start: int
    end: int
    line: int
    span: range
    kind: str
    before: str
    after: str

    def applied(self, source: str) -> str:
        raw = source.encode("utf-8")
        return (raw[: self.start] + self.after.encode() + raw[self.end :]).decode("utf-8")

    def runs(self, source: str) -> bool:
        """Whether it leaves a program."""
        try:
            compile(self.applied(source), "<change>", "exec")
        except (SyntaxError, ValueError):
            return False
        return True


class _Finder:
    def __init__(self, source: str) -> None:
        self.raw = source.encode("utf-8")
        lines = self.raw.splitlines(keepends=True)
        self.starts = [sum(map(len, lines[:i])) for i in range(len(lines))]
        self.tree = ast.parse(source)
        self.names = {node.attr for node in ast.walk(self.tree) if isinstance(node, ast.Attribute)}
        self.names |= {node.id for node in ast.walk(self.tree) if isinstance(node, ast.Name)}
        self.texts = {str(node.value) for node in ast.walk(self.tree) if isinstance(node, ast.Constant)}
        self.span = range(0)
        self.out: list[Change] = []

    def place(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        assert node.end_lineno is not None and node.end_col_offset is not None
        return self.starts[node.lineno - 1] + node.col_offset, self.starts[node.end_lineno - 1] + node.end_col_offset

    def text(self, node: ast.expr | ast.stmt) -> str:
        start, end = self.place(node)
        return self.raw[start:end].decode()

    def replace(self, node: ast.expr | ast.stmt, kind: str, after: str) -> None:
        start, end = self.place(node)
        self.out.append(Change(start, end, node.lineno, self.span, kind, self.text(node), after))

    def visit(self, node: ast.AST) -> None:
        if _stays(node):
            return
        if isinstance(node, ast.stmt):
            self.span = _span(node)
            self.statement(node)
        elif isinstance(node, ast.expr):
            self.expression(node)
        for child in _children(node):
            span = self.span
            self.visit(child)
            self.span = span

    def statement(self, node: ast.stmt) -> None:
        if isinstance(node, ast.If | ast.While):
            self.replace(node.test, "condition", "True" if isinstance(node, ast.If) else "False")
            if isinstance(node, ast.If):
                self.replace(node.test, "condition", "False")
        elif isinstance(node, ast.Return) and node.value is not None and self.text(node.value) != "None":
            self.replace(node.value, "return value", "None")
        elif isinstance(node, ast.AugAssign) or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Call)):
            self.replace(node, "step dropped", "pass")

    def expression(self, node: ast.expr) -> None:
        if isinstance(node, ast.Compare):
            self.compare(node)
        elif isinstance(node, ast.BinOp) and type(node.op) in COMPUTED:
            sides = (node.left, node.right)
            if not any(isinstance(one, ast.JoinedStr) or self.text(one) == "None" for one in sides):
                after = f"{self._held(node.left)} {COMPUTED[type(node.op)]} {self._held(node.right)}"
                self.replace(node, "operator", f"({after})")
        elif isinstance(node, ast.BoolOp):
            other = "or" if isinstance(node.op, ast.And) else "and"
            self.replace(node, "and/or", "(" + f" {other} ".join(self._held(one) for one in node.values) + ")")
            for one in node.values:
                rest = [self._held(value) for value in node.values if value is not one]
                word = "and" if isinstance(node.op, ast.And) else "or"
                self.replace(node, "a condition dropped", "(" + f" {word} ".join(rest) + ")")
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
            self.replace(node, "not dropped" if isinstance(node.op, ast.Not) else "sign", self._held(node.operand))
        elif isinstance(node, ast.IfExp):
            self.replace(node, "choice", f"({self._held(node.body)})")
            self.replace(node, "choice", f"({self._held(node.orelse)})")
        elif isinstance(node, ast.Constant):
            self.constant(node)
        elif isinstance(node, ast.Call):
            self.call(node)
        elif isinstance(node, ast.Name | ast.Attribute):
            self.counterpart(node)

    def compare(self, node: ast.Compare) -> None:
        operands = [node.left, *node.comparators]
        words = [self._held(one) for one in operands]
        signs = [self._sign(op) for op in node.ops]
        for i, op in enumerate(node.ops):
            for sign in COMPARED[type(op)]:
                new = [*signs[:i], sign, *signs[i + 1 :]]
                text = words[0] + "".join(f" {a} {b}" for a, b in zip(new, words[1:], strict=True))
                self.replace(node, "comparison", f"({text})")

    def constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self.replace(node, "constant", str(not value))
        elif isinstance(value, int):
            self.replace(node, "constant", str(value + 1))
            if value in (1, 2):
                self.replace(node, "constant", str(value - 1))
        elif isinstance(value, float):
            self.replace(node, "constant", repr(value * 1.5) if value else "1.0")
        elif isinstance(value, str) and len(value) < 40:
            for a, b in [*PAIRS, *(pair[::-1] for pair in PAIRS)]:
                if a in value and a in IN_TEXT and value.replace(a, b, 1) in self.texts:
                    self.replace(node, "counterpart", repr(value.replace(a, b, 1)))

    def call(self, node: ast.Call) -> None:
        name = node.func
        word = name.id if isinstance(name, ast.Name) else name.attr if isinstance(name, ast.Attribute) else ""
        if word in SWAPPED:
            self.replace(name, "function", self.text(name).removesuffix(word) + SWAPPED[word])
        elif word == "abs" and len(node.args) == 1:
            self.replace(node, "abs dropped", f"({self.text(node.args[0])})")
        if word in ("min", "max") and len(node.args) == 2:
            for one in node.args:
                self.replace(node, "one side of a minimum", f"({self.text(one)})")

    def counterpart(self, node: ast.Name | ast.Attribute) -> None:
        word = node.id if isinstance(node, ast.Name) else node.attr
        if not isinstance(node.ctx, ast.Load):
            return
        for a, b in [*PAIRS, *(pair[::-1] for pair in PAIRS)]:
            other = word.replace(a, b, 1)
            if a in word and other in self.names and other != word:
                self.replace(node, "counterpart", self.text(node).removesuffix(word) + other)
                return

    def _held(self, node: ast.expr) -> str:
        return f"({self.text(node)})" if not isinstance(node, ast.Name | ast.Constant) else self.text(node)

    @staticmethod
    def _sign(op: ast.cmpop) -> str:
        text = ast.unparse(ast.Compare(ast.Name("a"), [op], [ast.Name("b")]))
        return text[2:-2]


def _span(node: ast.stmt) -> range:
    """Lines of a statement; of one that holds others, its head."""
    body = getattr(node, "body", None)
    last = body[0].lineno - 1 if body else (node.end_lineno or node.lineno)
    return range(node.lineno, max(last, node.lineno) + 1)


def _children(node: ast.AST) -> Iterator[ast.AST]:
    """What decides: no annotations, no messages, no decorators, no names to export."""
    if isinstance(node, ast.FunctionDef):
        yield from [one for one in (*node.args.defaults, *node.args.kw_defaults) if one is not None]
        yield from node.body[1:] if ast.get_docstring(node) is not None else node.body
    elif isinstance(node, ast.ClassDef):
        yield from node.body
    elif isinstance(node, ast.AnnAssign):
        if node.value is not None:
            yield node.value
    elif isinstance(node, ast.Raise | ast.Import | ast.ImportFrom | ast.JoinedStr):
        return
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "refuse":
        yield from node.args[:1]
    else:
        yield from ast.iter_child_nodes(node)


def _stays(node: ast.AST) -> bool:
    """The names a module exports, and what it does when it is run as a script."""
    if isinstance(node, ast.Assign):
        return ast.unparse(node.targets[0]) == "__all__"
    return isinstance(node, ast.If) and "__main__" in ast.unparse(node.test)


def changes(source: str) -> list[Change]:
    """All single changes of a source, in the order of its text; a few leave no program (`Change.runs`)."""
    finder = _Finder(source)
    finder.visit(finder.tree)
    seen, out = set(), []
    for one in sorted(finder.out, key=lambda one: (one.start, one.end, one.kind, one.after)):
        key = (one.start, one.end, one.after)
        if key in seen or one.before == one.after:
            continue
        seen.add(key)
        out.append(one)
    return out
