/* A whole law in C: place, velocity, attitude and rate loops one inside the
 * other, with the bandwidths that the craft's block gives. It is a worked example,
 * kept short: no observer, no care for lost rotors. Build it with ./build. */
#include "lapwing_law.h"

static struct lapwing_craft craft;
static struct lapwing_question ask;
static struct lapwing_answer answer;

/* What the law remembers between two questions. */
static struct {
    int flying;                /* loops are running */
    int64_t response;          /* of the last question */
    int place, height;         /* held */
    double hold[3];            /* m, room axes */
    double lean[2], climb;     /* m/s², integrals of the velocity loops */
    double cos_yaw, sin_yaw;   /* heading to hold */
    double yaw;                /* N·m, yaw moment that is passed on */
    double full_thrust;        /* N along body z at full throttle */
} mem;

enum { RATE, ATTITUDE, HEIGHT_HOLD, POSITION_HOLD, PATH };

static const double dt = 0.001;      /* s, between two questions */
static const double nominal = 0.88;  /* share of full volts at which a pack works most of the time */

static double sq(double x) { return x * x; }
static double root(double x) { return __builtin_sqrt(x > 0 ? x : 0); }
static double size(double x) { return x < 0 ? -x : x; }
static double within(double x, double low, double high) { return x < low ? low : x > high ? high : x; }

/* Shortens (x, y) to length most. */
static void shorten(double v[2], double most) {
    double n = root(sq(v[0]) + sq(v[1]));
    if (n > most) { v[0] *= most / n; v[1] *= most / n; }
}

/* Stick x with its dead-band taken out. */
static double stick(double x, double band) {
    double u = size(x) - band;
    return u <= 0 ? 0 : (x < 0 ? -u : u) / (1 - band);
}

/* Cosine and sine of the heading: the turn about room z that is left of the
 * attitude when its tilt is taken off by the shortest way. */
static void heading(double *c, double *s) {
    const double *q = ask.q_wb;
    double n = sq(q[0]) + sq(q[3]);
    *c = 1; *s = 0;
    if (n > 1e-12) { *c = (sq(q[0]) - sq(q[3])) / n; *s = 2 * q[0] * q[3] / n; }
}

/* Turns a room vector into body axes. */
static void to_body(const double v[3], double out[3]) {
    double w = ask.q_wb[0], x = ask.q_wb[1], y = ask.q_wb[2], z = ask.q_wb[3];
    out[0] = (1 - 2 * (y * y + z * z)) * v[0] + 2 * (x * y + w * z) * v[1] + 2 * (x * z - w * y) * v[2];
    out[1] = 2 * (x * y - w * z) * v[0] + (1 - 2 * (x * x + z * z)) * v[1] + 2 * (y * z + w * x) * v[2];
    out[2] = 2 * (x * z + w * y) * v[0] + 2 * (y * z - w * x) * v[1] + (1 - 2 * (x * x + y * y)) * v[2];
}

/* Sticks out of the middle count only while the link is there. */
static int heard(void) { return ask.link != 2; }

static double height_now(void) { return ask.height_ok ? ask.height : ask.pos_w[2]; }

static int follows(void) {
    return ask.path_active && (ask.response == PATH || (ask.steered && ask.response == POSITION_HOLD));
}

/* A change of what is asked for begins anew. */
static void enter(void) {
    if (mem.flying && ask.response == mem.response) return;
    if (!mem.flying) {
        mem.lean[0] = mem.lean[1] = mem.climb = mem.yaw = 0;
        heading(&mem.cos_yaw, &mem.sin_yaw);
    }
    mem.place = mem.height = 0;
    mem.response = ask.response;
    mem.flying = 1;
}

