"""The networks of main.rs solved with scipy: the same start, steps, line search and end.

python3 benches/newton/newton.py    (numpy and scipy; processor time)
"""

import sys
import time

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

MASK = (1 << 64) - 1


class Dice:
    """As in newton.rs."""

    def __init__(self, seed):
        self.state = seed

    def next(self):
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) & MASK
        return self.state >> 33

    def below(self, count):
        return self.next() % count

    def hole(self):
        mu, rho = 0.006, 810.0
        radius = (0.5 + 4.0 * self.next() / 2.0**31) / 2e3
        area = np.pi * radius * radius
        viscous = mu * (3.0 / radius**3 + 8.0 * 1.5e-3 / (area * radius * radius))
        return viscous, rho / (2.0 * (0.7 * area) ** 2)


def ways(size):
    dice = Dice(size)
    found, above, youngest = [], [0, 1], [0, 1]
    for node in range(2, size + 2):
        parent = 1 + dice.below(node - 1)
        above.append(parent)
        found.append((parent, node, *dice.hole()))
        if dice.below(5) == 0:
            near = node
            for _ in range(1 + dice.below(3)):
                near = above[near]
            found.append((youngest[near], node, *dice.hole()))
        if dice.below(10) == 0:
            found.append((node, 0, *dice.hole()))
        youngest.append(node)
        youngest[parent] = node
    columns = zip(*found)
    return [np.array(column) for column in columns]


def solve(size, a, b, viscous, inertial):
    """Newton on the nodes above 1; the pattern of the matrix is worked out once."""
    start = time.process_time()
    in_a, in_b = a > 1, b > 1
    both = in_a & in_b
    i, j = a - 2, b - 2
    rows = np.concatenate([i[in_a], j[in_b], i[both], j[both]])
    columns = np.concatenate([i[in_a], j[in_b], j[both], i[both]])
    keys, place = np.unique(columns * size + rows, return_inverse=True)
    indices = (keys % size).astype(np.int32)
    indptr = np.searchsorted(keys, np.arange(size + 1) * size).astype(np.int32)

    def step(slope, excess):
        values = np.concatenate([slope[in_a], slope[in_b], -slope[both], -slope[both]])
        data = np.bincount(place, values, len(keys))
        matrix = csc_matrix((data, indices, indptr), (size, size))
        options = {"SymmetricMode": True}
        lu = splu(matrix, "MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=options)
        return lu.solve(excess)

    def at(inner):
        p = np.concatenate([[0.0, 8e5], inner])
        drop = p[a] - p[b]
        root = np.sqrt(viscous**2 + 4.0 * inertial * np.abs(drop))
        return 2.0 * drop / (viscous + root), 1.0 / root

    def excess(flow):
        return (np.bincount(b, flow, size + 2) - np.bincount(a, flow, size + 2))[2:]

    usual = 2.0 / (viscous + np.sqrt(viscous**2 + 4.0 * inertial * 1e5))
    known = np.where(a == 1, 8e5, 0.0) - np.where(b == 1, 8e5, 0.0)
    p = step(usual, excess(usual * known))
    flow, slope = at(p)
    out = excess(flow)
    steps, still = 0, False
    while not (still and np.max(np.abs(out)) < 1e-12) and steps < 100:
        d = step(slope, out)
        still = np.max(np.abs(d)) < 1e-6
        level = 0.1 * (out @ d)
        low, high, part = 0.0, 1.0, 1.0
        for _ in range(60):
            flow, slope = at(p + part * d)
            new = excess(flow)
            rises = -(new @ d)
            if rises <= level and (part == 1.0 or rises >= -level) or np.max(np.abs(new)) < 1e-12:
                break
            low, high = (low, part) if rises > 0.0 else (part, high)
            part = (low + high) / 2.0
        p, out = p + part * d, new
        steps += 1
    return time.process_time() - start, steps, np.max(np.abs(out)), p


print("| cavities | whole Newton, ms | steps | out of balance, m³/s |")
print("|---|---|---|---|")
for size in [1_000, 10_000, 100_000]:
    network = ways(size)
    runs = [solve(size, *network) for _ in range(3 if size > 50_000 else 9)]
    took = sum(run[0] for run in runs) / len(runs)
    print(f"| {size} | {took * 1e3:.3f} | {runs[0][1]} | {runs[0][2]:.1e} |")
    sys.stdout.flush()
