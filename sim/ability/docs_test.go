package ability_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/sim/control"
)

const (
	hexaBegin = "<!-- hexa: begin -->\n"
	hexaEnd   = "<!-- hexa: end -->"
)

// Goal: DEVELOPERS.md tells what is left of a hexarotor without each of its
// rotors as the program works it out, and that agrees with what is published:
// with neighbours that turn against each other no loss leaves a margin of hover
// with yaw; with paired spins four of six do (Du, Quan, Yang and Cai, J. Guid.
// Control Dyn. 38(5), 2015, from memory: controllable after the loss of rotors 1
// to 4 but not of 5 or 6 of the layout PPNNPN, which is this one with all spins
// turned about).
func TestHexaTable(t *testing.T) {
	want := "\n" + hexaTable(t, "hexa-alternating", 0) + "\n" + hexaTable(t, "hexa-paired", 4) + "\n"
	file := filepath.Join("..", "..", "DEVELOPERS.md")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(text), hexaBegin)
	require.True(t, found, "DEVELOPERS.md has no line %s", hexaBegin)
	have, after, found := strings.Cut(rest, hexaEnd)
	require.True(t, found, "DEVELOPERS.md has no line %s", hexaEnd)
	if os.Getenv("LAPWING_WRITE_DOCS") != "" {
		require.NoError(t, os.WriteFile(file, []byte(before+hexaBegin+want+hexaEnd+after), 0o644))
		return
	}
	if have != want {
		t.Error("the tables of hexarotors in DEVELOPERS.md are not what the program works out; write them anew with\n" +
			"    LAPWING_WRITE_DOCS=1 go test -run TestHexaTable ./sim/ability")
	}
}

// hexaTable returns the table of a craft and checks that yaw is kept after the
// loss of so many of its rotors, at both voltages.
func hexaTable(t *testing.T, name string, keepYaw int) string {
	file, place, _ := load(t, name)
	c := &file.Craft
	law := control.Design(c, &place, nil)
	var out strings.Builder
	var verdicts [2][]control.Verdict
	var lift [2]float64
	for k, volts := range []float64{c.Battery.FullVolts, 3.7} { // common practice: 3.7 V is what most of a pack is flown at
		all := control.Losses(c, &law, volts)
		verdicts[k], lift[k] = all[:c.RotorCount], control.ThrustToWeight(c, &law, volts)
		kept := 0
		for _, v := range verdicts[k] {
			if v.Outcome == control.WithYaw {
				kept++
			} else {
				require.Less(t, v.Yaw, 1e-9, "%s: no margin at all with yaw, not merely a small one", name)
			}
			require.NotEqual(t, control.Lost, v.Outcome, name)
		}
		require.Equal(t, keepYaw, kept, "%s at %v V", name, volts)
	}
	require.GreaterOrEqual(t, lift[0], 2.5, "%s at full cells", name)
	fmt.Fprintf(&out, "`%s`, margins as shares of the weight. Under load:\n\n", name)
	fmt.Fprintf(&out, "| lost rotor | spin | at %.1f V, thrust %.2f of the weight | at 3.7 V, %.2f |\n| --- | --- | --- | --- |\n", c.Battery.FullVolts, lift[0], lift[1])
	for i := range c.RotorCount {
		spin := "anticlockwise"
		if c.Rotors[i].Spin < 0 {
			spin = "clockwise"
		}
		fmt.Fprintf(&out, "| %s | %s | %s | %s |\n", file.RotorNames[i], spin, words(&verdicts[0][i]), words(&verdicts[1][i]))
	}
	return out.String()
}

// words says a verdict with the margin that belongs to it.
func words(v *control.Verdict) string {
	switch v.Outcome {
	case control.WithYaw:
		return fmt.Sprintf("%v, %.0f %%", v.Outcome, 100*v.Yaw)
	case control.YawGivenUp:
		return fmt.Sprintf("%v, %.0f %%", v.Outcome, 100*v.NoYaw)
	}
	return v.Outcome.String()
}
