package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"sync"
	"syscall"

	"soundwrit/internal/approval"
	"soundwrit/internal/sheets"
	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
	"soundwrit/templates"
)

type sheetsVerb struct {
	Master jobArg `embed:""`
	Welds  string `arg:"" help:"List of welds: CSV with a head; number and thickness, and diameter, length, line, joint, access, material, drawing where it has them."`
	Output string `short:"o" placeholder:"DIR" help:"Folder for the sheets; by default one named like the job, beside you."`
}

// Run writes a technique for each group of welds that one can cover, and an
// index in which every weld stands once. Exit code 1 says that a weld is not
// covered, or a row of the list was not read. A run that was stopped goes on where
// it was when it is started again.
func (v *sheetsVerb) Run(s *streams) error {
	data, err := v.Master.read(s.in)
	if err != nil {
		return err
	}
	t, findings, err := v.Master.technique(s)
	if err != nil {
		return err
	}
	if t == nil {
		s.show(findings, "Nothing was written.")
		return outcome(unusable)
	}
	list, err := readList(v.Welds)
	if err != nil {
		return err
	}
	welds, bad := sheets.Read(v.Welds, list)
	if len(welds) == 0 {
		s.show(bad, "Nothing was written: the list holds no weld that can be read.")
		return outcome(unusable)
	}
	name, dir := baseName(v.Master.Job), v.Output
	if dir == "" {
		dir = name
	}
	house := houseBooks(v.Master.folder(), t.Job.Codes.House)
	progress := s.progress("sizes worked out")
	made, left := sheets.Group(&sheets.Master{Text: data, Job: t.Job, House: house}, welds, progress.at)
	progress.end()

	stamp := approval.Digest([]byte(version + digestOf(schema.Books(), house) + digestOf(templates.Files(), nil)))
	if err := lay(dir, house); err != nil {
		return err
	}
	written, kept, err := writeSheets(s, dir, name, stamp, made, attachedBooks(house, isBook))
	if err != nil {
		return err
	}
	table, page, err := sheets.Index(name, t.Job.Document.Units == "in", templates.Of(t.Job), made, left)
	if err != nil {
		return err
	}
	if err := save(dir, []output{{name + "-index.csv", table}, {name + "-index.md", page}}); err != nil {
		return err
	}
	covered := 0
	for _, sheet := range made {
		covered += len(sheet.Welds)
	}
	s.show(bad, "")
	fmt.Fprintf(s.err, "%s in %s in %s; %d written, %d as before.", counted(covered, "weld"), counted(len(made), "sheet"), dir, written, kept)
	if len(left) > 0 {
		fmt.Fprintf(s.err, " Not covered: %s, see %s.", counted(len(left), "weld"), filepath.Join(dir, name+"-index.md"))
	}
	fmt.Fprintln(s.err)
	switch len(bad) {
	case 0:
	case 1:
		fmt.Fprintf(s.err, "1 row of %s was not read.\n", v.Welds)
	default:
		fmt.Fprintf(s.err, "%d rows of %s were not read.\n", len(bad), v.Welds)
	}
	if len(left) > 0 || hasError(bad) {
		return outcome(unmet)
	}
	return nil
}

// readList reads the list of welds.
func readList(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, cannotRead(path, err)
	case info.IsDir():
		return nil, &refusal{path + " is a folder, not a list of welds", "name the CSV file in it"}
	case info.Size() > sheets.MaxList:
		return nil, &refusal{path + " is larger than a list of welds can be", fmt.Sprintf("split it: at most %d MB are read", sheets.MaxList>>20)}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, cannotRead(path, err)
	}
	return data, nil
}

// A finished sheet leaves the digests of what it was made from and of its files,
// so that the next run can tell that it need not be made again.
type finished struct {
	Stamp string            `json:"stamp"` // program, rule books, wording
	Job   string            `json:"job"`
	Files map[string]string `json:"files"`
}

// writeSheets writes the sheets that are not there yet, side by side, each whole
// or not at all. An interrupt lets those begun be finished.
func writeSheets(s *streams, dir, name, stamp string, made []sheets.Sheet, books []render.File) (written, kept int, err error) {
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(stop)
	progress := s.progress("sheets written")
	defer progress.end()
	var failed error
	var guard sync.Mutex
	next := make(chan *sheets.Sheet)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for sheet := range next {
				fresh, err := writeSheet(dir, name+"-"+sheet.Name, stamp, sheet, books)
				guard.Lock()
				if err != nil && failed == nil {
					failed = err
				}
				if fresh {
					written++
				} else {
					kept++
				}
				progress.at(written+kept, len(made))
				guard.Unlock()
			}
		})
	}
	stopped := false
	for i := range made {
		guard.Lock()
		over := failed != nil
		guard.Unlock()
		if over {
			break
		}
		select {
		case <-stop:
			stopped = true
		case next <- &made[i]:
			continue
		}
		break
	}
	close(next)
	workers.Wait()
	if failed == nil && stopped {
		failed = &refusal{fmt.Sprintf("stopped: %d of %s stand in %s", written+kept, counted(len(made), "sheet"), dir), "run the same command again: it goes on where it was"}
	}
	return written, kept, failed
}

// lay puts the house books that the jobs name beside the jobs. It replaces none.
func lay(dir string, books []technique.HouseBook) error {
	for _, b := range books {
		path := filepath.Join(dir, filepath.FromSlash(b.Name))
		old, err := os.ReadFile(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			err = save(filepath.Dir(path), []output{{filepath.Base(path), b.Text}})
		case err == nil && !bytes.Equal(old, b.Text):
			err = &refusal{path + " is not the house book that the job names", "name another folder, with -o"}
		case err != nil:
			err = &saveError{path, err}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// writeSheet writes one technique, unless it is there already.
func writeSheet(dir, name, stamp string, sheet *sheets.Sheet, books []render.File) (fresh bool, err error) {
	mark := filepath.Join(dir, "."+name+".done")
	job := approval.Digest(sheet.Text)
	if isFinished(dir, mark, stamp, job) {
		return false, nil
	}
	files, err := render.Set{Technique: sheet.Technique, Wording: templates.Files(), Sources: append([]render.File{source(isJob, name+".yaml", sheet.Text)}, books...), Name: name, Program: version}.Files()
	if err != nil {
		return false, err
	}
	done := finished{stamp, job, map[string]string{}}
	outputs := []output{{name + ".yaml", sheet.Text}}
	for _, f := range files {
		outputs = append(outputs, output{f.Name, f.Data})
	}
	for _, o := range outputs {
		done.Files[o.name] = approval.Digest(o.data)
	}
	if err := save(dir, outputs); err != nil {
		return false, err
	}
	text, err := json.Marshal(done)
	if err != nil {
		return false, err
	}
	return true, save(dir, []output{{filepath.Base(mark), text}})
}

// isFinished reports whether a sheet stands as this run would write it.
func isFinished(dir, mark, stamp, job string) bool {
	text, err := os.ReadFile(mark)
	var done finished
	if err != nil || json.Unmarshal(text, &done) != nil || done.Stamp != stamp || done.Job != job || len(done.Files) == 0 {
		return false
	}
	for name, digest := range done.Files {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if errors.Is(err, fs.ErrNotExist) || err != nil || approval.Digest(data) != digest {
			return false
		}
	}
	return true
}
