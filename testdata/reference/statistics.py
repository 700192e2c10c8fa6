#!/usr/bin/env python3
"""Reference statistics, for sim/tally/reference_test.go.

Reads CSV from standard input, one question a line, and prints one line of answers
each, by SciPy:

  wilson,k,n,confidence            low, high of the score interval of k of n
  mcnemar,b,c                      exact and mid-p probability of b and c pairs that differ
  signs,x1,x2,…                    probability of the mean by all patterns of signs
  bootstrap,x1,x2,…                BCa interval at 95 % of the mean, its standard error
  power,n,mean,deviation,level     power of the one-sample t test
"""
import sys

import numpy as np
from scipy import stats


def wilson(k, n, confidence):
    ci = stats.binomtest(int(k), int(n)).proportion_ci(confidence, method="wilson")
    return ci.low, ci.high


def mcnemar(b, c):
    n, k = int(b + c), int(min(b, c))
    exact = stats.binomtest(k, n, 0.5).pvalue
    mid = 2 * stats.binom.cdf(k, n, 0.5) - stats.binom.pmf(k, n, 0.5) if b != c else 1 - stats.binom.pmf(k, n, 0.5) / 2
    return exact, mid


def signs(*x):
    done = stats.permutation_test((np.array(x),), np.mean, permutation_type="samples", vectorized=False, n_resamples=np.inf)
    return (done.pvalue,)


def bootstrap(*x):
    done = stats.bootstrap((np.array(x),), np.mean, n_resamples=200_000, batch=10_000, method="BCa", random_state=1)
    return done.confidence_interval.low, done.confidence_interval.high, done.standard_error


def power(n, mean, deviation, level):
    shift, limit = mean / deviation * np.sqrt(n), stats.t.ppf(1 - level / 2, n - 1)
    return (stats.nct.sf(limit, n - 1, shift) + stats.nct.cdf(-limit, n - 1, shift),)


for line in sys.stdin:
    what, *numbers = line.strip().split(",")
    print(*(repr(float(x)) for x in globals()[what](*map(float, numbers))))
