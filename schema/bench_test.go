package schema

import "testing"

// BenchmarkLoad reads a complete job; the schema is compiled once before.
func BenchmarkLoad(b *testing.B) {
	data := []byte(complete(b))
	load()
	b.ReportAllocs()
	for b.Loop() {
		Load("job.yaml", data)
	}
}
