package templates

import (
	"os"
	"testing"

	"soundwrit/internal/technique"
	"soundwrit/schema"
)

func BenchmarkMarkdown(b *testing.B) {
	file := "../testdata/jobs/plate-seam.yaml"
	data, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	job, _ := schema.Load(file, data)
	t := technique.Compute(job)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Markdown(files, t, drawings); err != nil {
			b.Fatal(err)
		}
	}
}
