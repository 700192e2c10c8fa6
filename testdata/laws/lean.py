"""One stage in Python: velocity to lift and to where body z points. A worked
example: proportional and integral, with the bandwidths that the craft gives."""

import math

import lapwing_law

DT = 0.02  # s, between two questions of this stage


class Law:
    def start(self, craft):
        self.craft = craft
        self.learnt = [0.0, 0.0, 0.0]  # m/s², integrals
        self.last = 0

    def act(self, ask, answer):
        c = self.craft
        if ask.tick - self.last > 100:  # not asked for a while: begin anew
            self.learnt = [0.0, 0.0, 0.0]
        self.last = ask.tick
        acc = [0.0, 0.0, 0.0]
        for i, bandwidth in enumerate((c.bandwidth_velocity, c.bandwidth_velocity, c.bandwidth_climb)):
            miss = bandwidth * (ask.want_vel_w[i] - ask.vel_w[i])
            self.learnt[i] = max(-3.0, min(3.0, self.learnt[i] + 0.2 * bandwidth * miss * DT))
            acc[i] = miss + self.learnt[i] + ask.want_acc_w[i]
        answer.lift = max(0.3 * c.mass * c.gravity, c.mass * (c.gravity + acc[2]))
        lean = shortened([acc[0], acc[1]], c.limit_accel)
        lean = shortened([x * c.mass / answer.lift for x in lean], math.tan(c.limit_tilt))
        n = math.sqrt(lean[0] ** 2 + lean[1] ** 2 + 1)
        answer.z_w = [lean[0] / n, lean[1] / n, 1 / n]


def shortened(v, most):
    n = math.hypot(v[0], v[1])
    return [x * most / n for x in v] if n > most else v


law = Law()
lapwing_law.run(law.act, law.start)
