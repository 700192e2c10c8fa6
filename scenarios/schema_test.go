package scenarios

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// compiled returns the published schema of a kind, ready to validate.
func compiled(t testing.TB, kind Kind) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema(kind)))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("it.json", doc))
	s, err := c.Compile("it.json")
	require.NoError(t, err)
	return s
}

// plainValue turns YAML into what a JSON reader would give. Dates stay text.
func plainValue(t testing.TB, text []byte) any {
	t.Helper()
	var root yaml.Node
	require.NoError(t, yaml.Unmarshal(text, &root))
	untime(&root)
	var v any
	require.NoError(t, root.Decode(&v))
	j, err := json.Marshal(v)
	require.NoError(t, err)
	got, err := jsonschema.UnmarshalJSON(bytes.NewReader(j))
	require.NoError(t, err)
	return got
}

func untime(n *yaml.Node) {
	if n.Tag == "!!timestamp" {
		n.Tag = "!!str"
	}
	for _, c := range n.Content {
		untime(c)
	}
}

// Goal: what the reader takes, the published schemas take too. Method: validate
// all files of the catalogue by an independent JSON Schema validator.
func TestSchemasTakeTheCatalogue(t *testing.T) {
	for _, kind := range Kinds() {
		s := compiled(t, kind)
		for _, name := range Names(kind) {
			doc, err := Catalogue().Find(kind, name)
			require.NoError(t, err)
			assert.NoError(t, s.Validate(plainValue(t, doc.Text)), name)
		}
	}
}

// Goal: what a schema can say, it says as the reader does. Method: broken files
// whose fault is one of a single field must be refused by the schema as well.
func TestSchemasRefuse(t *testing.T) {
	for _, name := range []string{"law-out-of-range", "law-in-radians", "list-too-short", "inject-without-rotor",
		"inject-unknown", "inject-without-kind", "missing-keys", "number-in-quotes", "out-of-range", "wrong-type",
		"vector-too-short", "vector-with-a-word", "nothing-there", "unknown-key", "wrong-unit", "unit-not-in-key",
		"version-newer", "procedures-bad-date", "many-at-once"} {
		text, err := os.ReadFile(filepath.Join("testdata/broken", name+".yaml"))
		require.NoError(t, err)
		kind := Kind(strings.Fields(string(text))[1])
		assert.Error(t, compiled(t, kind).Validate(plainValue(t, text)), name)
	}
}

// Goal: a schema is the same text every time it is asked for.
func TestSchemaIsStable(t *testing.T) {
	for _, kind := range Kinds() {
		assert.Equal(t, Schema(kind), Schema(kind))
		assert.Contains(t, string(Schema(kind)), `"$id": "urn:lapwing:`+string(kind)+`:1"`)
	}
	assert.Panics(t, func() { Schema("timetable") })
}
