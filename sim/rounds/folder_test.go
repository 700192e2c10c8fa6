package rounds_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/fraugster/parquet-go"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim/rounds"
	"lapwing/sim/trials"
)

// Goal: results do not depend on how many fly at the same time, nor on shards.
// Method: one worker, five, and three shards merged, compared byte for byte.
func TestSameBytes(t *testing.T) {
	c := small(t, nil)
	whole, dir := flown(t, c, t.TempDir(), rounds.Whole(), 1), t.TempDir()
	require.Equal(t, whole, flown(t, c, t.TempDir(), rounds.Whole(), 5))
	require.Equal(t, c.Len(), bytes.Count(whole, []byte("\n")))
	for k := range 3 {
		s := rounds.Shard{K: k + 1, Of: 3}
		flown(t, c, filepath.Join(dir, s.Dir()), s, 2)
	}
	out := filepath.Join(dir, "merged")
	head, err := rounds.Merge([]string{dir}, out)
	require.NoError(t, err)
	require.Equal(t, headOf(c, rounds.Whole()), head)
	require.Equal(t, whole, bytesOf(t, out))
	var outcomes rounds.Counter
	require.NoError(t, rounds.Each(out, func(r *trials.Result, _ []byte) error { outcomes.Add(r.Outcome); return nil }))
	assert.Positive(t, outcomes.Passed)
	assert.Equal(t, c.Len()/2, outcomes.Errored, "the lift runs into the limit")
}

// Goal: a journal torn at any byte loses nothing but the torn line, and the
// finished results are those of an unbroken run. Method: the lines of a run, cut
// at every length of two of them and at some others, then opened and finished.
func TestTornAnywhere(t *testing.T) {
	c := small(t, func(m *scenarios.Matrix) { m.Scenarios = m.Scenarios[:1]; m.Seeds = m.Seeds[:2] })
	whole := flown(t, c, t.TempDir(), rounds.Whole(), 1)
	lines := bytes.SplitAfter(whole, []byte("\n"))
	lines = lines[:len(lines)-1]
	journal := bytes.Join([][]byte{lines[3], lines[0], lines[5]}, nil)
	first, second := len(lines[3]), len(lines[3])+len(lines[0])
	for cut := 0; cut <= len(journal); cut++ {
		if cut > second && cut%37 != 0 && cut < len(journal)-2 {
			continue
		}
		dir := t.TempDir()
		h := headOf(c, rounds.Whole())
		require.NoError(t, rounds.WriteHead(dir, &h))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "journal.jsonl"), journal[:cut], 0o644))
		f, err := rounds.Open(dir, h)
		require.NoError(t, err)
		kept := bytes.Count(journal[:cut], []byte("\n"))
		require.Equal(t, c.Len()-kept, f.Left(), cut)
		require.Equal(t, cut >= first, f.Has(3), cut)
		for id, line := range lines {
			if !f.Has(id) {
				require.NoError(t, f.Append(id, line))
			}
		}
		require.NoError(t, f.Finish())
		f.Close()
		require.Equal(t, whole, bytesOf(t, dir), cut)
		require.NoFileExists(t, filepath.Join(dir, "journal.jsonl"))
	}
}

// Goal: a flipped bit costs that case and no other, and a line that was kept twice
// is only taken when it says the same. Method: a bit of each byte of a line turned;
// a line with another sound row for the same case.
func TestDamagedLines(t *testing.T) {
	c := small(t, func(m *scenarios.Matrix) { m.Scenarios = m.Scenarios[:1]; m.Seeds = m.Seeds[:1] })
	whole := flown(t, c, t.TempDir(), rounds.Whole(), 1)
	lines := bytes.SplitAfter(whole, []byte("\n"))
	h := headOf(c, rounds.Whole())
	open := func(journal ...[]byte) (*rounds.Folder, error) {
		dir := t.TempDir()
		require.NoError(t, rounds.WriteHead(dir, &h))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "journal.jsonl"), bytes.Join(journal, nil), 0o644))
		f, err := rounds.Open(dir, h)
		if err == nil {
			t.Cleanup(f.Close)
		}
		return f, err
	}
	for i := range len(lines[0]) - 1 {
		bad := bytes.Clone(lines[0])
		bad[i] ^= 4
		f, err := open(bad, lines[1])
		require.NoError(t, err)
		require.Equal(t, []bool{false, true, false}, []bool{f.Has(0), f.Has(1), f.Has(2)}, i)
		require.Positive(t, f.Dropped)
	}
	f, err := open(lines[0], lines[1], lines[0])
	require.NoError(t, err)
	assert.Equal(t, 1, f.Left())
	r, err := rounds.ParseLine(bytes.TrimSpace(lines[0]))
	require.NoError(t, err)
	r.EndS++
	other, err := rounds.Line(&r)
	require.NoError(t, err)
	_, err = open(lines[0], other)
	require.ErrorContains(t, err, "case 0 has two results")
}

