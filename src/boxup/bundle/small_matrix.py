"""Small square matrices as lists of rows, for streams that can be counted on two hands: product, sum, solution of a linear system."""

from __future__ import annotations

Matrix = list[list[float]]


def eye(n: int) -> Matrix:
    """The unit matrix, n by n."""
    return [[float(i == j) for j in range(n)] for i in range(n)]


def times(a: Matrix, b: Matrix) -> Matrix:
    """The product; shapes (i, j) and (j, k)."""
    columns = list(zip(*b, strict=True))
    return [[sum(x * y for x, y in zip(row, column, strict=True)) for column in columns] for row in a]


def plus(a: Matrix, b: Matrix, factor: float = 1.0) -> Matrix:
    """a + factor b, of one shape."""
    return [[x + factor * y for x, y in zip(p, q, strict=True)] for p, q in zip(a, b, strict=True)]


def solve(a: Matrix, b: Matrix) -> Matrix:
    """x of a x = b, by elimination with the largest pivot of the column. ZeroDivisionError where a has no inverse."""
    n = len(a)
    rows = [[*p, *q] for p, q in zip(a, b, strict=True)]
    for i in range(n):
        best = max(range(i, n), key=lambda r: abs(rows[r][i]))
        rows[i], rows[best] = rows[best], rows[i]
        rows[i] = [x / rows[i][i] for x in rows[i]]
        for r in range(n):
            if r != i and (factor := rows[r][i]):
                rows[r] = [x - factor * y for x, y in zip(rows[r], rows[i], strict=True)]
    return [row[n:] for row in rows]
