// Package books holds the rule books that come with the program: one file a
// code and edition. They are data; package internal/rules reads them.
package books

import (
	"embed"
	"io/fs"
)

//go:embed *.yaml
var files embed.FS

// Files returns the folder of the books.
func Files() fs.FS { return files }