// Goal: a folder is only gone on with for the same cases, by one process at a time.
func TestFolderRefuses(t *testing.T) {
	c := small(t, nil)
	dir, h := t.TempDir(), headOf(c, rounds.Whole())
	f, err := rounds.Open(dir, h)
	require.NoError(t, err)
	_, err = rounds.Open(dir, h)
	require.ErrorContains(t, err, "another process")
	f.Close()
	for words, change := range map[string]func(h *rounds.Head){"another matrix": func(h *rounds.Head) { h.Digest = "x" },
		"version 0": func(h *rounds.Head) { h.Program = "1" }, "shard 1/1": func(h *rounds.Head) { h.Shard.Of = 2 }} {
		other := h
		change(&other)
		_, err = rounds.Open(dir, other)
		require.ErrorContains(t, err, words)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, rounds.HeadFile), []byte("{}"), 0o644))
	_, err = rounds.Open(dir, h)
	require.ErrorContains(t, err, "format 1")
	other := small(t, func(m *scenarios.Matrix) { m.LimitTicks++ })
	assert.NotEqual(t, c.Digest, other.Digest)
}

// Goal: stopping leaves what was flown, and the next run goes on from there.
func TestStopped(t *testing.T) {
	c := small(t, func(m *scenarios.Matrix) { m.Scenarios = m.Scenarios[:1] })
	dir := t.TempDir()
	f, err := rounds.Open(dir, headOf(c, rounds.Whole()))
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	err = rounds.Run(ctx, c, f, 1, stop)
	require.ErrorIs(t, err, context.Canceled)
	require.Less(t, f.Left(), c.Len())
	require.Positive(t, f.Left())
	f.Close()
	whole := flown(t, c, dir, rounds.Whole(), 2)
	require.Equal(t, flown(t, c, t.TempDir(), rounds.Whole(), 1), whole)
}

// Goal: what cannot be put together is named. Method: a missing shard, one that
// stands twice, one that is not finished, one of another matrix, a damaged one.
func TestMergeRefuses(t *testing.T) {
	c := small(t, func(m *scenarios.Matrix) { m.Scenarios = m.Scenarios[:1]; m.Seeds = m.Seeds[:1] })
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	flown(t, c, at("a"), rounds.Shard{K: 1, Of: 3}, 1)
	flown(t, c, at("b"), rounds.Shard{K: 2, Of: 3}, 1)
	flown(t, c, at("b2"), rounds.Shard{K: 2, Of: 3}, 1)
	half, err := rounds.Open(at("c"), headOf(c, rounds.Shard{K: 3, Of: 3}))
	require.NoError(t, err)
	half.Close()
	other := small(t, func(m *scenarios.Matrix) { m.Scenarios = m.Scenarios[:1]; m.Seeds = m.Seeds[1:2] })
	flown(t, other, at("d"), rounds.Shard{K: 3, Of: 3}, 1)
	for _, x := range []struct {
		dirs []string
		want string
	}{
		{[]string{"a"}, "missing of 3 shards: 2, 3"},
		{[]string{"a", "b", "b2"}, "shard 2 of 3 stands twice: "},
		{[]string{"a", "b", "c"}, "shard 3 of 3 in " + at("c") + " is not finished"},
		{[]string{"a", "b", "d"}, "no part of the same results"},
		{[]string{"nowhere"}, "nowhere"},
	} {
		var dirs []string
		for _, d := range x.dirs {
			dirs = append(dirs, at(d))
		}
		_, err := rounds.Merge(dirs, at("out"))
		require.ErrorContains(t, err, x.want)
	}
	flown(t, c, at("c"), rounds.Shard{K: 3, Of: 3}, 1)
	text := bytesOf(t, at("c"))
	require.NoError(t, os.WriteFile(filepath.Join(at("c"), rounds.ResultsFile), text[:len(text)-9], 0o644))
	_, err = rounds.Merge([]string{at("a"), at("b"), at("c")}, at("out"))
	require.Error(t, err)
	require.NoFileExists(t, filepath.Join(at("out"), rounds.ResultsFile))
}

