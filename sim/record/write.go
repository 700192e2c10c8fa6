package record

import (
	"encoding/json"
	"fmt"
	"os"

	"github.com/foxglove/mcap/go/mcap"

	"lapwing/sim"
	"lapwing/sim/hands"
)

// Writer records a run as it goes; it is a sim.Watcher. Errors are kept and
// returned by Close, so that flying never waits for a disk.
type Writer struct {
	path     string
	file     *os.File
	mcap     *mcap.Writer
	channels map[string]uint16
	sequence map[string]uint32
	body     bodyHash
	last     hands.Hands
	any      bool
	trace    bool
	tape     *Tape // of a law in a process of its own
	err      error
}

// partial ends the name of a recording that is being written. It is moved to its
// place once it is whole, so that a full disk or a killed process leaves no
// recording cut short, and the one that was there before stays.
const partial = ".part"

// Create starts a recording, which Close puts at path.
func Create(path string, r Rehearsal, documents []Document) (*Writer, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, fmt.Errorf("recording: %s is a folder", path)
	}
	file, err := os.Create(path + partial)
	if err != nil {
		return nil, fmt.Errorf("recording: %w", err)
	}
	w := &Writer{path: path, file: file, channels: map[string]uint16{}, sequence: map[string]uint32{}, body: newBodyHash(), trace: r.Trace}
	if err := w.open(); err != nil {
		file.Close()
		os.Remove(file.Name())
		return nil, fmt.Errorf("recording %s: %w", path, err)
	}
	r.Format = Format
	w.put(topicRehearsal, 0, r)
	for _, d := range documents {
		w.put(topicDocument, 0, d)
	}
	return w, nil
}

func (w *Writer) open() (err error) {
	w.mcap, err = mcap.NewWriter(w.file, &mcap.WriterOptions{Chunked: true, ChunkSize: 1 << 20, Compression: mcap.CompressionZSTD, IncludeCRC: true})
	if err != nil {
		return err
	}
	if err := w.mcap.WriteHeader(&mcap.Header{Profile: "", Library: "lapwing"}); err != nil {
		return err
	}
	for _, topic := range []string{topicRehearsal, topicDocument, topicHands, topicHash, topicTrace, topicEnd} {
		if err := w.addChannel(topic); err != nil {
			return err
		}
	}
	return nil
}

func (w *Writer) addChannel(topic string) error {
	id := uint16(len(w.channels) + 1)
	schema := mcap.Schema{ID: id, Name: "lapwing." + topic, Encoding: "jsonschema", Data: []byte(schemas[topic])}
	if err := w.mcap.WriteSchema(&schema); err != nil {
		return err
	}
	w.channels[topic] = id
	return w.mcap.WriteChannel(&mcap.Channel{ID: id, SchemaID: id, Topic: topic, MessageEncoding: "json", Metadata: map[string]string{}})
}

func (w *Writer) put(topic string, tick int64, message any) {
	if w.err != nil {
		return
	}
	data, err := json.Marshal(message)
	if err != nil {
		w.err = err
		return
	}
	at := uint64(tick) * nanosPerTick
	w.sequence[topic]++
	w.body.add(topic, tick, data)
	w.err = w.mcap.WriteMessage(&mcap.Message{ChannelID: w.channels[topic], Sequence: w.sequence[topic], LogTime: at, PublishTime: at, Data: data})
}

// Looked records the hands where they changed.
func (w *Writer) Looked(world *sim.World) {
	if w.any && world.Hands == w.last {
		return
	}
	w.any, w.last = true, world.Hands
	w.put(topicHands, world.Tick, toMessage(&world.Hands))
}

// Second records the world's hashes, and what a law in a process of its own has
// answered.
func (w *Writer) Second(world *sim.World) {
	w.putAnswers(world.Tick)
	w.put(topicHash, world.Tick, hashes(world))
}

// Ticked records, in a trace, a hash of each field.
func (w *Writer) Ticked(world *sim.World) {
	if w.trace {
		w.put(topicTrace, world.Tick, traceMessage{Fields: traceBytes(world)})
	}
}

func hashes(world *sim.World) (m hashMessage) {
	for i, h := range world.Hash() {
		m.Groups[i] = fmt.Sprintf("%016x", h)
	}
	return m
}

// Close ends the recording and returns the hash of its body, or the first error
// that was met.
func (w *Writer) Close(r *sim.Result) (body string, err error) {
	w.putAnswers(r.End.Tick)
	w.put(topicEnd, r.End.Tick, endMessage{Tick: r.End.Tick, Why: r.Why.Words(), Last: hashes(&r.End), Body: w.body.String()})
	if closeErr := w.mcap.Close(); w.err == nil {
		w.err = closeErr
	}
	if closeErr := w.file.Close(); w.err == nil {
		w.err = closeErr
	}
	if w.err == nil {
		w.err = os.Rename(w.file.Name(), w.path)
	}
	if w.err != nil {
		os.Remove(w.file.Name())
		return "", fmt.Errorf("recording %s: %w", w.path, w.err)
	}
	return w.body.String(), nil
}
