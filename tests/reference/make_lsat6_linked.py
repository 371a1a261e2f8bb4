#!/usr/bin/env python3
"""Rasch difficulties of a linked design, by listing every answer pattern instead of symmetric functions.

The people of lsat6.csv are dealt round three booklets by number: 3n without item 1, 3n+1 without item 5,
3n+2 without items 2 and 3. Writes lsat6_linked.csv: difficulty (sum zero) and its standard error.
"""
import csv, itertools, math

rows = [[int(c) for c in r[1:]] for r in list(csv.reader(open('lsat6.csv')))[1:]]
booklets = {0: [1, 2, 3, 4], 1: [0, 1, 2, 3], 2: [0, 3, 4]}
counts = {}
for person, row in enumerate(rows, 1):
    items = tuple(booklets[person % 3])
    answers = tuple(row[i] for i in items)
    if 0 < sum(answers) < len(items):
        counts[items, answers] = counts.get((items, answers), 0) + 1

def slope_and_information(b):
    slope, info, loglik = [0.0]*5, [[0.0]*5 for _ in range(5)], 0.0
    for (items, answers), n in counts.items():
        same = [x for x in itertools.product((0, 1), repeat=len(items)) if sum(x) == sum(answers)]
        w = [math.exp(-sum(b[i] for i, v in zip(items, x) if v)) for x in same]
        z = math.fsum(w)
        loglik += n*(-sum(b[i] for i, v in zip(items, answers) if v) - math.log(z))
        p = {i: math.fsum(v for v, x in zip(w, same) if x[k])/z for k, i in enumerate(items)}
        for k, i in enumerate(items):
            slope[i] += n*(p[i] - answers[k])
            for m, j in enumerate(items):
                both = math.fsum(v for v, x in zip(w, same) if x[k] and x[m])/z
                info[i][j] += n*(both - p[i]*p[j])
    return slope, info, loglik

def solve(a, y):                                    # Gauss with pivots
    n = len(y); m = [r[:] + [v] for r, v in zip(a, y)]
    for c in range(n):
        k = max(range(c, n), key=lambda r: abs(m[r][c])); m[c], m[k] = m[k], m[c]
        for r in range(n):
            if r != c:
                f = m[r][c]/m[c][c]; m[r] = [x - f*z for x, z in zip(m[r], m[c])]
    return [m[i][n]/m[i][i] for i in range(n)]

b = [0.0]*5
for _ in range(60):                                 # the first difficulty held, centred afterwards
    slope, info, loglik = slope_and_information(b)
    step = [0.0] + solve([r[1:] for r in info[1:]], slope[1:])
    b = [x + s for x, s in zip(b, step)]
    if max(map(abs, step)) < 1e-14: break
_, info, loglik = slope_and_information(b)
free = [r[1:] for r in info[1:]]
cov = [[0.0]*5] + [[0.0] + solve(free, [float(i == j) for i in range(4)]) for j in range(4)]
mean = sum(b)/5
se = []
for i in range(5):                                  # variance of b_i less the mean of all
    c = [(i == j) - 0.2 for j in range(5)]
    se.append(math.sqrt(sum(c[j]*c[k]*cov[j][k] for j in range(5) for k in range(5))))
with open('lsat6_linked.csv', 'w') as f:
    f.write('item,difficulty,se,people,log_likelihood\n')
    for i in range(5):
        n = sum(v for (items, _), v in counts.items() if i in items)
        f.write('I%d,%.15g,%.15g,%d,%.15g\n' % (i+1, b[i]-mean, se[i], n, loglik))
