"""The cheapest lots by scipy's linprog (HiGHS), built and solved from the columns.

    lots dry|as-weighed COUNT | python3 scipy_lots.py dry|as-weighed

prints the cost and the seconds of one, the median of eleven: of rows laid full and
of sparse ones, whichever is quicker.
"""
import sys
import time

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csr_array

is_dry = sys.argv[1] == "dry"
lines = sys.stdin.read().splitlines()
batch, to, within = map(float, lines[1].split())
shares = np.array(lines[2].split(), float)
component, at, price, stock = np.array([line.split() for line in lines[3:]], float).T
component = component.astype(int)


def full():
    dry = 1 - at
    of = (component == np.arange(len(shares))[:, None]).astype(float)
    least, most = np.maximum(shares - within, 0), shares + within
    all_ = np.ones((1, len(at)))
    if is_dry:
        of, whole = of * dry, batch * (1 - to)
        rows, right = np.vstack([all_, -of, of]), np.hstack([batch, -least * whole, most * whole])
    else:
        rows = np.vstack([all_, least[:, None] - of, of - most[:, None]])
        right = np.hstack([batch, np.zeros(2 * len(shares))])
    return rows, right, dry[None]


def sparse():
    """All leaf is a column of its own, so that rows stay short."""
    n, k = len(at), len(shares)
    dry, lot, one = 1 - at, np.arange(n), np.ones(n)
    least, most = np.maximum(shares - within, 0), shares + within
    of = dry if is_dry else one
    # On dry shares all dry leaf is a figure, and stands on the right.
    of_all, whole = (0.0, batch * (1 - to)) if is_dry else (1.0, 0.0)
    line, all_ = np.arange(k), np.full(k, n)
    values = np.hstack([-of, of_all * least, of, -of_all * most])
    places = np.hstack([component, line, k + component, k + line]), np.hstack([lot, all_, lot, all_])
    rows = csr_array((values, places), shape=(2 * k, n + 1))
    right = np.hstack([-least, most]) * whole
    places = np.hstack([0 * lot, 0 * lot + 1, [1]]), np.hstack([lot, lot, [n]])
    sums = csr_array((np.hstack([dry, one, [-1.0]]), places), shape=(2, n + 1))
    return rows, right, sums


def by_full():
    rows, right, dry = full()
    bounds = np.column_stack([np.zeros(len(at)), stock])
    return linprog(price, A_ub=rows, b_ub=right, A_eq=dry, b_eq=[batch * (1 - to)], bounds=bounds, method="highs")


def by_sparse():
    rows, right, sums = sparse()
    bounds = np.column_stack([np.zeros(len(at) + 1), np.append(stock, batch)])
    costs = np.append(price, 0.0)
    return linprog(costs, A_ub=rows, b_ub=right, A_eq=sums, b_eq=[batch * (1 - to), 0.0], bounds=bounds, method="highs")


def median(solve):
    each = []
    for _ in range(11):
        begun = time.perf_counter()
        solve()
        each.append(time.perf_counter() - begun)
    return sorted(each)[5]


full_, sparse_ = by_full().fun, by_sparse().fun
assert abs(full_ - sparse_) <= 1e-9 * full_, (full_, sparse_)
print(full_, min(median(by_full), median(by_sparse)))
