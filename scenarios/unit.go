package scenarios

import "strings"

// unit is a key suffix, how it is written, and what one of it is in SI.
type unit struct {
	suffix string
	words  string
	si     float64
}

const (
	radiansPerDegree = 0.017453292519943295 // π/180
	radiansPerTurn   = 6.283185307179586    // 2π
)

// units are those that keys may carry. Angles are degrees here and radians
// everywhere else; rotor speeds are revolutions per minute, as on a data sheet.
var units = []unit{
	{"", "", 1},
	{"kg", "kg", 1},
	{"kg_m2", "kg·m²", 1},
	{"kg_m3", "kg/m³", 1},
	{"m", "m", 1},
	{"m2", "m²", 1},
	{"m_s", "m/s", 1},
	{"m_s2", "m/s²", 1},
	{"s", "s", 1},
	{"hz", "Hz", 1},
	{"deg", "degrees", radiansPerDegree},
	{"deg_s", "degrees per second", radiansPerDegree},
	{"rad_s", "rad/s", 1},
	{"rpm", "revolutions per minute", radiansPerTurn / 60},
	{"n_m", "N/m", 1},
	{"n_s_m", "N·s/m", 1},
	{"n_s2_m", "N per (rad/s · m/s)", 1},
	{"v", "V", 1},
	{"w", "W", 1},
	{"ohm", "Ω", 1},
	{"ah", "A·h", 3600},
	{"px", "pixels", 1},
	{"share", "", 1},
	{"rad_sqrt_s", "rad/√s", 1},                // rate noise: rad/s/√Hz
	{"rad_s_sqrt_s", "rad/s/√s", 1},            // rate bias walk: rad/s²/√Hz
	{"m_s_sqrt_s", "m/s/√s", 1},                // specific-force noise: m/s²/√Hz
	{"m_s2_sqrt_s", "m/s²/√s", 1},              // specific-force bias walk: m/s³/√Hz
	{"m_sqrt_s", "m/√s", 1},                    // wander of a position
	{"deg_sqrt_s", "deg/√s", radiansPerDegree}, // wander of an angle
	{"per_s", "1/s", 1},                        // rate of happening
	{"per_m2", "points per m²", 1},             // density on a surface
}

func unitOf(suffix string) unit {
	for _, u := range units {
		if u.suffix == suffix {
			return u
		}
	}
	panic("scenarios: no unit " + suffix)
}

// otherUnits are suffixes that people write and no key carries.
var otherUnits = []string{"g", "mg", "lb", "mm", "cm", "km", "ft", "in", "ms", "us", "min", "h", "rad", "turns",
	"km_h", "kt", "mph", "ft_s", "rev_s", "mv", "mw", "mah", "mohm", "percent", "pct", "g_cm2", "kg_mm2", "cm2", "mm2",
	"rad_s2", "n", "degrees", "seconds", "metres", "meters", "khz", "c"}

// baseOf returns key without a known unit at its end.
func baseOf(key string) string {
	longest := ""
	for _, u := range units {
		if u.suffix != "" && strings.HasSuffix(key, "_"+u.suffix) && len(u.suffix) > len(longest) {
			longest = u.suffix
		}
	}
	for _, u := range otherUnits {
		if strings.HasSuffix(key, "_"+u) && len(u) > len(longest) {
			longest = u
		}
	}
	if longest == "" {
		return key
	}
	return strings.TrimSuffix(key, "_"+longest)
}

// adviseKey says what to write instead of a key that is not known: the same
// quantity in its unit, or the nearest key.
func adviseKey(key string, fields []field) string {
	f := meant(key, fields)
	switch {
	case f == nil:
		return ""
	case sameQuantity(key, f) && f.unit != "":
		return "the unit is in the key: use " + f.fullName()
	case sameQuantity(key, f):
		return "this key has no unit: use " + f.name
	}
	return "did you mean " + f.fullName() + "?"
}

// meant returns the field that was probably meant by a key that is not known,
// or nil.
func meant(key string, fields []field) *field {
	names := make([]string, len(fields))
	for i := range fields {
		if sameQuantity(key, &fields[i]) {
			return &fields[i]
		}
		names[i] = fields[i].fullName()
	}
	return find(fields, nearest(key, names))
}

func sameQuantity(key string, f *field) bool { return key == f.name || baseOf(key) == f.name }

// Nearest returns the word of words that was probably meant by w, or "" when
// none is near.
func Nearest(w string, words []string) string { return nearest(w, words) }

// nearest returns the word of words that differs least from w, or "" when none
// is near.
func nearest(w string, words []string) string {
	if len(w) > 64 {
		return ""
	}
	best, least := "", 1+max(2, len(w)/3)
	for _, candidate := range words {
		if d := editDistance(strings.ToLower(w), candidate); d < least {
			best, least = candidate, d
		}
	}
	return best
}

// editDistance returns the number of single-letter changes between a and b
// (Levenshtein, "Binary codes capable of correcting deletions, insertions, and
// reversals", 1966, from memory).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
