"""Reference for the filter of package estimate, written a second time.

Reads a log as JSON from standard input and writes the filter's course as JSON
to standard output. It shares no code and little form with the package: full
21 x 21 matrices instead of blocks, rotation matrices instead of quaternions,
one batch update in Joseph form with a Cholesky solve instead of scalar ones in
a row. Only the definitions are the same:

    error state   position, velocity (room), attitude (body), gyro bias,
                  accelerometer bias, clone position, clone attitude;
                  truth = estimate + error, R = R_est Exp(error)
    every tick    f' = f + 1/2 (w dt) x f;  p, v by constant acceleration over
                  the tick;  R <- R Exp(w dt)
    prediction    F first order in the interval, attitude block exact; Q diagonal

Run: go test ./sim/estimate -run Reference
"""

import json
import sys

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.spatial.transform import Rotation

P, V, A, G, B, CP, CA = (slice(3 * i, 3 * i + 3) for i in range(7))
I3 = np.eye(3)


def skew(v):
    return np.array([[0, -v[2], v[1]], [v[2], 0, -v[0]], [-v[1], v[0], 0]])


def exp(v):
    return Rotation.from_rotvec(v).as_matrix()


class Filter:
    def __init__(self, par, start):
        self.par = par
        self.p, self.v = np.array(start["pos"]), np.array(start["vel"])
        self.R = exp([0, 0, start["yaw"]])
        self.bg, self.ba = np.zeros(3), np.zeros(3)
        self.cp, self.cR = None, None
        sd = np.zeros(21)
        sd[P], sd[V] = par["StartPos"], par["StartVel"]
        sd[A] = [par["StartTilt"], par["StartTilt"], par["StartYaw"]]
        sd[G], sd[B] = par["StartGyroBias"], par["StartAccelBias"]
        self.C = np.diag(sd**2)
        self.interval = (0.0, np.zeros(3), np.zeros(3))
        self.nis = []

    def tick(self, k, row):
        dt = 1e-3
        w = np.array(row["gyro"]) - self.bg
        f = np.array(row["accel"]) - self.ba
        force = self.R @ (f + 0.5 * np.cross(w * dt, f))
        a = force - np.array([0, 0, self.par["Gravity"]])
        self.p = self.p + dt * self.v + 0.5 * dt * dt * a
        self.v = self.v + dt * a
        self.R = self.R @ exp(w * dt)
        T, turn, dv = self.interval
        self.interval = (T + dt, turn + w * dt, dv + dt * force)

        if k % 20 == 0 or row["exposed"] or row["fix"] or row["range"] is not None:
            self.predict()
        if row["fix"] and self.cp is not None:
            self.fix(row)
        if row["range"] is not None:
            self.range(row["range"])
        if row["exposed"]:
            self.expose()

    def predict(self):
        T, turn, dv = self.interval
        F = np.eye(21)
        F[P, V] = T * I3
        F[V, A] = -skew(dv) @ self.R
        F[V, B] = -T * self.R
        F[A, A] = exp(turn).T
        F[A, G] = -T * I3
        q = np.zeros(21)
        q[V], q[A] = self.par["AccelNoise"] ** 2, self.par["GyroNoise"] ** 2
        q[G], q[B] = self.par["GyroWalk"] ** 2, self.par["AccelWalk"] ** 2
        self.C = F @ self.C @ F.T + T * np.diag(q)
        self.interval = (0.0, np.zeros(3), np.zeros(3))

    def expose(self):
        J = np.eye(21)
        J[CP], J[CA] = 0, 0
        J[CP, P], J[CA, A] = I3, I3
        self.C = J @ self.C @ J.T
        self.cp, self.cR = self.p.copy(), self.R.copy()

    def drop(self):
        self.cp, self.cR = None, None
        self.C[15:, :], self.C[:, 15:] = 0, 0

    def fix(self, row):
        x, y, z, w = row["quat"][1], row["quat"][2], row["quat"][3], row["quat"][0]
        measured = Rotation.from_quat([x, y, z, w]).as_matrix()
        r = np.concatenate([np.array(row["pos"]) - self.cp, Rotation.from_matrix(self.cR.T @ measured).as_rotvec()])
        H = np.zeros((6, 21))
        H[:3, CP], H[3:, CA] = I3, I3
        N = np.diag([self.par["FixPosSigma"] ** 2] * 3 + [self.par["FixAngSigma"] ** 2] * 3)
        S = cho_factor(H @ self.C @ H.T + N)
        nis = float(r @ cho_solve(S, r))
        self.nis.append(nis)
        if nis <= self.par["FixGate"]:
            self.update(H, N, r)
        self.drop()

    def range(self, measured):
        up = self.R[2]
        r = self.p[2] / up[2]
        H = np.zeros((1, 21))
        H[0, 2] = 1 / up[2]
        # d(up_z) = (row 3 of R) . (error x e_z)
        H[0, A] = -r / up[2] * np.array([-up[1], up[0], 0])
        self.update(H, np.array([[self.par["RangeSigma"] ** 2]]), np.array([measured - r]))

    def update(self, H, N, r):
        S = cho_factor(H @ self.C @ H.T + N)
        K = cho_solve(S, H @ self.C).T
        M = np.eye(21) - K @ H
        self.C = M @ self.C @ M.T + K @ N @ K.T
        d = K @ r
        self.p, self.v = self.p + d[P], self.v + d[V]
        self.R = self.R @ exp(d[A])
        self.bg, self.ba = self.bg + d[G], self.ba + d[B]
        if self.cp is not None:
            self.cp, self.cR = self.cp + d[CP], self.cR @ exp(d[CA])

    def state(self):
        return {
            "pos": self.p.tolist(),
            "vel": self.v.tolist(),
            "rot": self.R.reshape(9).tolist(),
            "gyroBias": self.bg.tolist(),
            "accelBias": self.ba.tolist(),
            "cov": self.C.reshape(441).tolist(),
        }


def main():
    log = json.load(sys.stdin)
    f = Filter(log["params"], log["start"])
    course = []
    for k, row in enumerate(log["rows"]):
        f.tick(k, row)
        if k % log["every"] == log["every"] - 1:
            course.append(f.state())
    json.dump({"course": course, "nis": f.nis}, sys.stdout)


main()
