package scenarios

import (
	"fmt"

	"lapwing/dynamics"
)

// value is what a field of a file holds, converted to SI, with its place. The
// tree of values follows the tree of fields exactly: asking it for a key that
// the description lacks is a programmer's error.
type value struct {
	field  *field
	file   string
	line   int
	column int
	path   string

	present bool // it stands in the file; otherwise it is the fallback, or nothing
	filled  bool // it stands in the file or has a fallback
	sound   bool // neither it nor anything below it has a fault

	number float64 // SI
	flag   bool
	text   string // text, name, date, word; of a variant the deciding word
	choice string // of one of several forms: the key that stands there
	vector dynamics.Vec3
	items  []*value          // of a list
	fields map[string]*value // of a group or variant, by full name; only looked up, never walked
}

// at returns the value under key.
func (v *value) at(key string) *value {
	child, ok := v.fields[key]
	if !ok {
		panic(fmt.Sprintf("scenarios: the description of %q has no %q", v.path, key))
	}
	return child
}

// maybe returns the value under key, or nil where this form of a variant lacks it.
func (v *value) maybe(key string) *value { return v.fields[key] }

func (v *value) num(key string) float64       { return v.at(key).number }
func (v *value) integer(key string) int       { return int(v.at(key).number) }
func (v *value) is(key string) bool           { return v.at(key).flag }
func (v *value) str(key string) string        { return v.at(key).text }
func (v *value) vec(key string) dynamics.Vec3 { return v.at(key).vector }
func (v *value) list(key string) []*value     { return v.at(key).items }
func (v *value) has(key string) bool          { return v.at(key).filled }

// soundly tells whether none of keys, nor anything below them, has a fault.
func (v *value) soundly(keys ...string) bool {
	for _, key := range keys {
		if !v.at(key).sound {
			return false
		}
	}
	return true
}

// ticks returns the time (s) under key as whole ticks.
func (v *value) ticks(key string) int64 { return ticks(v.num(key)) }

// ticks rounds a time (s) to whole ticks.
func ticks(seconds float64) int64 { return int64(seconds/dynamics.DT + 0.5) }

// fault returns a fault at v's place.
func (v *value) fault(found, allowed, message string) Fault {
	return Fault{File: v.file, Line: v.line, Column: v.column, Path: v.path, Found: found, Allowed: allowed, Message: message}
}
