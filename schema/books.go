package schema

import (
	"embed"
	"io/fs"
)

//go:embed rules/*.yaml
var books embed.FS

// Books returns the rule books that the program carries, one file each.
func Books() fs.FS {
	sub, err := fs.Sub(books, "rules")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	return sub
}
