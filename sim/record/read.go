package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/foxglove/mcap/go/mcap"

	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/pilot"
)

// Recording is a recording as read.
type Recording struct {
	Path      string
	Rehearsal Rehearsal
	Documents []Document
	Hands     []pilot.Moment
	Hashes    []Second
	Trace     []TraceTick
	EndTick   int64
	EndWhy    string
	Last      sim.Hashes
	Body      string // hash of the body
	Changed   bool   // its messages are not those it was closed with

	lawStage   control.Stage // of a law in a process of its own
	lawSaid    []float64     // its answers
	closedWith string        // hash of all messages before the end
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

// allowed says what Read takes, for its errors.
const allowed = "allowed a recording that lapwing fly --out has written (rehearsal.mcap)"

// Read reads a recording. A file that is cut short, damaged, of a newer format,
// or not a recording at all is an error that says so.
func Read(path string) (*Recording, error) {
	file, err := os.Open(path)
	if err != nil {
		var at *os.PathError
		if errors.As(err, &at) {
			err = at.Err
		}
		return nil, fmt.Errorf("%s: cannot be read: %w; %s", path, err, allowed)
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: this is a folder; %s", path, allowed)
	}
	r := &Recording{Path: path, EndTick: -1}
	if err := r.read(file); err != nil {
		return nil, fmt.Errorf("%s: %w; %s", path, err, allowed)
	}
	return r, nil
}

// Bounds on what a file may ask the reader to hold at once.
const (
	largestRecord = 64 << 20 // bytes; the writer's chunks are about 1 MB
	largestChunk  = 64 << 20 // bytes, unpacked
)

func (r *Recording) read(file io.Reader) (err error) {
	// The container's reader panics on some damaged files; a damaged file is an
	// error of the file, not of the program.
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the recording is damaged: %v", p)
		}
	}()
	lexer, err := mcap.NewLexer(file, &mcap.LexerOptions{ValidateChunkCRCs: true,
		MaxRecordSize: largestRecord, MaxDecompressedChunkSize: largestChunk})
	if err != nil {
		return errors.New("this is not a recording: it does not begin like one")
	}
	defer lexer.Close()
	tokens := tokens{into: r, topics: map[uint16]string{}, body: newBodyHash()}
	for !tokens.over {
		token, record, err := lexer.Next(nil)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("the recording is damaged or cut short: %w", err)
		}
		if err := tokens.take(token, record); err != nil {
			return err
		}
	}
	r.Body = tokens.body.String()
	return r.complete(tokens.over)
}

// tokens takes the container's records in, in the order of the file.
type tokens struct {
	into   *Recording
	topics map[uint16]string // by channel
	body   bodyHash
	over   bool // the container's end was met
}

func (t *tokens) take(token mcap.TokenType, record []byte) error {
	switch token {
	case mcap.TokenFooter:
		t.over = true
	case mcap.TokenChannel:
		channel, err := mcap.ParseChannel(record)
		if err != nil {
			return fmt.Errorf("the recording is damaged: %w", err)
		}
		t.topics[channel.ID] = channel.Topic
	case mcap.TokenMessage:
		message, err := mcap.ParseMessage(record)
		if err != nil {
			return fmt.Errorf("the recording is damaged: %w", err)
		}
		topic, tick := t.topics[message.ChannelID], int64(message.LogTime/nanosPerTick)
		before := ""
		if topic == topicEnd {
			before = t.body.String()
		}
		t.body.add(topic, tick, message.Data)
		if err := t.into.take(topic, tick, message.Data); err != nil {
			return fmt.Errorf("tick %d, topic %q: %w", tick, topic, err)
		}
		t.into.Changed = topic != topicEnd || t.into.closedWith != before
	}
	return nil
}

func (r *Recording) complete(over bool) error {
	switch {
	case r.EndTick < 0 && !over:
		return errors.New("the recording is cut short: its end is missing")
	case r.Rehearsal.Format == 0:
		return errors.New("not a recording of a rehearsal: its first message is missing")
	case r.EndTick < 0 || !over:
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
	case topicLaw:
		var m lawMessage
		if err := json.Unmarshal(data, &m); err != nil {
			return err
		}
		return r.takeLaw(&m)
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
		r.EndTick, r.EndWhy, r.Last, r.closedWith = m.Tick, m.Why, h, m.Body
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
	if !withinTravel(&h) {
		return fmt.Errorf("hands outside their travel of %d thousandths: %s", hands.Full, data)
	}
	r.Hands = append(r.Hands, pilot.Moment{Tick: tick, Hands: h})
	return nil
}

// withinTravel tells whether the sticks stand where sticks can.
func withinTravel(h *hands.Hands) bool {
	for _, stick := range []int16{h.Roll, h.Pitch, h.Yaw} {
		if stick < -hands.Full || stick > hands.Full {
			return false
		}
	}
	return h.Throttle >= 0 && h.Throttle <= hands.Full
}

func (m *hashMessage) hashes() (h sim.Hashes, err error) {
	for i, text := range m.Groups {
		if _, err := fmt.Sscanf(text, "%016x", &h[i]); err != nil {
			return h, fmt.Errorf("a hash that is not one: %q", text)
		}
	}
	return h, nil
}
