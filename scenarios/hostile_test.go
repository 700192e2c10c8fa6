package scenarios

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// endless counts how much of it was read.
type endless struct{ read, size int }

func (e *endless) Read(p []byte) (int, error) {
	if e.read >= e.size {
		return 0, io.EOF
	}
	for i := range p {
		p[i] = '#'
	}
	e.read += len(p)
	return len(p), nil
}

// Goal: a file of 100 MB is refused without being read to its end. Method: a
// stream that counts, and a sparse file on disk.
func TestLargeFilesAreRefused(t *testing.T) {
	stream := &endless{size: 100 << 20}
	_, err := CheckFrom("big.yaml", stream)
	require.ErrorContains(t, err, "the file is too large")
	assert.LessOrEqual(t, stream.read, 2*MaxSize)

	name := filepath.Join(t.TempDir(), "big.yaml")
	f, err := os.Create(name)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(100<<20))
	require.NoError(t, f.Close())
	_, err = Load(Disk(""), name)
	require.ErrorContains(t, err, "the file is too large")

	_, err = Check("big.yaml", make([]byte, MaxSize+1))
	assert.ErrorContains(t, err, "the file is too large")
}

// Goal: aliases that would expand to a billion values cost nothing. Method: the
// well-known construction, nine levels of nine; it must be refused at once.
func TestAliasBomb(t *testing.T) {
	var b strings.Builder
	b.WriteString("kind: room\nversion: 1\nl0: &l0 [x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 10; i++ {
		fmt.Fprintf(&b, "l%d: &l%d [%s]\n", i, i, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*l%d, ", i-1), 9), ", "))
	}
	_, err := Check("bomb.yaml", []byte(b.String()))
	var faults Faults
	require.ErrorAs(t, err, &faults)
	assert.LessOrEqual(t, len(faults), maxFaults)
	assert.ErrorContains(t, err, "an alias (*) stands here")
}

// Goal: many faults stay a list that a person can read.
func TestManyFaultsAreBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString("kind: room\nversion: 1\n")
	for i := range 5000 {
		fmt.Fprintf(&b, "k%d: 1\n", i)
	}
	_, err := Check("many.yaml", []byte(b.String()))
	var faults Faults
	require.ErrorAs(t, err, &faults)
	assert.Len(t, faults, maxFaults)
}

// FuzzRead checks that no text makes the reader panic, and that a text without
// faults gives a bundle that its documents rebuild.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"testdata/*.yaml", "testdata/broken/*.yaml", "files/*/*.yaml"} {
		names, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, name := range names {
			text, err := os.ReadFile(name)
			require.NoError(f, err)
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		kind, err := Check("fuzz.yaml", text)
		if err != nil {
			var faults Faults
			require.ErrorAs(t, err, &faults)
			require.NotEmpty(t, faults)
			require.NotEmpty(t, err.Error())
		}
		if kind != KindScenario {
			return
		}
		b, err := Load(single{Document{Kind: kind, Name: "it", File: "fuzz.yaml", Text: text}}, "it")
		if err != nil {
			return
		}
		again, err := LoadBundle(b.Documents)
		require.NoError(t, err)
		require.Equal(t, b.Drill, again.Drill)
	})
}
