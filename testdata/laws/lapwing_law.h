/* A control law from outside, for Lapwing: printed by "lapwing law layout --header".
 * Little-endian, 8 bytes a field, no gaps. SI, radians; axes x forward, y left,
 * z up; suffix w: room axes, b: body axes, wb: body to room. */
#ifndef LAPWING_LAW_H
#define LAPWING_LAW_H

#include <stdint.h>

/* what a law is told once, before the first question: 1216 bytes. */
struct lapwing_craft {
    int64_t version;             /* of the blocks: 1 */
    int64_t stage;               /* the law file asks for: 1 whole, 2 position, 3 velocity, 4 attitude, 5 rate */
    int64_t rotor_count;         /* 3 … 8 */
    double  mass;                /* kg */
    double  gravity;             /* m/s² */
    double  inertia[9];          /* kg·m², body axes, row after row */
    double  full_volts;          /* V for each cell, at which rotor_top holds */
    double  rotor_lag;           /* s, mean first-order lag */
    double  yaw_follow;          /* share of a yaw moment to pass on in one ms: what spins a rotor up turns the craft at once */
    double  hover_stick;         /* throttle that carries the weight in direct thrust, 0 … 1 */
    double  rotor_pos_b[24];     /* m, hub, body axes, from the centre of gravity */
    double  rotor_axis_b[24];    /* unit, direction of thrust, body axes */
    double  rotor_spin[8];       /* +1 turns anticlockwise seen from above, −1 clockwise */
    double  rotor_kt[8];         /* N/(rad/s)², thrust by speed squared */
    double  rotor_kq[8];         /* N·m/(rad/s)², torque by speed squared */
    double  rotor_top[8];        /* N at duty 1 and full cells; thrust goes with the square of duty and volts */
    double  mix_thrust[8];       /* rotor thrust for each newton of thrust along body z */
    double  mix_roll[8];         /* 1/m, rotor thrust for each N·m about body x */
    double  mix_pitch[8];        /* 1/m, rotor thrust for each N·m about body y */
    double  mix_yaw[8];          /* 1/m, rotor thrust for each N·m about body z */
    double  bandwidth_rate[3];   /* rad/s, body x, y, z */
    double  bandwidth_attitude;  /* rad/s */
    double  bandwidth_yaw;       /* rad/s */
    double  bandwidth_velocity;  /* rad/s, horizontal */
    double  bandwidth_climb;     /* rad/s */
    double  bandwidth_position;  /* rad/s, horizontal */
    double  bandwidth_height;    /* rad/s */
    double  limit_tilt;          /* rad */
    double  limit_body_rate;     /* rad/s, roll and pitch */
    double  limit_yaw_rate;      /* rad/s */
    double  limit_speed;         /* m/s, horizontal at full stick */
    double  limit_hold_speed;    /* m/s, horizontal correction towards a held place */
    double  limit_accel;         /* m/s², horizontal */
    double  limit_climb_up;      /* m/s */
    double  limit_climb_down;    /* m/s */
    double  limit_climb_accel;   /* m/s² */
    double  landing_speed;       /* m/s, descent of a landing that the craft makes by itself */
    double  idle_duty;           /* duty of a rotor that turns without lifting */
    double  dead_band;           /* share of half stick travel that gives nothing */
    double  throttle_dead_band;  /* share of half travel round the middle that holds height */
};

