package sim_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
	"lapwing/sim/pilot"
)

// executor returns the pilot who flies the plan of c, as a value that can be
// forked with the world.
func executor(c *sim.Conditions) pilot.Executor {
	return pilot.NewExecutor(&c.Plan, pilot.TrainedHand().With(c.Brief()), c.Seed)
}

// fly turns w until it stands at tick end.
func fly(c *sim.Conditions, w *sim.World, p pilot.Pilot, end int64) {
	for w.Tick < end {
		sim.Turn(c, w, p)
	}
}

// hashes flies a scenario for some seconds and returns the hash of each.
func hashes(c *sim.Conditions, seconds int64) (all []sim.Hashes) {
	w, e := sim.Start(c), executor(c)
	for w.Tick < seconds*sim.TicksPerSecond {
		sim.Turn(c, &w, &e, second(func(w *sim.World) { all = append(all, w.Hash()) }))
	}
	return append(all, w.Hash())
}

// Goal: the seed alone decides a run. Method: fly each scenario twice with one
// seed and once with another, through its inject, and compare the hash of every
// second.
func TestOneSeedGivesOneRun(t *testing.T) {
	for _, name := range []string{"drift-in-hold", "motor-failure-hexa", "gust-in-attitude"} {
		t.Run(name, func(t *testing.T) {
			c, again, other := rehearsal(t, name, 1), rehearsal(t, name, 1), rehearsal(t, name, 2)
			first := hashes(&c, 25)
			require.Equal(t, c, again)
			assert.Equal(t, first, hashes(&again, 25))
			last := hashes(&other, 25)[25]
			assert.Subset(t, first[25].Differs(last), []string{"craft", "sensors", "estimate", "law"})
		})
	}
}

// Goal: a run can be taken in pieces. Method: one piece of 1000 ticks, ten of
// 100 and a hundred of 10, from the same world in the air.
func TestPiecesMakeTheWhole(t *testing.T) {
	c := rehearsal(t, "drift-in-hold", 4)
	start, e := sim.Start(&c), executor(&c)
	fly(&c, &start, &e, 9000)
	var ends [3]sim.World
	for i, pieces := range []int64{1, 10, 100} {
		w, p := start, e
		for k := range pieces {
			fly(&c, &w, &p, start.Tick+(k+1)*1000/pieces)
		}
		ends[i] = w
	}
	assert.True(t, ends[0] == ends[1], "1 × 1000 is 10 × 100")
	assert.True(t, ends[0] == ends[2], "1 × 1000 is 100 × 10")
	assert.False(t, ends[0] == start, "it did move")
}

// Goal: assigning the world forks the future, whatever happens around. Method:
// copy world and pilot at random ticks of a run, let the original fly on,
// then fly each copy to the end: the hashes on the way and the end are the same.
func TestForkEqualsRerun(t *testing.T) {
	type fork struct {
		w sim.World
		e pilot.Executor
	}
	for _, name := range []string{"drift-in-hold", "lost-link-in-hold", "motor-failure-quad", "jump-on-path"} {
		t.Run(name, func(t *testing.T) {
			const end, every = 20000, 50
			c := rehearsal(t, name, 1)
			random := rand.New(rand.NewPCG(1, 2))
			at := []int64{0, 19, end - 1}
			for range 3 {
				at = append(at, random.Int64N(end))
			}
			w, e := sim.Start(&c), executor(&c)
			var forks []fork
			var want []sim.Hashes
			for w.Tick < end {
				if slices.Contains(at, w.Tick) {
					forks = append(forks, fork{w, e})
				}
				sim.Turn(&c, &w, &e)
				if w.Tick%every == 0 {
					want = append(want, w.Hash())
				}
			}
			require.Len(t, forks, len(at))
			for _, f := range forks {
				from := f.w.Tick
				for f.w.Tick < end {
					sim.Turn(&c, &f.w, &f.e)
					if f.w.Tick%every == 0 {
						require.Empty(t, f.w.Hash().Differs(want[f.w.Tick/every-1]), "fork at %d, tick %d", from, f.w.Tick)
					}
				}
				assert.True(t, f.w == w, "fork at %d: percept, eye and progress too", from)
			}
		})
	}
}

