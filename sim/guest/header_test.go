package guest

import (
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the C header of testdata/laws anew")

const headerFile = "../../testdata/laws/lapwing_law.h"

// Goal: the header that people build against is the layout that is flown.
// Method: the committed file is the printed one. "go test -update" writes it anew.
func TestHeaderIsTheLayout(t *testing.T) {
	if *update {
		require.NoError(t, os.WriteFile(headerFile, []byte(Header()), 0o644))
	}
	text, err := os.ReadFile(headerFile)
	require.NoError(t, err)
	assert.Equal(t, Header(), string(text))
}
