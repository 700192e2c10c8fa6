package identify

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

// table returns a sound log of n rows, one change made to it.
func table(n int, change func(lines []string)) string {
	lines := []string{strings.Join(fixedColumns, ",") + ",u1,u2,u3,u4"}
	for i := range n {
		lines = append(lines, fmt.Sprintf("%g,0,0,0.05,1,0,0,0,0,0,0,0,0,9.8,0,0,0,3.9,0,0,0,0", float64(i)/100))
	}
	if change != nil {
		change(lines)
	}
	return strings.Join(lines, "\n") + "\n"
}

func replaceIn(line int, old, new string) func([]string) {
	return func(lines []string) { lines[line-1] = strings.Replace(lines[line-1], old, new, 1) }
}

// Goal: every fault of a log is told with its place and what is allowed.
func TestReadTellsFaults(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"empty", "", "log.csv: the file is empty"},
		{"columns missing", table(300, replaceIn(1, "qx,qy,", "")), "log.csv:1:1: missing columns: qx, qy"},
		{"rotors missing", table(300, replaceIn(1, ",u2,u3,u4", ",a,b,c")), "log.csv:1:1: missing columns: u2, u3"},
		{"a column twice", table(300, replaceIn(1, "qy", "qx")), "log.csv:1:26: column qx stands twice, first as number 6"},
		{"no number", table(300, replaceIn(5, "9.8", "ten")), `log.csv:5:33: column fz_mps2: found "ten", allowed is a finite number`},
		{"not finite", table(300, replaceIn(7, "9.8", "NaN")), `log.csv:7:33: column fz_mps2: found "NaN", allowed is a finite number`},
		{"no cell voltage", table(300, replaceIn(9, "3.9", "-1")), `column cell_V: found "-1", allowed is a voltage from 0 to 60`},
		{"duty in per cent", table(300, replaceIn(9, "3.9,0", "3.9,80")), `column u1: found "80", allowed is a duty from 0 to 1`},
		{"a quaternion of length 0", table(300, replaceIn(4, "0.05,1,", "0.05,0,")), "log.csv:4:15: columns qw to qz: found a quaternion of length 0"},
		{"time stands still", table(300, replaceIn(6, "0.04", "0.03")), "log.csv:6:1: column t_s: found 0.03 after 0.03, allowed is a time that rises"},
		{"a short line", table(300, replaceIn(8, ",3.9", "")), "log.csv:8:1: this line has 21 columns, the first line has 22"},
		{"too short", table(50, nil), "log.csv: the log has 50 lines of numbers; at least 200 are needed"},
		{"a stray quotation mark", table(300, replaceIn(3, "9.8", `9"8`)), "log.csv:3:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read("log.csv", strings.NewReader(c.in))
			var faults Faults
			require.ErrorAs(t, err, &faults)
			require.Contains(t, err.Error(), c.want)
		})
	}
}

// Goal: all faults at once, and an end to them.
func TestReadTellsAllFaults(t *testing.T) {
	two := table(300, func(lines []string) {
		lines[3] = strings.Replace(lines[3], "9.8", "x", 1)
		lines[9] = strings.Replace(lines[9], "9.8", "y", 1)
	})
	_, err := Read("log.csv", strings.NewReader(two))
	require.Len(t, err, 2)
	all := table(300, func(lines []string) {
		for i := range lines[1:] {
			lines[i+1] = strings.Replace(lines[i+1], "9.8", "x", 1)
		}
	})
	_, err = Read("log.csv", strings.NewReader(all))
	require.Len(t, err, mostFaults+1)
}

// Goal: order of columns, further columns, spaces and a byte order mark do not
// matter; a disk error is told.
func TestReadTakesWhatIsSound(t *testing.T) {
	plain, err := Read("log.csv", strings.NewReader(table(300, nil)))
	require.NoError(t, err)
	require.Len(t, plain.Rows, 300)
	require.Equal(t, 4, plain.Rotors)
	require.Equal(t, 9.8, plain.Rows[0].ForceB.Z)

	turned := table(300, func(lines []string) {
		for i := range lines {
			cells := strings.Split(lines[i], ",")
			cells[0], cells[17] = cells[17], cells[0]
			lines[i] = strings.Join(cells, ", ") + ",more"
		}
		lines[0] = "\ufeff" + lines[0]
	})
	again, err := Read("log.csv", strings.NewReader(turned))
	require.NoError(t, err)
	require.Equal(t, plain, again)

	_, err = Read("log.csv", iotest.ErrReader(errors.New("disk gone")))
	require.ErrorContains(t, err, "disk gone")
}

// Goal: no text makes the reader or the fit panic.
func FuzzRead(f *testing.F) {
	f.Add(table(210, nil))
	f.Add(table(3, replaceIn(2, "9.8", "1e400")))
	f.Add("t_s,u1\n1,2\n")
	f.Fuzz(func(_ *testing.T, text string) {
		l, err := Read("log.csv", strings.NewReader(text))
		if err == nil {
			_, _ = Craft(l)
		}
	})
}