/* Place and sticks to velocity (m/s, room axes). */
static void velocity_wanted(double vel[3]) {
    double c, s, at = height_now(), out[2];
    if (follows()) {
        for (int i = 0; i < 3; i++) { mem.hold[i] = ask.path_pos_w[i]; vel[i] = ask.path_vel_w[i]; }
        mem.place = mem.height = 1;
        at = ask.pos_w[2];
    } else {
        double x = heard() ? stick(ask.pitch, craft.dead_band) : 0;
        double y = heard() ? -stick(ask.roll, craft.dead_band) : 0;
        double up = heard() ? stick(2 * ask.throttle - 1, craft.throttle_dead_band) : 0;
        heading(&c, &s);
        vel[0] = craft.limit_speed * (c * x - s * y);
        vel[1] = craft.limit_speed * (s * x + c * y);
        vel[2] = up * (up < 0 ? craft.limit_climb_down : craft.limit_climb_up);
        if (ask.landing) { vel[0] = vel[1] = 0; vel[2] = -craft.landing_speed; }
        if (x != 0 || y != 0) mem.place = 0;
        else if (!mem.place && root(sq(ask.vel_w[0]) + sq(ask.vel_w[1])) < 0.15) {
            mem.place = 1; mem.hold[0] = ask.pos_w[0]; mem.hold[1] = ask.pos_w[1];
        }
        if (vel[2] != 0) mem.height = 0;
        else if (!mem.height && size(ask.vel_w[2]) < 0.1) { mem.height = 1; mem.hold[2] = at; }
    }
    if (mem.place) {
        for (int i = 0; i < 2; i++) out[i] = craft.bandwidth_position * (mem.hold[i] - ask.pos_w[i]);
        shorten(out, craft.limit_hold_speed);
        vel[0] += out[0]; vel[1] += out[1];
    }
    if (mem.height)
        vel[2] += within(craft.bandwidth_height * (mem.hold[2] - at), -craft.limit_climb_down, craft.limit_climb_up);
}

/* Velocity to lift (N) and to where body z points (unit, room axes). */
static double lift_and_lean(const double vel[3], double z[3]) {
    double climb = craft.bandwidth_climb, k = craft.bandwidth_velocity, acc[2];
    double up = climb * (vel[2] - ask.vel_w[2]);
    mem.climb = within(mem.climb + 0.2 * climb * up * dt, -3, 3);
    double lift = craft.mass * (craft.gravity + within(up, -1.5 * craft.limit_climb_accel, 1.5 * craft.limit_climb_accel) + mem.climb);
    lift = within(lift, 0.3 * craft.mass * craft.gravity, 0.95 * mem.full_thrust);
    for (int i = 0; i < 2; i++) {
        acc[i] = k * (vel[i] - ask.vel_w[i]);
        mem.lean[i] = within(mem.lean[i] + 0.2 * k * acc[i] * dt, -2, 2);
        acc[i] += mem.lean[i];
    }
    shorten(acc, craft.limit_accel);
    z[0] = acc[0] * craft.mass / lift; z[1] = acc[1] * craft.mass / lift; z[2] = 1;
    shorten(z, craft.limit_tilt);
    double n = root(sq(z[0]) + sq(z[1]) + 1);
    for (int i = 0; i < 3; i++) z[i] /= n;
    return lift;
}

/* Sticks to where body z points: full stick is the tilt limit. */
static void stick_lean(double z[3]) {
    double c, s, v[2] = {0, 0};
    if (heard()) { v[0] = stick(ask.pitch, craft.dead_band); v[1] = -stick(ask.roll, craft.dead_band); }
    shorten(v, 1);
    heading(&c, &s);
    z[0] = craft.limit_tilt * (c * v[0] - s * v[1]);
    z[1] = craft.limit_tilt * (s * v[0] + c * v[1]);
    z[2] = root(1 - sq(z[0]) - sq(z[1]));
}

/* Moves the heading to hold on and returns the body rate (rad/s) towards it. */
static double yaw_rate(void) {
    double c, s, err, turn = heard() ? -craft.limit_yaw_rate * stick(ask.yaw, craft.dead_band) : 0;
    if (ask.response == PATH && ask.path_active) turn = ask.path_yaw_rate;
    double step = turn * dt, x = mem.cos_yaw, y = mem.sin_yaw;
    heading(&c, &s);
    err = y * c - x * s;
    if (x * c + y * s < 0) err = err < 0 ? -1 : 1;
    if (size(err) < 0.5 || err * turn < 0) { /* else the heading to hold would run ahead of the craft */
        double n = root(1 + sq(step));
        mem.cos_yaw = (x - step * y) / n; mem.sin_yaw = (y + step * x) / n;
    }
    return turn + within(craft.bandwidth_yaw * err, -craft.limit_yaw_rate, craft.limit_yaw_rate);
}

/* Where body z points to body rates: the shortest turn. */
static void rates_wanted(const double z[3], double rate[3]) {
    double b[3];
    to_body(z, b);
    rate[0] = -craft.bandwidth_attitude * b[1];
    rate[1] = craft.bandwidth_attitude * b[0];
    shorten(rate, craft.limit_body_rate);
    rate[2] = yaw_rate();
}

