package devices

import "time"

// Meter keeps how often a device was really read. The zero value is ready.
type Meter struct {
	first, last time.Duration
	count       int64
	pause       time.Duration // longest
	slow        int64         // pauses longer than 1/LeastRate
}

// Note notes a reading at a time.
func (m *Meter) Note(at time.Duration) {
	if m.count == 0 {
		m.first = at
	} else {
		pause := at - m.last
		m.pause = max(m.pause, pause)
		if pause > time.Second/LeastRate {
			m.slow++
		}
	}
	m.last = at
	m.count++
}

// Rate is the mean rate, Hz; 0 before two readings.
func (m *Meter) Rate() float64 {
	if m.count < 2 || m.last <= m.first {
		return 0
	}
	return float64(m.count-1) / (m.last - m.first).Seconds()
}

// Pause is the longest time between two readings.
func (m *Meter) Pause() time.Duration { return m.pause }

// SlowShare is the share of pauses longer than those of LeastRate.
func (m *Meter) SlowShare() float64 {
	if m.count < 2 {
		return 0
	}
	return float64(m.slow) / float64(m.count-1)
}
