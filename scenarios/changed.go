package scenarios

import (
	"fmt"
	"strconv"

	"go.yaml.in/yaml/v3"

	"lapwing/sim/control"
	"lapwing/sim/inject"
	"lapwing/sim/link"
)

// Changes are what is changed in a scenario before it is flown: how its throttle
// stick behaves, which depends on the hand that flies, and what makes a practice
// easier or harder. The zero value changes nothing.
type Changes struct {
	Throttle *control.Overrides // ThrottleKind and ThrottleMap of it; nil: as the law says
	Onset    float64            // factor on how hard each inject strikes, > 0; 0: as it is
	Wind     float64            // m/s, steady, along the room's y; 0: as it is
	Latency  float64            // s, more on the C2 link
}

// handLaw is the name of the law that a changed bundle carries where its scenario
// names none.
const handLaw = "throttle-of-this-hand"

// Changed returns the bundle with changes. The files are changed, not the values
// read from them, so that a recording carries them and can be flown and scored
// again from that alone. The error is Faults.
func (b *Bundle) Changed(ch Changes) (*Bundle, error) {
	docs := append([]Document(nil), b.Documents...)
	var err error
	if docs[0].Text, err = rewritten(docs[0].Text, func(root *yaml.Node) { ch.scenario(root, b.Link.LatencyTicks) }); err != nil {
		return nil, err
	}
	if ch.Throttle != nil {
		if docs, err = ch.law(docs); err != nil {
			return nil, err
		}
	}
	return LoadBundle(docs)
}

func rewritten(text []byte, change func(root *yaml.Node)) ([]byte, error) {
	var document yaml.Node
	if err := yaml.Unmarshal(text, &document); err != nil {
		return nil, err
	}
	change(document.Content[0])
	return yaml.Marshal(&document)
}

func (ch *Changes) scenario(root *yaml.Node, latency int64) {
	if injects := lookup(root, "injects"); injects != nil && ch.Onset > 0 {
		for _, item := range injects.Content {
			harden(item, ch.Onset)
		}
	}
	if ch.Wind != 0 {
		put(root, "wind_m_s", &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle,
			Content: []*yaml.Node{figure(0), figure(ch.Wind), figure(0)}})
	}
	if ch.Latency > 0 {
		group := lookup(root, "link")
		if group == nil {
			group = &yaml.Node{Kind: yaml.MappingNode}
			put(root, "link", group)
		}
		if latency == 0 {
			latency = link.Default().LatencyTicks
		}
		put(group, "latency_s", figure(float64(latency)/1000+ch.Latency))
	}
}

// harden multiplies how hard an inject strikes, within what its field allows.
func harden(item *yaml.Node, by float64) {
	word := lookup(item, "inject")
	if word == nil {
		return
	}
	kind, ok := inject.ParseKind(word.Value)
	f, has := severityField(kind)
	if !ok || !has {
		return
	}
	if at := lookup(item, f.fullName()); at != nil {
		if x, err := strconv.ParseFloat(at.Value, 64); err == nil {
			*at = *figure(min(max(x*by, f.min), f.max))
		}
	}
}

// law puts the throttle into the law that is among docs, or adds one.
func (ch *Changes) law(docs []Document) ([]Document, error) {
	throttle := &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{
		text("stick"), text(ch.Throttle.ThrottleKind.String()), text("direct_thrust"), text(ch.Throttle.ThrottleMap.String())}}
	for i := range docs {
		if docs[i].Kind != KindLaw {
			continue
		}
		var err error
		docs[i].Text, err = rewritten(docs[i].Text, func(root *yaml.Node) { put(root, "throttle", throttle) })
		return docs, err
	}
	law := fmt.Sprintf("kind: law\nversion: %d\ntitle: The throttle of the hand that flies\nthrottle:\n  stick: %s\n  direct_thrust: %s\n",
		Version, ch.Throttle.ThrottleKind, ch.Throttle.ThrottleMap)
	own := Document{Kind: KindLaw, Name: handLaw, File: handLaw, Text: []byte(law)}
	return append(docs[:3:3], append([]Document{own}, docs[3:]...)...), nil
}

func text(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s} }

func figure(x float64) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Value: strconv.FormatFloat(x, 'f', -1, 64)}
}

// put sets key of a mapping.
func put(mapping *yaml.Node, key string, value *yaml.Node) {
	if at := lookup(mapping, key); at != nil {
		*at = *value
		return
	}
	mapping.Content = append(mapping.Content, text(key), value)
}
