"""A control law from outside, for Lapwing, in a process of its own.

    import lapwing_law

    def act(ask, answer):          # for each question
        answer.vel_w = ...

    lapwing_law.run(act)           # or run(act, start), where start(craft) comes first

The fields of craft, ask and answer, with units and frames, are printed by
"lapwing law layout". Fields of one number are numbers, the others are lists.
Standard output belongs to the answers: print to sys.stderr.
"""

import struct
import sys

VERSION = 1

_CRAFT = """version! stage! rotor_count! mass gravity inertia*9 full_volts rotor_lag yaw_follow hover_stick
rotor_pos_b*24 rotor_axis_b*24 rotor_spin*8 rotor_kt*8 rotor_kq*8 rotor_top*8 mix_thrust*8 mix_roll*8 mix_pitch*8 mix_yaw*8
bandwidth_rate*3 bandwidth_attitude bandwidth_yaw bandwidth_velocity bandwidth_climb bandwidth_position bandwidth_height
limit_tilt limit_body_rate limit_yaw_rate limit_speed limit_hold_speed limit_accel limit_climb_up limit_climb_down
limit_climb_accel landing_speed idle_duty dead_band throttle_dead_band"""

_QUESTION = """version! tick! stage! throttle roll pitch yaw response! motors_on! armed! landed! landing! link! battery!
cell_volts pos_w*3 vel_w*3 q_wb*4 omega_b*3 accel_w*3 height height_ok! health! since_fix! nis sigma_pos
path_active! path_done! path_pos_w*3 path_vel_w*3 path_acc_w*3 path_yaw path_yaw_rate steered! has_speeds! rotor_speed*8
want_pos_w*3 want_vel_w*3 want_acc_w*3 want_z_w*3 want_yaw want_yaw_rate want_rate_b*3 want_thrust"""

_ANSWER = "version! vel_w*3 lift z_w*3 rate_b*3 thrust moment_b*3 duty*8"


class Block:
    """One block of the layout; its fields are attributes."""

    def __init__(self, spec):
        self._fields, form = [], "<"
        for word in spec.split():
            name, _, count = word.rstrip("!").partition("*")
            self._fields.append((name, int(count or 1)))
            form += (count or "1") + ("q" if word.endswith("!") else "d")
            setattr(self, name, [0.0] * int(count) if count else 0)
        self._struct = struct.Struct(form)

    def size(self):
        return self._struct.size

    def read(self, data):
        numbers, at = self._struct.unpack(data), 0
        for name, count in self._fields:
            setattr(self, name, numbers[at] if count == 1 else list(numbers[at:at + count]))
            at += count

    def bytes(self):
        numbers = []
        for name, count in self._fields:
            value = getattr(self, name)
            numbers.extend([value] if count == 1 else value)
        return self._struct.pack(*numbers)


def _receive(block):
    head = sys.stdin.buffer.read(4)
    if len(head) < 4:
        return False  # the end: the input was closed
    size, = struct.unpack("<I", head)
    data = sys.stdin.buffer.read(size)
    if size != block.size() or struct.unpack_from("<q", data)[0] != VERSION:
        sys.exit("lapwing_law.py speaks version %d of the blocks; the program does not" % VERSION)
    block.read(data)
    return True


def _send(answer):
    data = answer.bytes()
    sys.stdout.buffer.write(struct.pack("<I", len(data)) + data)
    sys.stdout.buffer.flush()


def run(act, start=None):
    """Answers questions until there are no more."""
    craft, ask, answer = Block(_CRAFT), Block(_QUESTION), Block(_ANSWER)
    answer.version = VERSION
    if not _receive(craft):
        return
    if start:
        start(craft)
    _send(answer)
    while _receive(ask):
        act(ask, answer)
        _send(answer)
