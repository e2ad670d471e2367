package render

import (
	"fmt"
	"strings"
	"testing"
)

// In the two columns of the contents a chapter stands over its first section,
// wherever the columns divide; nothing is left out, and all is within the margins.
func TestContentsKeepChaptersWithTheirSections(t *testing.T) {
	const chapterOver = 30.0 // mm to the right at most: the columns are further apart
	for chapters := 1; chapters < 60; chapters++ {
		b := "# Title\n\n<!-- contents -->\n\n<!-- page -->\n\n"
		for i := range chapters {
			b += fmt.Sprintf("## %d Chapter\n\ntext\n\n", i+1)
			for k := range (i + chapters) % 3 {
				b += fmt.Sprintf("### %d.%d Section\n\ntext\n\n", i+1, k+1)
			}
		}
		pages, s := placed(t, Document{Markdown: []byte(b)})
		for _, fault := range faults(pages, s) {
			t.Errorf("%d chapters: %s", chapters, fault)
		}
		var links []placedLink
		for _, p := range pages {
			links = append(links, p.links...)
		}
		if want := strings.Count(b, "## "); len(links) != want {
			t.Errorf("%d chapters: %d lines in the contents, want %d", chapters, len(links), want)
		}
		for i, k := range links {
			if i+1 < len(links) && strings.Contains(k.says, "Chapter") && strings.Contains(links[i+1].says, "Section") && links[i+1].x-k.x > chapterOver {
				t.Errorf("%d chapters: %q stands alone at the foot of its column", chapters, k.says)
			}
		}
	}
}
