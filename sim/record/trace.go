package record

import (
	"encoding/base64"
	"encoding/binary"

	"lapwing/sim"
)

// traceMessage is one tick's field hashes.
type traceMessage struct {
	Fields string `json:"fields"`
}

func traceBytes(w *sim.World) string {
	all := w.FieldHashes()
	bytes := make([]byte, 0, 4*len(all))
	for _, h := range all {
		bytes = binary.LittleEndian.AppendUint32(bytes, h)
	}
	return base64.StdEncoding.EncodeToString(bytes)
}

// differingFields names the fields in which a trace message and a world differ.
func differingFields(m *traceMessage, w *sim.World) (names []string) {
	bytes, err := base64.StdEncoding.DecodeString(m.Fields)
	all := w.FieldHashes()
	if err != nil || len(bytes) != 4*len(all) {
		return []string{"the trace has other fields than this program"}
	}
	for i, h := range all {
		if binary.LittleEndian.Uint32(bytes[4*i:]) != h {
			names = append(names, sim.FieldNames()[i])
		}
	}
	return names
}
