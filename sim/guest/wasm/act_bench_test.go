package wasm

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// BenchmarkAct is one question and its answer, without anything else.
func BenchmarkAct(b *testing.B) {
	module, err := os.ReadFile("../../../testdata/laws/cascade.wasm")
	require.NoError(b, err)
	m, err := Load(module)
	require.NoError(b, err)
	defer m.Close()
	p := control.Params{RotorCount: 4, Mass: 0.5, Gravity: 9.8, FullVolts: 4.2}
	for i := range 4 {
		p.Top[i], p.Mix.Thrust[i] = 3, 0.25
	}
	g, err := m.Start(control.Whole, &p)
	require.NoError(b, err)
	in := control.Input{Belief: &estimate.Belief{QWB: kernel.Quat{W: 1}}, CellVolts: 4,
		Status: &safety.Status{MotorsOn: true, Response: hands.PositionHold}}
	var want control.Want
	var out control.Answer
	b.ReportAllocs()
	for b.Loop() {
		if err := g.Act(&in, &want, &out); err != nil {
			b.Fatal(err)
		}
	}
}
