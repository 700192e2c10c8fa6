package sound

import (
	"time"

	"lapwing/render/words"
)

// captionTime is how long the caption of a short sound stays.
const captionTime = 2 * time.Second

// Captions says in words what is heard. The zero value is ready.
type Captions struct {
	heard                              Heard
	known                              bool
	turned, armed, contact, floor, odd time.Duration // until which each caption stays
}

// See takes what is heard at a time and returns the captions, the most urgent
// first.
func (c *Captions) See(h Heard, now time.Duration) []string {
	if !h.Running {
		c.heard, c.known = h, true
		return nil
	}
	if c.known {
		until := now + captionTime
		note := func(is bool, t *time.Duration) {
			if is {
				*t = until
			}
		}
		note(turns(&h) != turns(&c.heard), &c.turned)
		note(h.Armed != c.heard.Armed, &c.armed)
		note(h.Contact, &c.contact)
		note(h.OnFloor && !c.heard.OnFloor, &c.floor)
		note(h.Odd, &c.odd)
	}
	c.heard, c.known = h, true
	return c.now(&h, now)
}

func (c *Captions) now(h *Heard, now time.Duration) (list []string) {
	say := func(is bool, text string) {
		if is {
			list = append(list, text)
		}
	}
	say(h.Alarm == AlarmLostLink, words.Say("sound.lost-link"))
	say(h.Alarm == AlarmWarning, words.Say("sound.warning"))
	say(h.Alarm == AlarmCaution, words.Say("sound.caution"))
	say(now < c.contact, words.Say("sound.contact"))
	say(now < c.odd, words.Say("sound.odd"))
	say(now < c.armed && h.Armed, words.Say("sound.armed"))
	say(now < c.armed && !h.Armed, words.Say("sound.disarmed"))
	say(now < c.turned && turns(h), words.Say("sound.motors-turn"))
	say(now < c.turned && !turns(h), words.Say("sound.motors-stop"))
	say(now < c.floor, words.Say("sound.floor"))
	return list
}

// audible is the speed (rad/s) above which a rotor is heard at all (a judgement).
const audible = 20

func turns(h *Heard) bool {
	for i := range h.Rotors {
		if h.Speed[i] > audible {
			return true
		}
	}
	return false
}
