package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"lapwing/sim/trials"
)

// tunedLaw is the name of the law that a tuned bundle carries where its scenario
// names none.
const tunedLaw = "tuned"

// Tuned returns the bundle at one point of a sweep. Numbers of the law are put
// into its file, those of the craft are moved by that part of the uncertainty
// stated there. As with Changed, the files are changed, so that a recording
// carries them. The error is Faults.
func (b *Bundle) Tuned(point []trials.Setting) (*Bundle, error) {
	if len(point) == 0 {
		return b, nil
	}
	docs := append([]Document(nil), b.Documents...)
	if b.LawName == "" {
		docs = append(docs[:3:3], append([]Document{emptyLaw()}, docs[3:]...)...)
	}
	for i := range docs {
		var change func(root *yaml.Node)
		switch docs[i].Kind {
		case KindLaw:
			change = func(root *yaml.Node) { tuneLaw(root, point) }
		case KindCraft:
			change = func(root *yaml.Node) { b.tuneCraft(root, point) }
		default:
			continue
		}
		var err error
		if docs[i].Text, err = rewritten(docs[i].Text, change); err != nil {
			return nil, err
		}
	}
	return LoadBundle(docs)
}

func emptyLaw() Document {
	law := fmt.Sprintf("kind: law\nversion: %d\ntitle: The built-in law, tuned\n", Version)
	return Document{Kind: KindLaw, Name: tunedLaw, File: tunedLaw, Text: []byte(law)}
}

// tuneLaw puts numbers into a law. A loop takes its bandwidth or its damping, so
// one put in drives the other out.
func tuneLaw(root *yaml.Node, point []trials.Setting) {
	for _, s := range point {
		if s.Of != trials.OfLaw {
			continue
		}
		loops := lookup(root, "loops")
		if loops == nil {
			put(root, "loops", &yaml.Node{Kind: yaml.MappingNode})
			loops = lookup(root, "loops")
		}
		if loop, ok := strings.CutSuffix(s.Key, "_bandwidth_rad_s"); ok {
			remove(loops, loop+"_damping")
		} else if loop, ok := strings.CutSuffix(s.Key, "_damping"); ok {
			remove(loops, loop+"_bandwidth_rad_s")
		}
		put(loops, s.Key, figure(s.Value))
	}
}

func remove(mapping *yaml.Node, key string) {
	for i := 0; i+1 < len(mapping.Content); i += 2 {
		if mapping.Content[i].Value == key {
			mapping.Content = append(mapping.Content[:i:i], mapping.Content[i+2:]...)
			return
		}
	}
}

// tuneCraft moves mass and inertia alike, the motors' lag, and the drag of frame
// and rotors, as the bands of the time available do.
func (b *Bundle) tuneCraft(root *yaml.Node, point []trials.Setting) {
	for _, s := range point {
		if s.Of != trials.OfCraft {
			continue
		}
		switch s.Key {
		case "mass":
			k := 1 + float64(s.Value*b.Uncertainty.Mass)
			scale(lookup(root, "mass_kg"), k)
			scale(lookup(root, "inertia"), k)
		case "motor_lag":
			scale(lookup(lookup(root, "motor"), "lag_s"), 1+float64(s.Value*b.Uncertainty.Lag))
		case "drag":
			k := 1 + float64(s.Value*b.Uncertainty.Drag)
			scale(lookup(root, "drag_area_m2"), k)
			scale(lookup(lookup(root, "motor"), "side_drag_n_s2_m"), k)
		default:
			panic("scenarios: no uncertainty " + s.Key)
		}
	}
}

// scale multiplies a number, or every number of a list or group.
func scale(n *yaml.Node, k float64) {
	switch n.Kind {
	case yaml.ScalarNode:
		if x, err := strconv.ParseFloat(n.Value, 64); err == nil {
			n.Value = strconv.FormatFloat(x*k, 'g', -1, 64)
		}
	case yaml.SequenceNode:
		for _, item := range n.Content {
			scale(item, k)
		}
	case yaml.MappingNode:
		for i := 1; i < len(n.Content); i += 2 {
			scale(n.Content[i], k)
		}
	}
}
