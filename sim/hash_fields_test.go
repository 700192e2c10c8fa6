package sim_test

import (
	"reflect"
	"strings"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
)

// Goal: the hash sees every value of the parts it stands for, exported or not,
// and each in one group. Method: flip one bit of every number in the world, find
// the group that changes, put it back.
func TestHashSeesEveryField(t *testing.T) {
	parts := map[string]bool{}
	for _, name := range sim.FieldNames() {
		part, _, _ := strings.Cut(name, ".")
		parts[part] = true
	}
	require.Len(t, parts, 14, "heard and link, craft, sensors, camera, estimate, watchman and path, law, injects, judge, bench with carry and prompt")
	w := new(sim.World)
	before := w.Hash()
	leaves, groups := 0, map[string]bool{}
	for part := range parts {
		field, ok := reflect.TypeFor[sim.World]().FieldByName(part)
		require.True(t, ok, part)
		eachLeaf(field.Type, part, field.Offset, func(name string, offset, size uintptr) {
			at := (*byte)(unsafe.Add(unsafe.Pointer(w), offset+size-1))
			*at ^= 1
			changed := before.Differs(w.Hash())
			*at ^= 1
			leaves++
			if assert.Len(t, changed, 1, name) {
				groups[changed[0]] = true
			}
		})
	}
	assert.Len(t, groups, len(sim.Groups), "every group stands for something")
	assert.Greater(t, leaves, 500)
	assert.Equal(t, before, w.Hash())
}

// eachLeaf calls see with every number, flag and word in t.
func eachLeaf(t reflect.Type, name string, offset uintptr, see func(name string, offset, size uintptr)) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			eachLeaf(f.Type, name+"."+f.Name, offset+f.Offset, see)
		}
	case reflect.Array:
		for i := range t.Len() {
			eachLeaf(t.Elem(), name, offset+uintptr(i)*t.Elem().Size(), see)
		}
	default:
		see(name, offset, t.Size())
	}
}