// Goal: runs share nothing. Method: eight seeds one after the other, then all at
// once in goroutines that read the same conditions but for the seed.
func TestParallelEqualsSerial(t *testing.T) {
	const runs = 8
	c := rehearsal(t, "drift-in-hold", 1)
	run := func(seed uint64) sim.Hashes {
		mine := c
		mine.Seed = seed
		w, e := sim.Start(&mine), executor(&mine)
		fly(&mine, &w, &e, 15000)
		return w.Hash()
	}
	var serial, parallel [runs]sim.Hashes
	for i := range serial {
		serial[i] = run(uint64(i))
	}
	var wait sync.WaitGroup
	for i := range parallel {
		wait.Go(func() { parallel[i] = run(uint64(i)) })
	}
	wait.Wait()
	assert.Equal(t, serial, parallel)
	assert.NotEqual(t, serial[0], serial[1])
}

// Goal: assignment copies everything, and the world stays small enough to fork
// often. Method: walk its type; nothing in it may refer to something outside.
func TestWorldIsAPlainValue(t *testing.T) {
	assert.Empty(t, references(reflect.TypeFor[sim.World](), "World"))
	assert.Equal(t, []string{"X.a.p"}, references(reflect.TypeFor[struct{ a struct{ p *int } }](), "X"), "the walk finds one")
	assert.True(t, reflect.TypeFor[sim.World]().Comparable())
	size := unsafe.Sizeof(sim.World{})
	t.Logf("a world has %d bytes", size)
	assert.LessOrEqual(t, size, uintptr(64<<10))
}

// references names everything in t that assignment would share.
func references(t reflect.Type, name string) (found []string) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			found = append(found, references(t.Field(i).Type, name+"."+t.Field(i).Name)...)
		}
	case reflect.Array:
		return references(t.Elem(), name)
	case reflect.Pointer, reflect.UnsafePointer, reflect.Uintptr, reflect.Slice, reflect.Map, reflect.String,
		reflect.Interface, reflect.Func, reflect.Chan:
		return []string{name}
	}
	return found
}

// Goal: each byte of the world belongs to one group of the hash, to the person,
// or to nobody, and the hash knows which. Method: mark by reflection who owns
// each byte, then flip them one after the other: a byte of a hashed part changes
// its own group and no other; padding and the person's bytes change nothing.
func TestHashKnowsWhoseByteItIs(t *testing.T) {
	groupOf := map[string]string{
		"Heard": "hands and link", "Link": "hands and link", "Craft": "craft", "Sense": "sensors", "Sight": "camera",
		"Estimate": "estimate", "Safety": "watchman and path", "Path": "watchman and path", "Law": "law",
		"Inject": "injects", "Judge": "judge", "Bench": "bench", "Carry": "bench", "Prompt": "bench",
	}
	owner := make([]string, unsafe.Sizeof(sim.World{}))
	world := reflect.TypeFor[sim.World]()
	for i := range world.NumField() {
		f := world.Field(i)
		eachLeaf(f.Type, f.Name, f.Offset, func(name string, offset, size uintptr) {
			part, _, _ := strings.Cut(name, ".")
			for k := range size {
				owner[offset+k] = groupOf[part]
			}
		})
	}
	_, w, _ := hovering(t)
	before, bytes := w.Hash(), unsafe.Slice((*byte)(unsafe.Pointer(&w)), len(owner))
	counts := map[string]int{}
	for i, group := range owner {
		bytes[i] ^= 0x10
		changed := before.Differs(w.Hash())
		bytes[i] ^= 0x10
		counts[group]++
		if group == "" {
			require.Empty(t, changed, "byte %d", i)
		} else {
			require.Equal(t, []string{group}, changed, "byte %d", i)
		}
	}
	t.Logf("bytes: %v", counts)
	assert.Len(t, counts, len(sim.Groups)+1)
}
