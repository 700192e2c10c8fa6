package wasm

import "errors"

// reader reads a module's bytes; the first error stays.
type reader struct {
	b   []byte
	at  int
	err error
}

var errShort = errors.New("the module is damaged or cut short")

func (r *reader) fail(says string) {
	if r.err == nil {
		r.err = errors.New(says)
	}
}

func (r *reader) byte() byte {
	if r.err != nil || r.at >= len(r.b) {
		r.short()
		return 0
	}
	r.at++
	return r.b[r.at-1]
}

func (r *reader) short() {
	if r.err == nil {
		r.err = errShort
	}
}

func (r *reader) take(n int) []byte {
	if r.err != nil || n < 0 || n > len(r.b)-r.at {
		r.short()
		return nil
	}
	r.at += n
	return r.b[r.at-n : r.at]
}

func (r *reader) name() string { return string(r.take(int(r.u32()))) }

// u32 reads an unsigned number of at most five bytes (LEB128).
func (r *reader) u32() uint32 {
	x := uint64(0)
	for shift := 0; shift < 35; shift += 7 {
		b := r.byte()
		x |= uint64(b&0x7f) << shift
		if b < 0x80 {
			if x > 1<<32-1 {
				break
			}
			return uint32(x)
		}
	}
	r.short()
	return 0
}

// s64 skips a signed number of at most ten bytes (LEB128).
func (r *reader) s64() {
	for range 10 {
		if r.byte() < 0x80 {
			return
		}
	}
	r.short()
}

func appendU32(b []byte, x uint32) []byte {
	for x >= 0x80 {
		b = append(b, byte(x)|0x80)
		x >>= 7
	}
	return append(b, byte(x))
}

func appendS64(b []byte, x int64) []byte {
	for {
		low := byte(x & 0x7f)
		x >>= 7
		if x == 0 && low&0x40 == 0 || x == -1 && low&0x40 != 0 {
			return append(b, low)
		}
		b = append(b, low|0x80)
	}
}
