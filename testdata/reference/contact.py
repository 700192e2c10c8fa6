#!/usr/bin/env python3
"""Reference contacts, for dynamics/reference_test.go.

A point mass on a spring and damper that never pulls, dropped under gravity, and
a body sliding with Coulomb friction on an elastic bristle, with SciPy's Radau at
1e-12, stopped and restarted at each change of regime. Prints CSV: case, quantity,
value. Usage: contact.py > contact.csv
"""
import math

import numpy as np
from scipy.integrate import solve_ivp

G = 9.80665


def run(f, y, events, t=0.0, end=10.0):
    for e in events:
        e.terminal = True
    sol = solve_ivp(f, (t, t + end), y, "Radau", events=events, rtol=1e-12, atol=1e-13, dense_output=True)
    which = next(i for i, e in enumerate(sol.t_events) if len(e))
    return sol.t_events[which][0], sol.y_events[which][0], which


def drop(m, k, c, height):
    """Height x of the point over the surface; spring force max(0, −k·x − c·v)."""
    t0, v0 = math.sqrt(2 * height / G), -math.sqrt(2 * G * height)

    def pressed(_, y):
        return [y[1], (-k * y[0] - c * y[1]) / m - G]

    def bottom(_, y):
        return y[1]

    def slack(_, y):
        return -k * y[0] - c * y[1] + 1e-15
    bottom.direction, slack.direction = 1, -1
    t1, y1, _ = run(pressed, [0, v0], [bottom])
    t2, y2, _ = run(pressed, y1, [slack], t1)
    return {"deepest": -y1[0], "when": t1, "apex": y2[0] + y2[1] ** 2 / (2 * G), "leaves": t0 + t2}


def slide(m, k, c, mu, v0):
    """Slides on μ, then hangs on its bristle, bent by μmg/k, until it rests."""
    bound = mu * m * G
    t1, x1 = v0 / (mu * G), v0 ** 2 / (2 * mu * G)
    # The bristle then pulls back with k·z + c·v, z = bound/k at the stop.
    y = [bound / k, 0.0]
    sol = solve_ivp(lambda _, y: [y[1], (-k * y[0] - c * y[1]) / m], (0, 2), y, "Radau", rtol=1e-12, atol=1e-15)
    return {"stop": t1, "rest": x1 - bound / k + sol.y[0][-1]}


def main():
    print("case,quantity,value")
    cases = {
        "soft": drop(0.5, 500, 5, 0.5),
        "firm": drop(1, 1000, 20, 1),
        "stiff": drop(0.5, 0.5 * 300 ** 2, 0.5 * 240, 0.3),
        "slide": slide(0.5, 0.5 * 300 ** 2, 0.5 * 240, 0.4, 2.0),
    }
    for name, values in cases.items():
        for key, value in values.items():
            print("%s,%s,%.15g" % (name, key, np.float64(value)))


if __name__ == "__main__":
    main()
