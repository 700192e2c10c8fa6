// Package guest is the one interface by which a control law comes from outside:
// what it receives and what it returns, byte for byte. It is the same for a
// WebAssembly module (sim/guest/wasm) and for a process (sim/guest/child); a Go
// type implements control.Guest and needs none of it.
//
//  1. at the start the craft's block tells what there is to fly (craft.go)
//  2. for each question the question's block is written (question.go)
//  3. the law writes its answer's block, which is read back (answer.go)
//
// All three are rows of 8-byte fields without gaps, little-endian, IEEE 754
// double or signed 64-bit integer. Their first field is the version. SI and
// radians; room axes W and body axes B are right-handed, x forward, y left, z up;
// quaternions turn body into room. The tables (Question, Craft, Reply) are the
// one source for the encoder's tests, the printed layout and the C header.
//
// It stands apart because it is a promise to people whose code is not here.
package guest

// Version is the version of the three blocks. A law that speaks another one is
// refused.
const Version = 1

// Field is one entry of a block.
type Field struct {
	Name  string // as in the C header, frame as suffix
	Count int    // numbers, 1 for a single one
	Whole bool   // 64-bit integer instead of double
	Doc   string // unit, frame, range
}

// Size is the length (bytes) of a block of these fields.
func Size(fields []Field) int {
	n := 0
	for i := range fields {
		n += fields[i].Count
	}
	return 8 * n
}

// Offset returns where the field called name begins (bytes).
func Offset(fields []Field, name string) int {
	at := 0
	for i := range fields {
		if fields[i].Name == name {
			return at
		}
		at += 8 * fields[i].Count
	}
	panic("guest: no field " + name)
}

func num(name string, doc string) Field             { return Field{name, 1, false, doc} }
func nums(name string, count int, doc string) Field { return Field{name, count, false, doc} }
func integer(name string, doc string) Field         { return Field{name, 1, true, doc} }
