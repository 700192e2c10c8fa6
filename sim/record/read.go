package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/foxglove/mcap/go/mcap"

	"lapwing/sim"
	"lapwing/sim/hands"
)

// Recording is a recording as read.
type Recording struct {
	Path      string
	Rehearsal Rehearsal
	Documents []Document
	Hands     []Moment
	Hashes    []Second
	Trace     []TraceTick
	EndTick   int64
	EndWhy    string
	Last      sim.Hashes
	Body      string // hash of the body
}

// Moment is the hands from a tick on.
type Moment struct {
	Tick  int64
	Hands hands.Hands
}

// Second is the world's hashes at a tick.
type Second struct {
	Tick   int64
	Hashes sim.Hashes
}

// TraceTick is the field hashes at a tick.
type TraceTick struct {
	Tick    int64
	message traceMessage
}

// Read reads a recording. A file that is cut short, of a newer format, or not a
// recording at all is an error that says so.
func Read(path string) (*Recording, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	r := &Recording{Path: path, EndTick: -1}
	if err := r.read(file); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

func (r *Recording) read(file io.ReadSeeker) (err error) {
	// The container's reader panics on some damaged files; a damaged file is an
	// error of the file, not of the program.
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("not a readable recording: %v", p)
		}
	}()
	reader, err := mcap.NewReader(file)
	if err != nil {
		return fmt.Errorf("not a recording: %w", err)
	}
	defer reader.Close()
	messages, err := reader.Messages(mcap.UsingIndex(false), mcap.InOrder(mcap.FileOrder))
	if err != nil {
		return fmt.Errorf("not a readable recording: %w", err)
	}
	body := newBodyHash()
	for {
		_, channel, message, err := messages.NextInto(nil)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("the recording is damaged or cut short: %w", err)
		}
		tick := int64(message.LogTime / nanosPerTick)
		body.add(channel.Topic, tick, message.Data)
		if err := r.take(channel.Topic, tick, message.Data); err != nil {
			return fmt.Errorf("tick %d, topic %s: %w", tick, channel.Topic, err)
		}
	}
	r.Body = body.String()
	return r.complete()
}

func (r *Recording) complete() error {
	switch {
	case r.Rehearsal.Format == 0:
		return errors.New("not a recording of a rehearsal: its first message is missing")
	case r.EndTick < 0:
		return errors.New("the recording is cut short: its end is missing")
	}
	return nil
}

// take takes one message in.
func (r *Recording) take(topic string, tick int64, data []byte) error {
	switch topic {
	case topicRehearsal:
		if err := json.Unmarshal(data, &r.Rehearsal); err != nil {
			return err
		}
		if r.Rehearsal.Format > Format {
			return fmt.Errorf("the recording has format %d; this program reads up to %d: use a newer program", r.Rehearsal.Format, Format)
		}
	case topicDocument:
		var d Document
		if err := json.Unmarshal(data, &d); err != nil {
			return err
		}
		r.Documents = append(r.Documents, d)
	case topicHands:
		return r.takeHands(tick, data)
	case topicHash:
		var m hashMessage
		if err := json.Unmarshal(data, &m); err != nil {
			return err
		}
		h, err := m.hashes()
		r.Hashes = append(r.Hashes, Second{tick, h})
		return err
	case topicTrace:
		var m traceMessage
		if err := json.Unmarshal(data, &m); err != nil {
			return err
		}
		r.Trace = append(r.Trace, TraceTick{tick, m})
	case topicEnd:
		var m endMessage
		if err := json.Unmarshal(data, &m); err != nil {
			return err
		}
		h, err := m.Last.hashes()
		r.EndTick, r.EndWhy, r.Last = m.Tick, m.Why, h
		return err
	}
	return nil
}

func (r *Recording) takeHands(tick int64, data []byte) error {
	var m handsMessage
	if err := json.Unmarshal(data, &m); err != nil {
		return err
	}
	h, ok := m.hands()
	if !ok {
		return fmt.Errorf("hands that this program does not know: %s", data)
	}
	r.Hands = append(r.Hands, Moment{tick, h})
	return nil
}

func (m *hashMessage) hashes() (h sim.Hashes, err error) {
	for i, text := range m.Groups {
		if _, err := fmt.Sscanf(text, "%016x", &h[i]); err != nil {
			return h, fmt.Errorf("a hash that is not one: %q", text)
		}
	}
	return h, nil
}