// Goal: failures, errors and skips are told apart, each with its command. Method:
// the XML read back by Go's reader, counts against the results.
func TestJUnit(t *testing.T) {
	c := small(t, nil)
	dir := t.TempDir()
	flown(t, c, dir, rounds.Whole(), 2)
	file := filepath.Join(dir, "junit.xml")
	require.NoError(t, rounds.WriteJUnit(dir, file))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	type words struct {
		Message string `xml:"message,attr"`
		Text    string `xml:",chardata"`
	}
	var got struct {
		Tests  int `xml:"tests,attr"`
		Errors int `xml:"errors,attr"`
		Suite  struct {
			Cases []struct {
				Failure, Error, Skipped *words
				Class                   string `xml:"classname,attr"`
			} `xml:"testcase"`
		} `xml:"testsuite"`
	}
	text = bytes.ReplaceAll(bytes.ReplaceAll(text, []byte("<error"), []byte("<Error")), []byte("</error"), []byte("</Error"))
	require.NoError(t, xml.Unmarshal(text, &got))
	assert.Equal(t, c.Len(), got.Tests)
	assert.Equal(t, c.Len()/2, got.Errors)
	require.Len(t, got.Suite.Cases, c.Len())
	last := got.Suite.Cases[c.Len()-1]
	require.NotNil(t, last.Error)
	assert.Equal(t, "it had not ended after 12000 ticks, the limit", last.Error.Message)
	assert.Equal(t, "Again: lapwing trials it --case 17 --out case-17", last.Error.Text)
	assert.Nil(t, last.Failure)
	assert.Contains(t, last.Class, "first-lift quad-500g own")
}

// Goal: the Parquet file holds what the lines hold. Method: read it back, with an
// axis of a sweep in it.
func TestParquet(t *testing.T) {
	c := small(t, func(m *scenarios.Matrix) {
		m.Scenarios, m.Seeds = m.Scenarios[:1], m.Seeds[:1]
		m.Sweep = trials.Sweep{Design: trials.Grid, Axes: []trials.Axis{{Of: trials.OfCraft, Key: "mass", From: -1, To: 1, Steps: 2}}}
	})
	dir := t.TempDir()
	flown(t, c, dir, rounds.Whole(), 2)
	require.NoError(t, rounds.WriteParquet(dir, filepath.Join(dir, "it.parquet")))
	file, err := os.Open(filepath.Join(dir, "it.parquet"))
	require.NoError(t, err)
	defer file.Close()
	r, err := goparquet.NewFileReader(file)
	require.NoError(t, err)
	require.EqualValues(t, c.Len(), r.NumRows())
	err = rounds.Each(dir, func(want *trials.Result, _ []byte) error {
		row, err := r.NextRow()
		if err != nil {
			return err
		}
		assert.EqualValues(t, want.ID, row["case"])
		assert.Equal(t, []byte(want.Pilot), row["pilot"])
		assert.Equal(t, want.EndS, row["end_s"])
		assert.Equal(t, want.Point[0].Value, row["sweep_craft_mass"])
		_, away := row["max_away_m"]
		assert.Equal(t, want.MaxAwayM != nil, away)
		return nil
	})
	require.NoError(t, err)
	assert.True(t, errors.Is(rounds.WriteParquet(dir, filepath.Join(dir, "nowhere", "it")), os.ErrNotExist))
}
