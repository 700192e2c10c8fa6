// Package record writes and reads recordings of rehearsals, verifies them by
// flying them again, and exports what happened as a table.
//
// A recording is an MCAP file (an open container for timed logs). Its body is
// what went in and what came out, and is the same bytes on every machine:
//
//   - the rehearsal: seed, names, and the very text of the scenario, craft,
//     room and other files it was flown with
//   - the hands, whenever they changed
//   - the answers of a law that runs in a process of its own
//   - each second, one hash for each group of the world's fields
//   - the end: at which tick, and why, and a hash of all messages before it
//
// Time in it is the tick, as nanoseconds from the start. Nothing of the machine
// or the wall clock stands in the file; that is kept in a small file beside it.
package record

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash"

	"lapwing/sim"
	"lapwing/sim/hands"
)

// Format is the version of the recording's messages. A newer one is refused.
const Format = 1

// nanosPerTick turns ticks into the container's log time.
const nanosPerTick = 1_000_000_000 / sim.TicksPerSecond

// The topics, in the order in which their channels are written.
const (
	topicRehearsal = "rehearsal"
	topicDocument  = "document"
	topicHands     = "hands"
	topicHash      = "hash"
	topicTrace     = "trace"
	topicLaw       = "law" // only where the law runs in a process of its own
	topicEnd       = "end"
)

// Rehearsal is the first message: what was flown.
type Rehearsal struct {
	Format   int    `json:"format"`
	Program  string `json:"program"` // version of the program that flew it
	Scenario string `json:"scenario"`
	Pilot    string `json:"pilot"`
	Seed     uint64 `json:"seed,string"`
	Trace    bool   `json:"trace"`
}

// Document is one of the files that the rehearsal was flown with.
type Document struct {
	Kind string `json:"kind"` // scenario, craft, room, …
	Name string `json:"name"`
	Text string `json:"text"`
}

// handsMessage is the wire form of hands.
type handsMessage struct {
	Throttle int16  `json:"throttle"`
	Roll     int16  `json:"roll"`
	Pitch    int16  `json:"pitch"`
	Yaw      int16  `json:"yaw"`
	Response string `json:"response"`
	Armed    bool   `json:"armed"`
	CutOff   bool   `json:"cut_off"`
	Call     string `json:"call,omitempty"`
	Step     string `json:"step,omitempty"`
	Item     uint8  `json:"item,omitempty"`
}

func toMessage(h *hands.Hands) handsMessage {
	m := handsMessage{Throttle: h.Throttle, Roll: h.Roll, Pitch: h.Pitch, Yaw: h.Yaw,
		Response: h.Response.String(), Armed: h.Armed, CutOff: h.CutOff, Item: h.Item}
	if h.Call != hands.CallNone {
		m.Call = h.Call.String()
	}
	if h.Step != hands.StepNone {
		m.Step = h.Step.String()
	}
	return m
}

func (m *handsMessage) hands() (h hands.Hands, ok bool) {
	h = hands.Hands{Throttle: m.Throttle, Roll: m.Roll, Pitch: m.Pitch, Yaw: m.Yaw, Armed: m.Armed, CutOff: m.CutOff, Item: m.Item}
	h.Response, ok = hands.ParseResponse(m.Response)
	if m.Call != "" && ok {
		h.Call, ok = hands.ParseCall(m.Call)
	}
	if m.Step != "" && ok {
		h.Step, ok = hands.ParseStep(m.Step)
	}
	return h, ok
}

// hashMessage is one second's hashes, in hexadecimal, in the order of
// sim.Groups.
type hashMessage struct {
	Groups [len(sim.Groups)]string `json:"groups"`
}

// endMessage closes the body.
type endMessage struct {
	Tick int64       `json:"tick"`
	Why  string      `json:"why"`
	Last hashMessage `json:"last"`
	Body string      `json:"body"` // hash of all messages before this one
}

// schemas describes the messages to a reader that does not know them.
var schemas = map[string]string{
	topicRehearsal: `{"type":"object","title":"what was flown","properties":{"format":{"type":"integer"},"program":{"type":"string"},"scenario":{"type":"string"},"pilot":{"type":"string"},"seed":{"type":"string"},"trace":{"type":"boolean"}}}`,
	topicDocument:  `{"type":"object","title":"a file it was flown with","properties":{"kind":{"type":"string"},"name":{"type":"string"},"text":{"type":"string"}}}`,
	topicHands:     `{"type":"object","title":"sticks in thousandths of travel, right and forward positive; switches; calls and steps","properties":{"throttle":{"type":"integer"},"roll":{"type":"integer"},"pitch":{"type":"integer"},"yaw":{"type":"integer"},"response":{"type":"string"},"armed":{"type":"boolean"},"cut_off":{"type":"boolean"},"call":{"type":"string"},"step":{"type":"string"},"item":{"type":"integer"}}}`,
	topicHash:      `{"type":"object","title":"one hash for each group of fields","properties":{"groups":{"type":"array","items":{"type":"string"}}}}`,
	topicTrace:     `{"type":"object","title":"32-bit hashes of each field, base64, little-endian","properties":{"fields":{"type":"string"}}}`,
	topicLaw:       `{"type":"object","title":"answers of a law in a process of its own, base64 of doubles, little-endian","properties":{"stage":{"type":"string"},"answers":{"type":"string"}}}`,
	topicEnd:       `{"type":"object","title":"where and why it ended","properties":{"tick":{"type":"integer"},"why":{"type":"string"},"last":{"type":"object"},"body":{"type":"string"}}}`,
}

// bodyHash is the hash of the messages: topic, time and bytes of each in order,
// whatever the container does with them.
type bodyHash struct{ h hash.Hash }

func newBodyHash() bodyHash { return bodyHash{sha256.New()} }

func (b bodyHash) add(topic string, tick int64, data []byte) {
	var head [16]byte
	binary.LittleEndian.PutUint64(head[:8], uint64(tick))
	binary.LittleEndian.PutUint64(head[8:], uint64(len(data)))
	b.h.Write([]byte(topic))
	b.h.Write(head[:])
	b.h.Write(data)
}

func (b bodyHash) String() string { return hex.EncodeToString(b.h.Sum(nil)) }
