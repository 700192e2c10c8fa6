package scenarios

import "testing"

// BenchmarkLoad loads one scenario with all its files from the catalogue.
func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(Catalogue(), "jump-on-path"); err != nil {
			b.Fatal(err)
		}
	}
}
