package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// revisionArg is a job as compare takes it: a file, - for standard input, or
// REV:path, the file as it stands in a revision of a git repository.
type revisionArg string

// load reads and computes the job, as jobArg does.
func (a revisionArg) load(s *streams) ([]byte, *technique.Technique, []diag.Finding, error) {
	rev, file, inGit := a.inGit()
	if !inGit {
		return jobArg{string(a)}.load(s)
	}
	data, err := gitShow(rev, file, schema.MaxSize)
	if err != nil {
		return nil, nil, nil, err
	}
	t, findings := compute(string(a), data, func(names []string) []technique.HouseBook { return gitBooks(rev, file, names) })
	return data, t, findings, nil
}

// file is the name of the job's file, in a revision or not.
func (a revisionArg) file() string {
	if _, file, inGit := a.inGit(); inGit {
		return file
	}
	return string(a)
}

// house reads the house books of the job.
func (a revisionArg) house(names []string) []technique.HouseBook {
	if rev, file, inGit := a.inGit(); inGit {
		return gitBooks(rev, file, names)
	}
	return houseBooks(jobArg{string(a)}.folder(), names)
}

// gitBooks reads the house books that lie beside a job in a revision.
func gitBooks(rev, file string, names []string) []technique.HouseBook {
	at := func(name string) string { return rev + ":" + path.Join(path.Dir(file), name) }
	return booksBeside(names, at, func(name string) (text []byte, problem, remedy string) {
		text, err := gitShow(rev, path.Join(path.Dir(file), name), rules.MaxHouse)
		if err != nil {
			return nil, "revision " + rev + " has no such file beside the job", "check the name; it is relative to the job file"
		}
		return text, "", ""
	})
}

// inGit takes REV:path apart. A file of that very name, and a drive letter, come first.
func (a revisionArg) inGit() (rev, file string, yes bool) {
	rev, file, found := strings.Cut(string(a), ":")
	if !found || len(rev) < 2 || file == "" {
		return "", "", false
	}
	if _, err := os.Stat(string(a)); err == nil {
		return "", "", false
	}
	return rev, filepath.ToSlash(file), true
}

// gitShow reads a file, relative to the working folder, as a revision has it.
func gitShow(rev, file string, most int) ([]byte, error) {
	name := rev + ":" + file
	if strings.HasPrefix(rev, "-") {
		return nil, &refusal{fmt.Sprintf("%s names no revision", name), "write a branch, a tag or a commit before the colon"}
	}
	if !strings.HasPrefix(file, "/") {
		file = "./" + file
	}
	var out, problem bytes.Buffer
	git := exec.Command("git", "show", rev+":"+strings.TrimPrefix(file, "/"))
	git.Stdout, git.Stderr = &out, &problem
	if err := git.Run(); err != nil {
		if problem.Len() == 0 {
			return nil, &refusal{fmt.Sprintf("%s cannot be read: git does not run here", name), "install git, or compare two files"}
		}
		what, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(problem.String()), "fatal: "), "\n")
		return nil, &refusal{fmt.Sprintf("%s cannot be read: %s", name, what), "name a revision that has this file, such as HEAD~1:" + strings.TrimPrefix(file, "./")}
	}
	if out.Len() > most {
		return nil, tooLarge(name)
	}
	return out.Bytes(), nil
}
