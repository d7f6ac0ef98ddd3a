"""Reads typeset mathematics back to a number, knowing nothing of the package.

Typst itself parses the source; what is read is its own account of what stands under a bar, in a
raised place, or in brackets. A power that stands on a fraction, root or function without brackets
is refused: a person could not tell what is raised. So is a choice beside anything else.
"""

import json
import math
import operator

NAMES = (
    "alpha beta gamma delta epsilon zeta eta theta iota kappa lambda mu nu xi omicron pi rho sigma "
    "tau upsilon phi chi psi omega"
)
GREEK = dict(zip("αβγδεζηθικλμνξοπρστυφχψω", NAMES.split(), strict=True))
FUNCTIONS = {"max": max, "min": min, "ln": math.log, "arctan": math.atan}
COMPARISONS = {"<": operator.lt, "≤": operator.le, ">": operator.gt, "≥": operator.ge}


def parsed(source):
    """What Typst understands by the source of an equation."""
    import typst

    # A compiler of sources in memory serves once.
    compiler = typst.Compiler({"main.typ": b""}, ignore_system_fonts=True)
    return json.loads(compiler.eval(f"${source}$"))["body"]


def read(source, symbols):
    """The number of an equation's source; `symbols` are values by printed symbols."""
    return _Reader(_tokens(parsed(source)), symbols).whole()


def _tokens(node):
    """The row of signs and structures; brackets are signs of the row they stand in."""
    match node:
        case {"func": "sequence", "children": children}:
            return [token for child in children for token in _tokens(child)]
        case {"func": "lr", "body": body} | {"func": "styled", "child": body}:
            return _tokens(body)
        case {"func": "space" | "h" | "class"}:
            return []
        case {"func": "symbol" | "text", "text": text}:
            return [text]
        case {"func": "op", "text": {"text": name}}:
            return [("function", name)]
    return [node]


class _Reader:
    def __init__(self, tokens, symbols):
        self.tokens, self.symbols = tokens, symbols
        self.opened = True

    def whole(self):
        value = self.sum()
        assert not self.tokens, f"left over: {self.tokens}"
        return value

    def next(self, *signs):
        if self.tokens and isinstance(self.tokens[0], str) and self.tokens[0] in signs:
            self.opened = self.tokens[0] in ("(", ",")
            return self.tokens.pop(0)
        return None

    def sum(self):
        value = -self.product() if self.next("−") else self.product()
        while sign := self.next("+", "−"):
            right = self.product()
            value = value + right if sign == "+" else value - right
        return value

    def product(self):
        value = self.atom()
        while sign := self.next("⋅", "/"):
            right = self.atom()
            value = value * right if sign == "⋅" else value / right
        return value

    def atom(self):
        token = self.tokens.pop(0)
        if isinstance(token, dict) and token["func"] == "cases":
            closed = not self.tokens or self.tokens[0] in (")", ",")
            assert (self.opened, closed) == (True, True), "bare choice"
        self.opened = token == "("
        for left, right, function in (
            ("(", ")", float),
            ("|", "|", abs),
            ("⌈", "⌉", math.ceil),
        ):
            if token == left:
                value = self.sum()
                assert self.next(right)
                return function(value)
        if isinstance(token, tuple):
            return self.function(token[1])
        return _value(token, self.symbols)

    def function(self, name):
        assert self.next("("), f"{name} without brackets"
        arguments = [self.sum()]
        while self.next(","):
            arguments.append(self.sum())
        assert self.next(")")
        return FUNCTIONS[name](*arguments)


def _value(node, symbols):
    def inner(part):
        return _Reader(_tokens(part), symbols).whole()

    match node:
        case str():
            return _named(node, symbols)
        case {"func": "frac", "num": above, "denom": below}:
            return inner(above) / inner(below)
        case {"func": "root", "radicand": radicand, "index": _}:
            return math.copysign(abs(inner(radicand)) ** (1 / 3), inner(radicand))
        case {"func": "root", "radicand": radicand}:
            return math.sqrt(inner(radicand))
        case {"func": "attach", "base": {"text": "e"}, "t": power}:
            return math.exp(inner(power))
        case {"func": "attach", "base": base, **places}:
            value = _attached(base, places, symbols)
            return value ** inner(places["t"]) if "t" in places else value
        case {"func": "cases", "children": [*cases, otherwise]}:
            return _chosen([_tokens(case) for case in cases], _tokens(otherwise), symbols)
    raise AssertionError(f"not to be read: {node}")


def _attached(base, places, symbols):
    if base["func"] == "lr":
        tokens = _tokens(base)
        assert tokens[0] in "(|⌈", f"a power of {base}"
        return _Reader(tokens, symbols).whole()
    assert base["func"] in ("symbol", "text"), f"a power of {base}"
    below = "".join(GREEK.get(c, c) for c in places["b"]["text"]) if "b" in places else ""
    name = GREEK.get(base["text"], base["text"]) + "'" * places.get("tr", {}).get("count", 0)
    return _named(f"{name}_{below}" if below else name, symbols)


def _named(name, symbols):
    if name[0].isdigit():
        return float(name)
    return symbols[GREEK.get(name, name)]


def _chosen(cases, otherwise, symbols):
    """The first case that holds, as a person reads them from the top."""
    assert otherwise.pop() == "otherwise"
    for case in cases:
        place = case.index("if")
        condition = case[place + 1 :]
        sign = next(i for i, token in enumerate(condition) if token in list(COMPARISONS))
        left, right = condition[:sign], condition[sign + 1 :]
        if COMPARISONS[condition[sign]](
            _Reader(left, symbols).whole(), _Reader(right, symbols).whole()
        ):
            return _Reader(case[:place], symbols).whole()
    return _Reader(otherwise, symbols).whole()
