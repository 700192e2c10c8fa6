package rounds

import (
	"encoding/json"
	"fmt"
	"hash/crc32"

	"lapwing/sim/trials"
)

// A line of results is a JSON object with a checksum over the bytes of its row:
//
//	{"crc32c":"9ae0daaf","row":{"case":17,…}}
const (
	lineHead = `{"crc32c":"`
	lineRow  = `","row":`
	sumAt    = len(lineHead)
	rowAt    = sumAt + 8 + len(lineRow)
)

// castagnoli is the polynomial of CRC-32C: G. Castagnoli, S. Bräuer and M.
// Herrmann, "Optimization of cyclic redundancy-check codes with 24 and 32 parity
// bits", IEEE Transactions on Communications 41(6), 1993.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// Line returns a result as a line, with its end.
func Line(r *trials.Result) ([]byte, error) {
	row, err := json.Marshal(r)
	if err != nil {
		return nil, err
	}
	line := fmt.Appendf(nil, "%s%08x%s", lineHead, crc32.Checksum(row, castagnoli), lineRow)
	return append(append(line, row...), "}\n"...), nil
}

// ParseLine reads a line, without its end. A line that is not whole is an error.
func ParseLine(line []byte) (r trials.Result, err error) {
	if len(line) < rowAt+2 || string(line[:sumAt]) != lineHead || string(line[sumAt+8:rowAt]) != lineRow || line[len(line)-1] != '}' {
		return r, fmt.Errorf("rounds: not a line of results")
	}
	row := line[rowAt : len(line)-1]
	if want := fmt.Sprintf("%08x", crc32.Checksum(row, castagnoli)); want != string(line[sumAt:sumAt+8]) {
		return r, fmt.Errorf("rounds: the checksum of a line is wrong: %s, and its row has %s", line[sumAt:sumAt+8], want)
	}
	return r, json.Unmarshal(row, &r)
}
