"""Sums as they are printed, worked out from the printed digits: what a reader types in is what comes out."""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping

__all__ = ["digits", "put_in", "worked_out"]

OPERATORS: Mapping[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
FUNCTIONS: Mapping[str, Callable[..., float]] = {"sqrt": math.sqrt, "ln": math.log, "abs": abs, "min": min, "max": max}


def digits(value: float) -> str:
    """Seven significant figures."""
    return f"{value:.7g}"


def put_in(template: str, names: Mapping[str, str]) -> str:
    """The template with the digits of every name put in; a negative number in brackets."""
    return template.format(**{name: f"({text})" if text.startswith("-") else text for name, text in names.items()})


def worked_out(printed: str) -> float:
    """The value of a printed sum: numbers, + - x / ^, brackets, sqrt, ln, abs, min, max; else ValueError."""

    def value(node: ast.expr) -> float:
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
            return float(node.value)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            return -value(node.operand)
        if isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
            return OPERATORS[type(node.op)](value(node.left), value(node.right))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in FUNCTIONS:
            return FUNCTIONS[node.func.id](*map(value, node.args))
        raise ValueError(f"no printed sum: {printed}")

    try:
        return value(ast.parse(printed.replace(" x ", " * ").replace("^", "**"), mode="eval").body)
    except SyntaxError:
        raise ValueError(f"no printed sum: {printed}") from None
