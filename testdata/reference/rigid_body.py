#!/usr/bin/env python3
"""Reference motions of a rigid body, for dynamics/reference_test.go.

Integrates the equations of motion, written here anew and not from the Go code,
with SciPy's DOP853 at tolerances of 1e-12, and prints CSV: case, t, position,
velocity, quaternion (w, x, y, z; body to room), body rate. Forces: weight, held
thrust and moment, rotors' angular momentum, quadratic frame drag, in-plane drag
at each hub. Usage: rigid_body.py > rigid_body.csv
"""
import numpy as np
from scipy.integrate import solve_ivp
from scipy.spatial.transform import Rotation

HUBS = np.array([[0.10, 0.12, 0.02], [-0.10, 0.12, 0.03], [-0.11, -0.12, 0.02], [0.10, -0.13, 0.01]])
FULL = np.array([[2.0e-3, 2e-4, -1e-4], [2e-4, 3.0e-3, 3e-4], [-1e-4, 3e-4, 4.5e-3]])
DIAG = np.diag([2.0e-3, 3.0e-3, 4.5e-3])

# name: inertia, drag area, force, moment, spin, drag of each hub, wind
CASES = {
    "spin": (FULL, [0, 0, 0], [0, 0, 0], [0, 0, 0], [0, 0, 0], [0, 0, 0, 0], [0, 0, 0]),
    "gyro": (DIAG, [0, 0, 0], [0, 0, 4.9], [1e-3, -2e-3, 5e-4], [1e-4, 0, 8e-3], [0, 0, 0, 0], [0, 0, 0]),
    "drag": (DIAG, [0.01, 0.02, 0.03], [0, 0, 4.9], [0, 0, 0], [0, 0, 0], [0, 0, 0, 0], [2, -1, 0.5]),
    "full": (FULL, [0.01, 0.02, 0.03], [0.1, -0.2, 5.0], [1e-3, 2e-3, -5e-4], [1e-4, 2e-4, 4e-3],
             [0.01, 0.02, 0.015, 0.012], [2, -1, 0.5]),
}
MASS, RHO, G = 0.5, 1.225, 9.80665
START = np.array([0, 0, 0, 3, -1, 2, 1, 0, 0, 0, 2, -3, 1], float)


def motion(case):
    inertia, area, force, moment, spin, hub_drag, wind = (np.asarray(a, float) for a in case)
    inverse = np.linalg.inv(inertia)

    def rates(_, y):
        v, q, w = y[3:6], y[6:10], y[10:13]
        rot = Rotation.from_quat([q[1], q[2], q[3], q[0]]).as_matrix()  # normalises q
        air = rot.T @ (v - wind)
        f = force - 0.5 * RHO * area * np.linalg.norm(air) * air
        m = moment.copy()
        for hub, k in zip(HUBS, hub_drag):
            d = -k * (air + np.cross(w, hub)) * np.array([1, 1, 0])
            f = f + d
            m = m + np.cross(hub, d)
        acc = rot @ f / MASS - np.array([0, 0, G])
        alpha = inverse @ (m - np.cross(w, inertia @ w + spin))
        dq = 0.5 * np.array([
            -q[1] * w[0] - q[2] * w[1] - q[3] * w[2],
            q[0] * w[0] + q[2] * w[2] - q[3] * w[1],
            q[0] * w[1] + q[3] * w[0] - q[1] * w[2],
            q[0] * w[2] + q[1] * w[1] - q[2] * w[0],
        ])
        return np.concatenate([v, acc, dq, alpha])

    return rates


def main():
    print("case,t,px,py,pz,vx,vy,vz,qw,qx,qy,qz,wx,wy,wz")
    times = [0.25, 0.5, 1.0, 2.0]
    for name, case in CASES.items():
        sol = solve_ivp(motion(case), (0, times[-1]), START, "DOP853", times, rtol=1e-12, atol=1e-12)
        assert sol.success, sol.message
        for t, y in zip(sol.t, sol.y.T):
            print(",".join([name, repr(float(t))] + ["%.15g" % x for x in y]))


if __name__ == "__main__":
    main()
