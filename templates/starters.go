package templates

import (
	"embed"
	"io/fs"
	"strings"
)

//go:embed starters/*.yaml
var starters embed.FS

// Starter is a job to begin with.
type Starter struct {
	Kind    string // "plate-sectorial"
	Purpose string // one line
	Job     []byte
}

// Starters lists the starter jobs by kind. The first line of each is a comment
// that says what it is for.
func Starters() []Starter {
	names, err := fs.Glob(starters, "starters/*.yaml")
	if err != nil {
		panic(err) // the pattern is fixed
	}
	var list []Starter
	for _, name := range names {
		job, err := starters.ReadFile(name)
		if err != nil {
			panic(err) // the file is part of the program
		}
		purpose, _, _ := strings.Cut(string(job), "\n")
		list = append(list, Starter{
			Kind:    strings.TrimSuffix(strings.TrimPrefix(name, "starters/"), ".yaml"),
			Purpose: strings.TrimSpace(strings.TrimLeft(purpose, "# ")),
			Job:     job,
		})
	}
	return list
}
