package scenarios

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Goal: every file of the catalogue is sound, and every scenario loads with all
// that it refers to. Method: read them all.
func TestCatalogueLoads(t *testing.T) {
	for _, kind := range Kinds() {
		require.NotEmpty(t, Names(kind), kind)
		for _, name := range Names(kind) {
			t.Run(string(kind)+"/"+name, func(t *testing.T) {
				doc, err := Catalogue().Find(kind, name)
				require.NoError(t, err)
				got, err := Check(doc.File, doc.Text)
				require.NoError(t, err)
				require.Equal(t, kind, got)
				if kind == KindScenario {
					_, err := Load(Catalogue(), name)
					require.NoError(t, err)
				}
			})
		}
	}
}
