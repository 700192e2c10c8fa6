package wasm

import (
	"errors"
	"fmt"
	"slices"
)

// The sections of a module that are looked at (WebAssembly Core Specification
// 1.0, W3C 2019, section 5.5.2).
const (
	sectionImport   = 2
	sectionTable    = 4
	sectionMemory   = 5
	sectionGlobal   = 6
	sectionExport   = 7
	sectionCode     = 10
	sectionHighest  = 12
	exportOfMemory  = 2
	exportOfGlobal  = 3
	typeI32         = 0x7f
	typeI64         = 0x7e
	headerSize      = 8
	pagesAllowed    = 64 // of 64 KiB: 4 MiB
	fuelName        = "lapwing fuel"
	stackName       = "lapwing stack"
	reservedPrefix  = "lapwing "
	fuelForEachCall = 10_000_000
)

// section is one section as it was read.
type section struct {
	id   byte
	body []byte
}

// rewritten is a module that is held to the rules and can run out of fuel.
type rewritten struct {
	bytes    []byte
	hasStack bool // it has a stack pointer, exported as stackName
}

// rewrite checks a module against the rules and returns it with a fuel gauge:
// one more global, and at the head of each function and each loop the code that
// takes fuel and traps when there is none left.
func rewrite(module []byte) (rewritten, error) {
	sections, err := split(module)
	if err != nil {
		return rewritten{}, err
	}
	if s := find(sections, sectionImport); s != nil {
		return rewritten{}, importFault(s.body)
	}
	globals, out, err := checkGlobals(find(sections, sectionGlobal))
	if err != nil {
		return rewritten{}, err
	}
	memory, err := boundMemory(find(sections, sectionMemory))
	if err != nil {
		return rewritten{}, err
	}
	exports, err := addExports(find(sections, sectionExport), globals, out.hasStack)
	if err != nil {
		return rewritten{}, err
	}
	code, err := addFuel(find(sections, sectionCode), uint32(globals.count))
	if err != nil {
		return rewritten{}, err
	}
	put(&sections, section{sectionMemory, memory})
	put(&sections, section{sectionGlobal, globals.withFuel()})
	put(&sections, section{sectionExport, exports})
	put(&sections, section{sectionCode, code})
	out.bytes = append(out.bytes, module[:headerSize]...)
	for _, s := range sections {
		out.bytes = append(out.bytes, s.id)
		out.bytes = append(appendU32(out.bytes, uint32(len(s.body))), s.body...)
	}
	return out, nil
}

// split cuts a module into its sections. Custom sections are left out: they
// carry names and hints that change nothing.
func split(module []byte) ([]section, error) {
	if len(module) < headerSize || string(module[:headerSize]) != "\x00asm\x01\x00\x00\x00" {
		return nil, errors.New("this is not a WebAssembly module of version 1: it does not begin like one")
	}
	var sections []section
	r := reader{b: module, at: headerSize}
	for r.at < len(module) && r.err == nil {
		id := r.byte()
		body := r.take(int(r.u32()))
		switch {
		case r.err != nil:
		case id > sectionHighest:
			return nil, fmt.Errorf("the module has a section %d, of an extension that is not supported", id)
		case id != 0:
			sections = append(sections, section{id, body})
		}
	}
	return sections, r.err
}

func find(sections []section, id byte) *section {
	for i := range sections {
		if sections[i].id == id {
			return &sections[i]
		}
	}
	return nil
}

// put puts a section in place of the one of its kind, or where it belongs.
func put(sections *[]section, s section) {
	if old := find(*sections, s.id); old != nil {
		*old = s
		return
	}
	at := 0
	for at < len(*sections) && (*sections)[at].id < s.id {
		at++
	}
	*sections = slices.Insert(*sections, at, s)
}

// importFault names the first import, for there must be none.
func importFault(body []byte) error {
	r := reader{b: body}
	if r.u32() == 0 {
		return errors.New("the module has an empty list of imports: leave it out")
	}
	from, name := r.name(), r.name()
	return fmt.Errorf("the module imports %q from %q; a law imports nothing: link it without a C library's system calls", name, from)
}

