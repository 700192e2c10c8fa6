package wasm

import "lapwing/sim/guest"

// module is a small WebAssembly module put together by hand, sound unless a test
// spoils it.
type module struct {
	imports   []byte // body of the section, nil for none
	globals   [][]byte
	pages     uint32
	act       []byte            // the body of law_act, without its end
	locals    []byte            // its local declarations, with their count in front
	version   int32             // that law_version gives
	leaveOut  string            // an export that is missing
	more      []byte            // of one more export: name, kind, index
	addresses [3]int32          // of the blocks
	also      map[byte][]byte   // further sections by number
	functions map[string][]byte // bodies in place of the plain ones
}

const (
	craftAt    = 1024
	questionAt = 4096
	answerAt   = 8192
)

func soundModule() *module {
	return &module{pages: 1, version: guest.Version, addresses: [3]int32{craftAt, questionAt, answerAt},
		act: giveZero(), locals: []byte{0}, also: map[byte][]byte{}, functions: map[string][]byte{}}
}

func constI32(x int32) []byte { return appendS64([]byte{opI32Const}, int64(x)) }

// giveZero answers with the right version and 0.
func giveZero() []byte { return append(store64(answerAt, guest.Version), constI32(0)...) }

// store64 stores an integer of 8 bytes.
func store64(at int32, x int64) []byte {
	code := appendS64(append(constI32(at), opI64Const), x)
	return append(code, 0x37, 3, 0) // i64.store, aligned to 8
}

func name(s string) []byte { return append(appendU32(nil, uint32(len(s))), s...) }

// vector is a count and then the items.
func vector(items ...[]byte) []byte {
	b := appendU32(nil, uint32(len(items)))
	for _, item := range items {
		b = append(b, item...)
	}
	return b
}

// bytes puts the module together: functions 0 … 5 in the order of needed, one
// type, one memory.
func (m *module) bytes() []byte {
	bodies := [][]byte{constI32(m.version), constI32(m.addresses[0]), constI32(m.addresses[1]), constI32(m.addresses[2]), constI32(0), m.act}
	var codes, exports, kinds [][]byte
	for i, body := range bodies {
		locals := []byte{0}
		if i == 5 {
			locals = m.locals
		}
		function := append(append(append([]byte{}, locals...), body...), opEnd)
		codes = append(codes, append(appendU32(nil, uint32(len(function))), function...))
		kinds = append(kinds, []byte{0})
		exports = append(exports, append(name(needed[i+1]), 0, byte(i)))
	}
	exports = append(exports, append(name("memory"), exportOfMemory, 0))
	if m.more != nil {
		exports = append(exports, m.more)
	}
	kept := exports[:0]
	for _, e := range exports {
		if m.leaveOut == "" || string(e[1:1+len(m.leaveOut)]) != m.leaveOut {
			kept = append(kept, e)
		}
	}
	sections := map[byte][]byte{
		1: vector([]byte{0x60, 0, 1, typeI32}), 3: vector(kinds...), sectionMemory: vector(appendU32([]byte{0}, m.pages)),
		sectionExport: vector(kept...), sectionCode: vector(codes...), sectionImport: m.imports,
	}
	if m.globals != nil {
		sections[sectionGlobal] = vector(m.globals...)
	}
	for id, body := range m.also {
		sections[id] = body
	}
	out := []byte("\x00asm\x01\x00\x00\x00")
	for id := byte(1); id <= sectionHighest; id++ {
		if body := sections[id]; body != nil {
			out = append(appendU32(append(out, id), uint32(len(body))), body...)
		}
	}
	return out
}
