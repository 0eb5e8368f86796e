"""The statistics room against SciPy and NumPy: scipy_reference.py DUMP_STATISTICS. Exit 77: no SciPy here."""

import subprocess
import sys

try:
    import numpy as np
    from scipy import special, stats
except ImportError:
    print("skipped: no SciPy")
    sys.exit(77)

rng = np.random.default_rng(20)
questions, expected = [], []


def ask(word, numbers, answers, tolerance):
    questions.append(word + " " + " ".join(repr(float(n)) for n in numbers))
    expected.append((answers, tolerance))


def distributions():
    for p in [1e-250, 1e-30, 1e-6, 0.01, 0.25, 0.5, 0.8, 0.975, 1 - 1e-9]:
        ask("normal_quantile", [p], [stats.norm.ppf(p)], 1e-12)
        for degrees in [1, 2, 3.5, 9, 40, 1e4]:
            if p > 1e-30:
                ask("t_quantile", [p, degrees], [stats.t.ppf(p, degrees)], 1e-8)
    for z in [-38, -8, -1.5, 0, 0.3, 4, 9]:
        ask("normal_cdf", [z], [stats.norm.cdf(z)], 1e-12)
        for degrees in [0.7, 1, 2, 5, 30, 1e5]:
            ask("t_cdf", [z, degrees], [stats.t.cdf(z, degrees)], 1e-9)
    for a, b, x in [(0.5, 0.5, 0.2), (3, 7, 0.4), (50, 0.5, 0.999), (120, 80, 0.55), (1e4, 0.5, 0.9999)]:
        ask("beta", [a, b, x], [special.betainc(a, b, x)], 1e-9)


def summaries():
    for n in [1, 2, 3, 10, 57]:
        values = rng.lognormal(2, 0.5, n)
        for p in [0, 0.05, 0.31, 0.5, 0.9, 1]:
            ask("quantile", [p, *values], [np.quantile(values, p)], 1e-13)
        if n > 1:
            low, high = stats.t.interval(0.95, n - 1, values.mean(), stats.sem(values))
            ask("summary", values, [values.mean(), values.std(ddof=1), low, high], 1e-9)
    for count, total in [(0, 20), (81, 263), (5, 5), (1, 1), (15, 148)]:
        interval = stats.binomtest(count, total).proportion_ci(0.95, "wilson")
        ask("wilson", [count, total], [interval.low, interval.high], 1e-9)


def trends():
    for n in [4, 5, 8, 10]:
        for slope in [0, 0.3, -1]:
            x = np.sort(rng.uniform(0, 30, n))
            y = slope * x + rng.normal(0, 3, n)
            tau = stats.kendalltau(x, y, method="exact")
            line = stats.theilslopes(y, x)
            s = tau.statistic * n * (n - 1) / 2
            ask("mann_kendall", [*x, *y], [s, n * (n - 1) * (2 * n + 5) / 18, tau.pvalue], 1e-9)
            # SciPy takes the median of y less slope times the median of x as intercept: not the same line.
            ask("theil_sen", [*x, *y], [line.slope, None, None, None], 1e-11)
    for n in [12, 30]:
        x = np.round(rng.uniform(0, 20, n))
        y = np.round(0.2 * x + rng.normal(0, 2, n))
        line = stats.theilslopes(y, x)
        ask("theil_sen", [*x, *y], [line.slope, np.median(y - line.slope * x), None, None], 1e-11)
    for n in [25, 60]:
        x = np.arange(n)
        y = 0.1 * x + rng.normal(0, 2, n)
        near = stats.theilslopes(y, x)
        # SciPy rounds the ranks that are interpolated here: the bounds lie within one slope of each other.
        ask("theil_sen", [*x, *y], [near.slope, None, near.low_slope, near.high_slope], [1e-11, 0, 0.05, 0.05])


