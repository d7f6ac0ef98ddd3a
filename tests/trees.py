"""Random trees of equations, and values for the symbols in them."""

from hypothesis import strategies as st

from linerdesign.expressions.tree import Call, Number, Operation, Symbol

LEAVES = st.one_of(
    st.sampled_from([Symbol("D"), Symbol("E_s"), Symbol("q_t")]),
    st.floats(-9, 9, allow_nan=False).map(lambda x: Number(round(x, 3))),
)


def _grown(children):
    binary = st.tuples(st.sampled_from("+-*/"), children, children).map(
        lambda x: Operation(x[0], (x[1], x[2]))
    )
    power = st.tuples(children, children).map(lambda x: Operation("^", x))
    negation = children.map(lambda x: Operation("neg", (x,)))
    extremes = st.tuples(st.sampled_from(["min", "max"]), children, children).map(
        lambda x: Call(x[0], (x[1], x[2]))
    )
    functions = st.tuples(st.sampled_from(["sqrt", "exp", "ln", "cbrt"]), children).map(
        lambda x: Call(x[0], (x[1],))
    )
    return st.one_of(binary, binary, power, negation, extremes, functions)


TREES = st.recursive(LEAVES, _grown, max_leaves=12)
SOME = {"D": 2.5, "E_s": 0.75, "q_t": 1.25}
