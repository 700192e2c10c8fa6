// Package wasm flies a control law that is a WebAssembly module, in this
// process and sandboxed.
//
//  1. rewrite.go holds the module to the rules: no imports, nothing that changes
//     but its one memory and the stack pointer, at most 4 MiB
//  2. code.go puts a fuel gauge into its code, so that a law that runs away
//     traps at the same instruction on every machine
//  3. wazero compiles it (this file), and an instance answers each question
//     (act.go) through the three blocks of package guest in the module's memory
//  4. Save copies memory and stack pointer; a fork is another instance with them
//
// The fuel gauge was chosen before the runtime's own way of ending a call,
// which watches a clock, allocates in each call and ends a run at another place
// on another machine; and before a worker process, which cannot be forked. It
// costs about a nanosecond for each turn of a loop.
//
// It stands apart because it is the one place that knows a WebAssembly runtime.
package wasm

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"

	"lapwing/sim/control"
	"lapwing/sim/guest"
)

// needed are the names that a module exports.
var needed = []string{"memory", "law_version", "law_craft", "law_question", "law_answer", "law_start", "law_act"}

func missing(names []string) error {
	return fmt.Errorf("the module does not export %s", strings.Join(names, ", "))
}

// features are those of WebAssembly that a law may use: what is refused besides
// is refused in code.go.
const features = api.CoreFeaturesV2 &^ api.CoreFeatureSIMD

// Module is a compiled module. Several guests may run from it at once.
type Module struct {
	runtime  wazero.Runtime
	compiled wazero.CompiledModule
	hasStack bool
}

// Load checks and compiles a module. What is wrong with it is told in words.
func Load(module []byte) (*Module, error) {
	checked, err := rewrite(module)
	if err != nil {
		return nil, err
	}
	ctx := context.Background()
	config := wazero.NewRuntimeConfig().WithCoreFeatures(features).WithMemoryLimitPages(pagesAllowed).WithDebugInfoEnabled(false)
	m := &Module{runtime: wazero.NewRuntimeWithConfig(ctx, config), hasStack: checked.hasStack}
	if m.compiled, err = m.runtime.CompileModule(ctx, checked.bytes); err != nil {
		return nil, errors.Join(fmt.Errorf("the module is not valid: %w", err), m.Close())
	}
	for _, name := range needed[1:] {
		f, ok := m.compiled.ExportedFunctions()[name]
		if !ok || len(f.ParamTypes()) != 0 || len(f.ResultTypes()) != 1 || f.ResultTypes()[0] != api.ValueTypeI32 {
			return nil, errors.Join(fmt.Errorf("the module's %s is not a function without parameters that returns an i32", name), m.Close())
		}
	}
	return m, nil
}

// Close frees the module. No guest of it may run then.
func (m *Module) Close() error { return m.runtime.Close(context.Background()) }

// Start returns a guest that takes stage and has been told of the craft.
func (m *Module) Start(stage control.Stage, p *control.Params) (control.Guest, error) {
	g, err := m.instance(stage)
	if err != nil {
		return nil, err
	}
	if err := g.begin(p); err != nil {
		return nil, errors.Join(err, g.Close())
	}
	return g, nil
}

// instance returns a guest with fresh memory whose blocks are known.
func (m *Module) instance(stage control.Stage) (*law, error) {
	instance, err := m.runtime.InstantiateModule(context.Background(), m.compiled, wazero.NewModuleConfig().WithName("").WithStartFunctions())
	if err != nil {
		return nil, fmt.Errorf("the module cannot be started: %w", err)
	}
	g := &law{module: m, instance: instance, memory: instance.Memory(), stage: stage, act: instance.ExportedFunction("law_act")}
	g.fuel = instance.ExportedGlobal(fuelName).(api.MutableGlobal)
	if m.hasStack {
		g.stackPointer = instance.ExportedGlobal(stackName).(api.MutableGlobal)
	}
	return g, nil
}

// begin runs what a fresh instance needs before its first question.
func (g *law) begin(p *control.Params) error {
	if init := g.instance.ExportedFunction("_initialize"); init != nil {
		if err := g.call(init, "_initialize"); err != nil {
			return err
		}
	}
	version, err := g.number("law_version")
	if err != nil {
		return err
	}
	if version != guest.Version {
		return fmt.Errorf("the module speaks version %d of the blocks, this program speaks %d", int32(version), guest.Version)
	}
	craft, err := g.address("law_craft", guest.CraftSize)
	if err != nil {
		return err
	}
	if g.questionAt, err = g.address("law_question", guest.QuestionSize); err != nil {
		return err
	}
	if g.answerAt, err = g.address("law_answer", guest.ReplySize); err != nil {
		return err
	}
	block, _ := g.memory.Read(craft, uint32(guest.CraftSize))
	guest.PutCraft(block, g.stage, p)
	code, err := g.number("law_start")
	if err == nil && code != 0 {
		err = fmt.Errorf("the law refuses to start, with its number %d", int32(code))
	}
	return err
}

// address asks for the place of a block and checks that it lies in the memory.
func (g *law) address(name string, size int) (uint32, error) {
	at, err := g.number(name)
	if err != nil {
		return 0, err
	}
	if _, ok := g.memory.Read(at, uint32(size)); !ok || at == 0 {
		return 0, fmt.Errorf("the module's %s gives %d, where a block of %d bytes does not fit", name, at, size)
	}
	return at, nil
}