// globalsFound are the globals of a module: their number and the section's body
// without it.
type globalsFound struct {
	count int
	rest  []byte
	stack int // index of the one that may change, −1 for none
}

func (g *globalsFound) withFuel() []byte {
	body := append(appendU32(nil, uint32(g.count+1)), g.rest...)
	body = append(body, typeI64, 1, opI64Const)
	return append(appendS64(body, fuelForEachCall), opEnd)
}

// checkGlobals allows one global that changes, the stack pointer: what else a
// law keeps belongs into its memory, which a fork copies.
func checkGlobals(s *section) (g globalsFound, out rewritten, err error) {
	g.stack = -1
	if s == nil {
		return g, out, nil
	}
	r := reader{b: s.body}
	g.count = int(r.u32())
	g.rest = s.body[r.at:]
	for i := 0; i < g.count && r.err == nil; i++ {
		kind, changes := r.byte(), r.byte()
		for op := byte(0); op != opEnd && r.err == nil; {
			op = r.byte()
			r.skipImmediates(op)
		}
		if changes == 0 {
			continue
		}
		if g.stack >= 0 || kind != typeI32 {
			return g, out, fmt.Errorf("global %d of the module can change; only the stack pointer may: keep what changes in the memory, which is copied when a rehearsal forks", i)
		}
		g.stack = i
	}
	out.hasStack = g.stack >= 0
	return g, out, r.err
}

// boundMemory holds the one memory to pagesAllowed.
func boundMemory(s *section) ([]byte, error) {
	if s == nil {
		return nil, errors.New("the module has no memory")
	}
	r := reader{b: s.body}
	count, flags, least := r.u32(), r.byte(), r.u32()
	if r.err != nil || count != 1 || flags > 1 {
		return nil, errors.New("the module must have one plain memory")
	}
	if least > pagesAllowed {
		return nil, fmt.Errorf("the module's memory begins with %d KiB; allowed are %d KiB", least*64, pagesAllowed*64)
	}
	most := uint32(pagesAllowed)
	if flags == 1 {
		most = min(most, r.u32())
	}
	return appendU32(appendU32([]byte{1, 1}, least), most), r.err
}

// addExports checks the exports and adds the fuel and the stack pointer.
func addExports(s *section, g globalsFound, hasStack bool) ([]byte, error) {
	if s == nil {
		return nil, missing(needed)
	}
	r := reader{b: s.body}
	count := r.u32()
	rest := s.body[r.at:]
	have := map[string]bool{}
	for i := uint32(0); i < count && r.err == nil; i++ {
		name, kind, index := r.name(), r.byte(), r.u32()
		have[name] = true
		if kind == exportOfGlobal && hasStack && int(index) == g.stack {
			return nil, fmt.Errorf("the module exports the global %q, which can change: do not export it", name)
		}
		if len(name) >= len(reservedPrefix) && name[:len(reservedPrefix)] == reservedPrefix {
			return nil, fmt.Errorf("the module exports %q: names that begin so are taken", name)
		}
	}
	if r.err != nil {
		return nil, r.err
	}
	var lacks []string
	for _, name := range needed {
		if !have[name] {
			lacks = append(lacks, name)
		}
	}
	if len(lacks) > 0 {
		return nil, missing(lacks)
	}
	added := uint32(1)
	rest = appendExport(slices.Clone(rest), fuelName, exportOfGlobal, uint32(g.count))
	if hasStack {
		rest = appendExport(rest, stackName, exportOfGlobal, uint32(g.stack))
		added++
	}
	return append(appendU32(nil, count+added), rest...), nil
}

func appendExport(b []byte, name string, kind byte, index uint32) []byte {
	b = append(appendU32(b, uint32(len(name))), name...)
	return appendU32(append(b, kind), index)
}