def shares():
    for count, total, share in [(0, 5, 0.1), (3, 20, 0.2), (45, 50, 0.8), (700, 1000, 0.71), (9, 9, 0.5), (0, 300, 0.001)]:
        ask("binomial_cdf", [count, total, share], [stats.binom.cdf(count, total, share)], 1e-9)
    for total in [1, 7, 20, 113, 1000]:
        for target in [0.03, 0.5, 0.8, 0.97]:
            ask("funnel", [total, target], [q / total for q in stats.binom.ppf([0.001, 0.025, 0.975, 0.999], total, target)], 1e-12)
    # The variance of a ratio between clusters (Kish), by NumPy; the interval for as many things as that is worth.
    z = stats.norm.ppf(0.975)
    for clusters in [3, 12, 80]:
        totals = rng.integers(1, 60, clusters)
        counts = rng.binomial(totals, rng.beta(6, 2, clusters))
        n, p = totals.sum(), counts.sum() / totals.sum()
        variance = clusters / (clusters - 1) * ((counts - p * totals) ** 2).sum() / n**2
        worth = n / max(1.0, variance * n / (p * (1 - p)))
        centre = (p + z * z / (2 * worth)) / (1 + z * z / worth)
        half = z * np.sqrt(p * (1 - p) / worth + z * z / (4 * worth**2)) / (1 + z * z / worth)
        ask("clustered", np.ravel(np.column_stack([counts, totals])), [p, centre - half, centre + half], 1e-9)


def agreement():
    for targets, judges in [(2, 2), (6, 4), (20, 3), (57, 2)]:
        table = rng.normal(20, 6, (targets, 1)) + rng.normal(0, 1.5, (1, judges)) + rng.normal(0, 2, (targets, judges))
        numbers = [judges, *np.ravel(table)]
        # One way: F of the targets is the ratio of the mean squares that ICC(1,1) and ICC(1,k) rest on.
        f = stats.f_oneway(*table).statistic
        # Two ways: what is left without targets and judges, by NumPy.
        left = table - table.mean(axis=1, keepdims=True) - table.mean(axis=0, keepdims=True) + table.mean()
        error = (left**2).sum() / ((targets - 1) * (judges - 1))
        between = judges * table.mean(axis=1).var(ddof=1)
        by_judge = targets * table.mean(axis=0).var(ddof=1)
        drawn = judges * (by_judge - error) / targets
        forms = [(f - 1) / (f + judges - 1), (between - error) / (between + (judges - 1) * error + drawn),
                 (between - error) / (between + (judges - 1) * error), (f - 1) / f,
                 (between - error) / (between + drawn / judges), (between - error) / between]
        ask("icc", numbers, forms, 1e-9)
        ask("sem", numbers, [np.sqrt(error)], 1e-9)
    for n in [2, 9, 85]:
        a = rng.lognormal(2.5, 0.4, n)
        b = a * rng.lognormal(0.05, 0.15, n)
        d = a - b
        bias, sd = d.mean(), d.std(ddof=1)
        low, high = stats.t.interval(0.95, n - 1, bias, stats.sem(d))
        ask("bland_altman", [*a, *b], [bias, sd, bias - 1.96 * sd, bias + 1.96 * sd, low, high, sd * np.sqrt(3 / n)], 1e-9)


def charts():
    for n in [11, 14, 25, 60]:
        values = rng.normal(0.7, 0.1, n)
        ranges = np.abs(np.diff(values)).mean()
        ask("xmr", values, [values.mean(), values.mean() - 2.66 * ranges, values.mean() + 2.66 * ranges, 3.268 * ranges], 1e-9)
        side = np.sign(values - np.median(values))
        side = side[side != 0]
        turns = np.flatnonzero(np.diff(side) != 0)
        longest = np.diff(np.concatenate([[-1], turns, [len(side) - 1]])).max()
        allowed = [np.round(np.log2(len(side)) + 3), stats.binom.ppf(0.05, len(side) - 1, 0.5)]
        ask("run_chart", values, [np.median(values), longest, len(turns), *allowed], 1e-9)


def differs(seen, wanted, tolerance):
    if wanted is None:
        return False
    # Below 1e-15 around zero both are right (SciPy's t quantile of one half is 8e-17).
    near_zero = 1e-15 if abs(wanted) < 1e-15 else 0.0
    return seen == "-" or not abs(float(seen) - wanted) <= tolerance * abs(wanted) + near_zero


distributions()
summaries()
trends()
shares()
agreement()
charts()
output = subprocess.run([sys.argv[1]], input="\n".join(questions) + "\n", capture_output=True, text=True, check=True)
lines = output.stdout.splitlines()
assert len(lines) == len(questions), "an answer is missing"
wrong = 0
for question, line, (answers, tolerance) in zip(questions, lines, expected):
    seen = line.split()
    tolerances = tolerance if isinstance(tolerance, list) else [tolerance] * len(answers)
    if len(seen) != len(answers) or any(map(differs, seen, answers, tolerances)):
        wrong += 1
        print(f"{question[:70]}: saw {line}, SciPy says {answers}")
print(f"{len(questions)} questions, {wrong} answered differently")
sys.exit(1 if wrong or len(questions) < 100 else 0)
