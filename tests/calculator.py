"""A pocket calculator that knows the grammar of substituted lines and nothing of the package.

Numbers, + - * / ^ ( ), sqrt exp ln min max; ^ binds to the right, unary minus looser than ^.
"""

import math
import re

TOKEN = re.compile(r"\s*(?:(\d+\.?\d*|\.\d+)|([A-Za-z][A-Za-z0-9_'.]*)|(.))")
FUNCTIONS = {"sqrt": math.sqrt, "exp": math.exp, "ln": math.log, "min": min, "max": max}


def calculate(text, symbols=None):
    """The number that the text gives; symbols are refused unless their values are given."""
    tokens = [m.groups() for m in TOKEN.finditer(text.strip())]
    value, rest = _sum(tokens, symbols or {})
    assert not rest, f"left over: {rest} in {text}"
    return value


def _sum(tokens, symbols):
    value, tokens = _product(tokens, symbols)
    while tokens and tokens[0][2] in ("+", "-"):
        sign = tokens[0][2]
        right, tokens = _product(tokens[1:], symbols)
        value = value + right if sign == "+" else value - right
    return value, tokens


def _product(tokens, symbols):
    value, tokens = _signed(tokens, symbols)
    while tokens and tokens[0][2] in ("*", "/"):
        sign = tokens[0][2]
        right, tokens = _signed(tokens[1:], symbols)
        value = value * right if sign == "*" else value / right
    return value, tokens


def _signed(tokens, symbols):
    if tokens[0][2] == "-":
        value, tokens = _signed(tokens[1:], symbols)
        return -value, tokens
    return _power(tokens, symbols)


def _power(tokens, symbols):
    base, tokens = _atom(tokens, symbols)
    if tokens and tokens[0][2] == "^":
        exponent, tokens = _signed(tokens[1:], symbols)
        return base**exponent, tokens
    return base, tokens


def _atom(tokens, symbols):
    number, name, sign = tokens[0]
    if number:
        return float(number), tokens[1:]
    if name in FUNCTIONS and len(tokens) > 1 and tokens[1][2] == "(":
        arguments, tokens = _arguments(tokens[1:], symbols)
        return FUNCTIONS[name](*arguments), tokens
    if name:
        return symbols[name], tokens[1:]
    assert sign == "(", f"unexpected {sign!r}"
    value, tokens = _sum(tokens[1:], symbols)
    assert tokens[0][2] == ")", "a bracket is not closed"
    return value, tokens[1:]


def _arguments(tokens, symbols):
    arguments = []
    while tokens[0][2] in ("(", ","):
        value, tokens = _sum(tokens[1:], symbols)
        arguments.append(value)
    assert tokens[0][2] == ")", "a bracket is not closed"
    return arguments, tokens[1:]