/* what a law receives each time it is asked: 624 bytes. */
struct lapwing_question {
    int64_t version;             /* of the blocks: 1 */
    int64_t tick;                /* ms since the start, ≥ 0 */
    int64_t stage;               /* asked: 1 whole, 2 position, 3 velocity, 4 attitude, 5 rate */
    double  throttle;            /* stick as heard, 0 lowest … 1 */
    double  roll;                /* stick as heard, −1 left … 1 right */
    double  pitch;               /* stick as heard, −1 back … 1 forward */
    double  yaw;                 /* stick as heard, −1 left … 1 right */
    int64_t response;            /* in force: 0 rate, 1 attitude, 2 height-hold, 3 position-hold, 4 path */
    int64_t motors_on;           /* 1 when the motors may turn; else duties count for nothing */
    int64_t armed;               /* 1 when armed */
    int64_t landed;              /* 1 when standing on the floor with the throttle lowest */
    int64_t landing;             /* 1 when the craft comes down by itself */
    int64_t link;                /* 0 good, 1 stale, 2 lost: the sticks only stand as last heard */
    int64_t battery;             /* 0 good, 1 caution, 2 critical */
    double  cell_volts;          /* V for each cell, as measured */
    double  pos_w[3];            /* m, room axes, estimated */
    double  vel_w[3];            /* m/s, room axes, estimated */
    double  q_wb[4];             /* w, x, y, z, body to room, estimated; q and −q are the same attitude */
    double  omega_b[3];          /* rad/s, body axes; + is right side down, nose down, turning left */
    double  accel_w[3];          /* m/s², room axes, without gravity */
    double  height;              /* m above the floor */
    int64_t height_ok;           /* 1 when a height source is healthy */
    int64_t health;              /* the camera 0 agrees, 1 is doubtful, 2 disagrees */
    int64_t since_fix;           /* ms since the last accepted fix */
    double  nis;                 /* normalised innovation squared of the last fix */
    double  sigma_pos;           /* m, standard deviation of the horizontal position */
    int64_t path_active;         /* 1 when the path's setpoint may be followed */
    int64_t path_done;           /* 1 when the path's end is reached */
    double  path_pos_w[3];       /* m, room axes */
    double  path_vel_w[3];       /* m/s, room axes */
    double  path_acc_w[3];       /* m/s², room axes, without gravity */
    double  path_yaw;            /* rad, heading of body x, −π … π */
    double  path_yaw_rate;       /* rad/s */
    int64_t steered;             /* 1 when the path's setpoint is to be followed in position-hold as well */
    int64_t has_speeds;          /* 1 when the craft reports rotor speeds */
    double  rotor_speed[8];      /* rad/s, as reported */
    double  want_pos_w[3];       /* position: m, room axes; what is not held is the present place */
    double  want_vel_w[3];       /* position: m/s, to be added; velocity: m/s, commanded; room axes */
    double  want_acc_w[3];       /* velocity: m/s², room axes, feed-forward */
    double  want_z_w[3];         /* attitude: unit, room axes, where body z should point */
    double  want_yaw;            /* attitude: rad, −π … π, heading to hold */
    double  want_yaw_rate;       /* attitude: rad/s, how fast that heading turns */
    double  want_rate_b[3];      /* rate: rad/s, body axes */
    double  want_thrust;         /* attitude, rate: N, along body z */
};

/* what a law returns; only the fields of its stage count, and they must be finite: 184 bytes. */
struct lapwing_answer {
    int64_t version;             /* of the blocks: 1 */
    double  vel_w[3];            /* position: m/s, room axes, commanded velocity */
    double  lift;                /* velocity: N, upwards, ≥ 0 */
    double  z_w[3];              /* velocity: unit, room axes, where body z should point, above the horizon */
    double  rate_b[3];           /* attitude: rad/s, body axes */
    double  thrust;              /* attitude: N, along body z, ≥ 0 */
    double  moment_b[3];         /* rate: N·m, body axes; + is right side down, nose down, turning left */
    double  duty[8];             /* whole: 0 … 1, beyond that it is cut off */
};

_Static_assert(sizeof(struct lapwing_craft) == 1216, "no gaps");
_Static_assert(sizeof(struct lapwing_question) == 624, "no gaps");
_Static_assert(sizeof(struct lapwing_answer) == 184, "no gaps");

#define LAPWING_VERSION 1

/* What a WebAssembly module exports besides its memory. It imports nothing.
 * The three addresses must not change. A result other than 0 is the law's own
 * number for what went wrong, and ends the run with an error. */
#define LAPWING_EXPORT(name) __attribute__((export_name(#name)))
LAPWING_EXPORT(law_version) int32_t law_version(void);                /* LAPWING_VERSION */
LAPWING_EXPORT(law_craft) struct lapwing_craft *law_craft(void);
LAPWING_EXPORT(law_question) struct lapwing_question *law_question(void);
LAPWING_EXPORT(law_answer) struct lapwing_answer *law_answer(void);
LAPWING_EXPORT(law_start) int32_t law_start(void);                    /* once, after the craft was written */
LAPWING_EXPORT(law_act) int32_t law_act(void);                        /* for each question */

#endif
