package sim

import (
	"reflect"
	"unsafe"

	"lapwing/dynamics"
	"lapwing/sim/bench"
	"lapwing/sim/carry"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/link"
	"lapwing/sim/path"
	"lapwing/sim/prompt"
	"lapwing/sim/safety"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

// Groups names the groups of fields that are hashed apart, so that a replay
// that differs can say where.
var Groups = [...]string{"hands and link", "craft", "sensors", "camera", "estimate", "watchman and path", "law", "injects", "judge", "bench"}

// Hashes is one hash for each group.
type Hashes [len(Groups)]uint64

// Hash hashes the world by groups. Percept, eye and plan's progress belong to
// the person and stay outside.
func (w *World) Hash() (h Hashes) {
	h[0] = hashOf(&w.Heard, layoutHeard) ^ rotate(hashOf(&w.Link, layoutLink))
	h[1] = hashOf(&w.Craft, layoutCraft)
	h[2] = hashOf(&w.Sense, layoutSense)
	h[3] = hashOf(&w.Sight, layoutSight)
	h[4] = hashOf(&w.Estimate, layoutEstimate)
	h[5] = hashOf(&w.Safety, layoutSafety) ^ rotate(hashOf(&w.Path, layoutPath))
	h[6] = hashOf(&w.Law, layoutLaw)
	h[7] = hashOf(&w.Inject, layoutInject)
	h[8] = hashOf(&w.Judge, layoutJudge)
	h[9] = hashOf(&w.Bench, layoutBench) ^ rotate(hashOf(&w.Carry, layoutCarry)) ^
		rotate(rotate(hashOf(&w.Prompt, layoutPrompt)))
	return h
}

// Differs returns the names of the groups in which a and b differ.
func (a Hashes) Differs(b Hashes) (names []string) {
	for i := range a {
		if a[i] != b[i] {
			names = append(names, Groups[i])
		}
	}
	return names
}

// FieldNames names the fields that FieldHashes hashes, such as "Craft.PosW".
func FieldNames() []string { return fieldNames }

// FieldHashes hashes the world field by field, for traces. It is slow.
func (w *World) FieldHashes() []uint32 {
	base := unsafe.Pointer(w)
	all := make([]uint32, len(fieldSpans))
	for i, spans := range fieldSpans {
		all[i] = uint32(hashBytes(base, spans))
	}
	return all
}

// traced are the parts of the world whose fields a trace hashes: those of Hash.
var traced = [...]string{"Heard", "Link", "Craft", "Sense", "Sight", "Estimate", "Safety", "Path", "Law", "Inject", "Judge", "Bench", "Carry", "Prompt"}

var fieldNames, fieldSpans = fieldsOfWorld()

func fieldsOfWorld() (names []string, spans [][]span) {
	world := reflect.TypeFor[World]()
	for _, part := range traced {
		outer, _ := world.FieldByName(part)
		addFields(part, outer.Type, outer.Offset, &names, &spans)
	}
	return names, spans
}

// addFields adds the fields of t, those of an embedded struct by their own names.
func addFields(part string, t reflect.Type, offset uintptr, names *[]string, spans *[][]span) {
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			addFields(part, f.Type, offset+f.Offset, names, spans)
			continue
		}
		var s []span
		walkLayout(f.Type, offset+f.Offset, &s)
		*names = append(*names, part+"."+f.Name)
		*spans = append(*spans, s)
	}
}

var (
	layoutHeard    = layoutOf[link.Heard]()
	layoutLink     = layoutOf[link.State]()
	layoutCraft    = layoutOf[dynamics.State]()
	layoutSense    = layoutOf[sense.State]()
	layoutSight    = layoutOf[sight.State]()
	layoutEstimate = layoutOf[estimate.Sighted]()
	layoutSafety   = layoutOf[safety.State]()
	layoutPath     = layoutOf[path.State]()
	layoutLaw      = layoutOf[control.State]()
	layoutInject   = layoutOf[inject.State]()
	layoutJudge    = layoutOf[judge.Facts]()
	layoutBench    = layoutOf[bench.State]()
	layoutCarry    = layoutOf[carry.State]()
	layoutPrompt   = layoutOf[prompt.State]()
)

// span is a run of bytes without padding.
type span struct{ offset, size uintptr }

// layoutOf returns the bytes of T that carry values: what lies between fields
// as padding is not defined and must not reach a hash.
func layoutOf[T any]() []span {
	var spans []span
	walkLayout(reflect.TypeFor[T](), 0, &spans)
	return spans
}

func walkLayout(t reflect.Type, offset uintptr, spans *[]span) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			walkLayout(f.Type, offset+f.Offset, spans)
		}
	case reflect.Array:
		for i := range t.Len() {
			walkLayout(t.Elem(), offset+uintptr(i)*t.Elem().Size(), spans)
		}
	case reflect.Pointer, reflect.Slice, reflect.Map, reflect.String, reflect.Interface, reflect.Func, reflect.Chan:
		panic("sim: " + t.String() + " cannot be part of a world: it is not a plain value")
	default:
		addSpan(spans, span{offset, t.Size()})
	}
}

func addSpan(spans *[]span, s span) {
	if n := len(*spans); n > 0 && (*spans)[n-1].offset+(*spans)[n-1].size == s.offset {
		(*spans)[n-1].size += s.size
		return
	}
	*spans = append(*spans, s)
}

// Multipliers of the mixing steps: odd numbers with well-spread bits, from the
// golden ratio and from Steele and Vigna's table for such mixers (2021, from
// memory). Changing one changes every recorded hash.
const (
	mixA = 0x9e3779b97f4a7c15
	mixB = 0xd1342543de82ef95
)

// hashOf hashes the value at v, eight bytes at a time, over its layout.
func hashOf[T any](v *T, layout []span) uint64 { return hashBytes(unsafe.Pointer(v), layout) }

func hashBytes(base unsafe.Pointer, layout []span) uint64 {
	h := uint64(mixA)
	for _, s := range layout {
		at := s.offset
		end := s.offset + s.size
		for ; at+8 <= end; at += 8 {
			h = mix(h, *(*uint64)(unsafe.Add(base, at)))
		}
		for ; at < end; at++ {
			h = mix(h, uint64(*(*byte)(unsafe.Add(base, at))))
		}
	}
	return h
}

func mix(h, word uint64) uint64 {
	h = (h ^ word) * mixB
	return h ^ h>>29
}

func rotate(h uint64) uint64 { return h<<23 | h>>41 }
