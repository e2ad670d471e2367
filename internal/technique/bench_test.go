package technique

import (
	"os"
	"path/filepath"
	"testing"

	"soundwrit/schema"
)

func BenchmarkCompute(b *testing.B) {
	for _, name := range []string{"plate-seam", "vessel-seam", "pipe-girth", "header-seam"} {
		text, err := os.ReadFile(filepath.Join(jobs, name+".yaml"))
		if err != nil {
			b.Fatal(err)
		}
		job, _ := schema.Load(name, text)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Compute(job)
			}
		})
	}
}
