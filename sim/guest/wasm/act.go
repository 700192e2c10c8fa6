package wasm

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/tetratelabs/wazero/api"

	"lapwing/sim/control"
	"lapwing/sim/guest"
)

// law is an instance of a module: a control.Guest.
type law struct {
	module       *Module
	instance     api.Module
	memory       api.Memory
	stage        control.Stage
	act          api.Function
	fuel         api.MutableGlobal
	stackPointer api.MutableGlobal // nil where the module has none
	questionAt   uint32
	answerAt     uint32
	stack        [1]uint64
}

// Stage implements control.Guest.
func (g *law) Stage() control.Stage { return g.stage }

// Act implements control.Guest. It allocates nothing.
func (g *law) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	question, ok := g.memory.Read(g.questionAt, uint32(guest.QuestionSize))
	if !ok {
		return errBlockGone
	}
	guest.PutQuestion(question, g.stage, in, want)
	if err := g.call(g.act, "law_act"); err != nil {
		return err
	}
	if code := int32(g.stack[0]); code != 0 {
		return fmt.Errorf("the law gave up, with its number %d", code)
	}
	answer, ok := g.memory.Read(g.answerAt, uint32(guest.ReplySize))
	if !ok {
		return errBlockGone
	}
	return guest.ReadReply(answer, out)
}

var errBlockGone = errors.New("a block lies outside the module's memory")

// call calls a function with a full tank; its result stands in g.stack[0].
func (g *law) call(f api.Function, name string) error {
	g.fuel.Set(fuelForEachCall)
	if err := f.CallWithStack(context.Background(), g.stack[:]); err != nil {
		return g.trapped(name, err)
	}
	return nil
}

// trapped says in words how a call ended.
func (g *law) trapped(name string, err error) error {
	if int64(g.fuel.Get()) < 0 {
		return fmt.Errorf("%s ran away: it did not return within %d turns of its loops", name, fuelForEachCall)
	}
	what, _, _ := strings.Cut(err.Error(), "\n")
	what = strings.TrimPrefix(what, "wasm error: ")
	return fmt.Errorf("%s trapped: %s", name, what)
}

// number calls a function that returns a number.
func (g *law) number(name string) (uint32, error) {
	if err := g.call(g.instance.ExportedFunction(name), name); err != nil {
		return 0, err
	}
	return uint32(g.stack[0]), nil
}

// Close implements control.Guest.
func (g *law) Close() error { return g.instance.Close(context.Background()) }

// saved is what an instance is made of between two calls.
type saved struct {
	module               *Module
	stage                control.Stage
	memory               []byte
	stackPointer         uint64
	questionAt, answerAt uint32
}

// Save implements control.Guest.
func (g *law) Save() (control.Saved, error) {
	s := &saved{module: g.module, stage: g.stage, questionAt: g.questionAt, answerAt: g.answerAt}
	all, _ := g.memory.Read(0, g.memory.Size())
	s.memory = append([]byte(nil), all...)
	if g.stackPointer != nil {
		s.stackPointer = g.stackPointer.Get()
	}
	return s, nil
}

// pageSize is that of WebAssembly's memory (bytes).
const pageSize = 1 << 16

// Start implements control.Saved.
func (s *saved) Start() (control.Guest, error) {
	g, err := s.module.instance(s.stage)
	if err != nil {
		return nil, err
	}
	if more := uint32(len(s.memory)) - g.memory.Size(); more > 0 {
		g.memory.Grow(more / pageSize)
	}
	g.memory.Write(0, s.memory)
	if g.stackPointer != nil {
		g.stackPointer.Set(s.stackPointer)
	}
	g.questionAt, g.answerAt = s.questionAt, s.answerAt
	return g, nil
}
