package rounds

import (
	"context"
	"sync"
	"sync/atomic"
	"time"

	"lapwing/sim/trials"
)

// syncEvery is how much of the results a machine that stops may take with it.
const syncEvery = time.Second

// flownLine is a case on its way to the folder.
type flownLine struct {
	id   int
	line []byte
	err  error
}

// Run flies what the folder still lacks, workers at a time, and finishes it. The
// results do not depend on how many those are. noted is called after each case,
// from one goroutine. When ctx ends, cases that are being flown are kept and the
// rest is left for the next time; the error is that of ctx.
func Run(ctx context.Context, c *Cases, f *Folder, workers int, noted func()) error {
	if f.Left() == 0 {
		return f.Finish()
	}
	stop, cancel := context.WithCancel(ctx)
	defer cancel()
	lines := make(chan flownLine, workers)
	var next atomic.Int64
	var wait sync.WaitGroup
	todo := missing(f)
	for range workers {
		wait.Go(func() {
			for stop.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(todo) {
					return
				}
				lines <- flyLine(c, int(todo[i]))
			}
		})
	}
	go func() { wait.Wait(); close(lines) }()
	err := keep(f, lines, noted, cancel)
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return err
	}
	return f.Finish()
}

// missing lists the cases that a folder lacks: found before any is flown, because
// the folder is not to be asked while it is written.
func missing(f *Folder) (ids []int32) {
	for id := f.Head.Shard.K - 1; id < f.Head.Cases; id += f.Head.Shard.Of {
		if !f.Has(id) {
			ids = append(ids, int32(id))
		}
	}
	return ids
}

func flyLine(c *Cases, id int) flownLine {
	r := c.Fly(id)
	line, err := Line(&r)
	if err != nil { // a number that JSON cannot write
		r.Fail(err.Error())
		line, err = Line(&r)
	}
	return flownLine{id, line, err}
}

// keep appends lines as they come. The first that cannot be kept ends it.
func keep(f *Folder, lines <-chan flownLine, noted func(), cancel func()) (err error) {
	synced := time.Now()
	for l := range lines {
		if err != nil {
			continue // drained, so that nobody waits for ever
		}
		if err = l.err; err == nil {
			err = f.Append(l.id, l.line)
		}
		if err == nil && time.Since(synced) > syncEvery {
			err, synced = f.Sync(), time.Now()
		}
		if err != nil {
			cancel()
			continue
		}
		noted()
	}
	return err
}

// Counter counts outcomes.
type Counter struct{ Passed, Failed, Errored, Voided, Unscored int }

// Add counts one.
func (c *Counter) Add(o trials.Outcome) {
	switch o {
	case trials.Passed:
		c.Passed++
	case trials.Failed:
		c.Failed++
	case trials.Errored:
		c.Errored++
	case trials.Voided:
		c.Voided++
	default:
		c.Unscored++
	}
}