/* Body rates to moments (N·m), with the moment of the turning body itself. */
static void moments(const double rate[3], double m[3]) {
    const double *w = ask.omega_b, *in = craft.inertia;
    double a[3], h[3], ia[3];
    for (int i = 0; i < 3; i++) a[i] = craft.bandwidth_rate[i] * (rate[i] - w[i]);
    for (int i = 0; i < 3; i++) {
        h[i] = in[3 * i] * w[0] + in[3 * i + 1] * w[1] + in[3 * i + 2] * w[2];
        ia[i] = in[3 * i] * a[0] + in[3 * i + 1] * a[1] + in[3 * i + 2] * a[2];
    }
    m[0] = ia[0] + w[1] * h[2] - w[2] * h[1];
    m[1] = ia[1] + w[2] * h[0] - w[0] * h[2];
    mem.yaw += craft.yaw_follow * (ia[2] + w[0] * h[1] - w[1] * h[0] - mem.yaw);
    m[2] = mem.yaw;
}

/* Thrust and moments to duties. Yaw goes first where a rotor is at its limit. */
static void mix(double thrust, const double m[3]) {
    double volts = ask.cell_volts / craft.full_volts;
    if (!(volts > 0.4 && volts < 1.3)) volts = 1;
    double yaw = m[2];
    for (int i = 0; i < craft.rotor_count; i++) {
        double t = craft.mix_thrust[i] * thrust + craft.mix_roll[i] * m[0] + craft.mix_pitch[i] * m[1];
        double top = craft.rotor_top[i] * sq(volts), part = craft.mix_yaw[i] * m[2];
        double room = part > 0 ? top - t : t;
        double share = room < 0 ? 0 : size(part) > room ? room / size(part) : 1;
        if (size(yaw) > share * size(m[2])) yaw = share * m[2];
    }
    for (int i = 0; i < craft.rotor_count; i++) {
        double t = craft.mix_thrust[i] * thrust + craft.mix_roll[i] * m[0] + craft.mix_pitch[i] * m[1] + craft.mix_yaw[i] * yaw;
        answer.duty[i] = within(root(t / craft.rotor_top[i]) / volts, craft.idle_duty, 1);
    }
}

static double sum_of_tops(void) {
    double sum = 0;
    for (int i = 0; i < craft.rotor_count; i++) sum += sq(nominal) * craft.rotor_top[i] * craft.rotor_axis_b[3 * i + 2];
    return sum;
}

int32_t law_version(void) { return LAPWING_VERSION; }
struct lapwing_craft *law_craft(void) { return &craft; }
struct lapwing_question *law_question(void) { return &ask; }
struct lapwing_answer *law_answer(void) { return &answer; }

int32_t law_start(void) {
    mem.full_thrust = sum_of_tops();
    return craft.stage == 1 ? 0 : 1; /* this law is a whole one */
}

int32_t law_act(void) {
    double z[3] = {0, 0, 1}, vel[3], rate[3], m[3], thrust, up;
    answer.version = LAPWING_VERSION;
    if (!ask.motors_on || ask.landed) {
        mem.flying = 0;
        for (int i = 0; i < craft.rotor_count; i++) answer.duty[i] = ask.motors_on ? craft.idle_duty : 0;
        return 0;
    }
    enter();
    thrust = ask.throttle * mem.full_thrust;
    if (ask.response >= HEIGHT_HOLD || ask.landing) {
        velocity_wanted(vel);
        up = 1 - 2 * (sq(ask.q_wb[1]) + sq(ask.q_wb[2])); /* cosine of the tilt */
        thrust = lift_and_lean(vel, z) / (up > 0.5 ? up : 0.5);
    }
    if ((ask.response == ATTITUDE || ask.response == HEIGHT_HOLD) && !ask.landing) stick_lean(z);
    rates_wanted(z, rate);
    if (ask.response == RATE && !ask.landing) {
        rate[0] = craft.limit_body_rate * stick(ask.roll, craft.dead_band);
        rate[1] = craft.limit_body_rate * stick(ask.pitch, craft.dead_band);
        rate[2] = -craft.limit_yaw_rate * stick(ask.yaw, craft.dead_band);
        heading(&mem.cos_yaw, &mem.sin_yaw);
    }
    moments(rate, m);
    mix(thrust, m);
    return 0;
}
