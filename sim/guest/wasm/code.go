package wasm

import (
	"errors"
	"fmt"
)

// Opcodes that are looked at (WebAssembly Core Specification 2.0, section 5.4).
const (
	opUnreachable  = 0x00
	opBlock        = 0x02
	opLoop         = 0x03
	opIf           = 0x04
	opEnd          = 0x0b
	opBr           = 0x0c
	opBrIf         = 0x0d
	opBrTable      = 0x0e
	opCall         = 0x10
	opCallIndirect = 0x11
	opSelectTyped  = 0x1c
	opGlobalGet    = 0x23
	opGlobalSet    = 0x24
	opTableGet     = 0x25
	opTableSet     = 0x26
	opLoadFirst    = 0x28
	opStoreLast    = 0x3e
	opMemorySize   = 0x3f
	opMemoryGrow   = 0x40
	opI32Const     = 0x41
	opI64Const     = 0x42
	opF32Const     = 0x43
	opF64Const     = 0x44
	opI64LtS       = 0x53
	opI64Sub       = 0x7d
	opPlainLast    = 0xc4 // from opI64Const's family to here: no immediates
	opMisc         = 0xfc
	miscTruncLast  = 7 // saturating conversions; beyond: bulk memory and tables
	blockEmpty     = 0x40
)

// bytesForEachFuel is how many bytes of a function cost one more unit each time
// one of its loops turns, so that long bodies pay for their length.
const bytesForEachFuel = 64

// addFuel returns the code section with the fuel gauge (a global) in it.
func addFuel(s *section, gauge uint32) ([]byte, error) {
	if s == nil {
		return nil, errors.New("the module has no code")
	}
	r := reader{b: s.body}
	count := r.u32()
	out := appendU32(nil, count)
	for i := uint32(0); i < count && r.err == nil; i++ {
		body := r.take(int(r.u32()))
		if r.err != nil {
			break
		}
		gauged, err := gaugeFunction(body, gauge)
		if err != nil {
			return nil, fmt.Errorf("function %d of the module: %w", i, err)
		}
		out = append(appendU32(out, uint32(len(gauged))), gauged...)
	}
	return out, r.err
}

// gaugeFunction returns a function's body with fuel taken at its head and at
// the head of each of its loops.
func gaugeFunction(body []byte, gauge uint32) ([]byte, error) {
	takeFuel := fuelCode(gauge, int64(1+len(body)/bytesForEachFuel))
	r := reader{b: body}
	for groups := r.u32(); groups > 0 && r.err == nil; groups-- {
		r.u32()
		r.byte()
	}
	out := append(append([]byte{}, body[:r.at]...), takeFuel...)
	for r.at < len(body) && r.err == nil {
		start := r.at
		op := r.byte()
		r.skipImmediates(op)
		out = append(out, body[start:r.at]...)
		if op == opLoop {
			out = append(out, takeFuel...)
		}
	}
	return out, r.err
}

// fuelCode is: gauge −= cost; if gauge < 0, trap.
func fuelCode(gauge uint32, cost int64) []byte {
	b := appendU32([]byte{opGlobalGet}, gauge)
	b = append(appendS64(append(b, opI64Const), cost), opI64Sub, opGlobalSet)
	b = appendU32(b, gauge)
	b = appendU32(append(b, opGlobalGet), gauge)
	return append(b, opI64Const, 0, opI64LtS, opIf, blockEmpty, opUnreachable, opEnd)
}

// skipImmediates moves past what follows opcode op, and refuses what a law may
// not do.
func (r *reader) skipImmediates(op byte) {
	switch {
	case op == opBlock || op == opLoop || op == opIf:
		r.s64()
	case op == opBr || op == opBrIf || op == opCall || op >= 0x20 && op <= opGlobalSet:
		r.u32()
	case op == opBrTable:
		for n := r.u32(); n > 0 && r.err == nil; n-- {
			r.u32()
		}
		r.u32()
	case op == opCallIndirect || op >= opLoadFirst && op <= opStoreLast:
		r.u32()
		r.u32()
	case op == opSelectTyped:
		r.take(int(r.u32()))
	case op == opTableGet || op == opTableSet:
		r.fail("it reaches into a table, which is not copied when a rehearsal forks")
	case op == opMemorySize || op == opMemoryGrow:
		r.u32()
	case op == opI32Const || op == opI64Const:
		r.s64()
	case op == opF32Const:
		r.take(4)
	case op == opF64Const:
		r.take(8)
	case op == opMisc:
		if sub := r.u32(); sub > miscTruncLast {
			r.fail("it uses bulk memory or table instructions; build without them (clang: -mno-bulk-memory; Rust: -C target-feature=-bulk-memory)")
		}
	case op > opPlainLast:
		r.fail(fmt.Sprintf("it uses the instruction 0x%02x, of an extension that is not supported (vectors, threads, exceptions, references)", op))
	}
}
