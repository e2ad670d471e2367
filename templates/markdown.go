// Package templates holds the wording of the document. It takes a computed
// technique and returns the written technique as Markdown, one template file a
// section, in the order of the file names. It computes nothing: numbers come
// from the technique by their ids, and a number that is not known is refused.
//
// A template sees only text that is escaped already. It may leave empty lines
// in tables and lists; the result is put in order afterwards.
package templates

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"text/template"

	"soundwrit/internal/technique"
)

//go:embed *.md
var files embed.FS

// Files returns the document's wording, one template a section.
func Files() fs.FS { return files }

// Figure is what the text needs to know of a drawing: the name it is called by,
// the line under it, what stands in for it where it cannot be seen, and what
// tells its drawing from another.
type Figure struct{ Name, Caption, Alt, Drawn string }

// Markdown writes the technique as one Markdown document, in the wording of a
// folder of templates: Files, or what House makes of it. A figure that is not
// among those given is left out. The error names the template, and the value
// or section that it lacks.
func Markdown(wording fs.FS, t *technique.Technique, figures []Figure) ([]byte, error) {
	return write(wording, t, figures, allSections, nil)
}

// Sheet writes the crew's sheet alone, to be handed out without the document.
func Sheet(wording fs.FS, t *technique.Technique, figures []Figure) ([]byte, error) {
	return write(wording, t, figures, crewSheet, nil)
}

// The templates of the whole document, and of the crew's sheet.
const (
	allSections = "*.md"
	crewSheet   = "annex-c.md"
)

// write executes those templates of a folder that have names of a pattern, in
// their order. earlier is what changed since an earlier revision; nil for none.
func write(folder fs.FS, t *technique.Technique, figures []Figure, which string, earlier *since) ([]byte, error) {
	tongue := Of(t.Job)
	v, err := see(t, tongue)
	if err != nil {
		return nil, fmt.Errorf("the technique cannot be written: %w", err)
	}
	v.Since = earlier
	names, err := fs.Glob(folder, which)
	if err != nil {
		return nil, err
	}
	all := template.New("").Funcs(functions(v, t, figures, tongue))
	limits, err := limit(folder, all)
	if err != nil {
		return nil, err
	}
	if all, err = parsed(folder, all, tongue); err != nil {
		return nil, err
	}
	limits.count(all)
	var out bytes.Buffer
	for _, name := range names {
		out.WriteString("\n\n")
		if err := all.ExecuteTemplate(limits.to(&out), name, v); err != nil {
			return nil, fault(err)
		}
	}
	text := out.String()
	if err = limits.form(text); err == nil {
		text, err = link(text, which != allSections, tongue)
	}
	if err == nil {
		err = limits.form(text)
	}
	if err == nil {
		text, err = tidy(text)
	}
	if err != nil {
		return nil, fmt.Errorf("templates: %w", err)
	}
	return []byte(text), nil
}

// parsed reads all templates of a folder, in the language of the document.
func parsed(folder fs.FS, all *template.Template, tongue *Tongue) (*template.Template, error) {
	names, err := fs.Glob(folder, "*.md")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		text, err := tongue.Wording(folder, name)
		if err != nil {
			return nil, err
		}
		if _, err := all.New(name).Parse(string(text)); err != nil {
			return nil, fault(err)
		}
	}
	if tongue != nil {
		for _, one := range all.Templates() {
			if one.Tree != nil {
				speak(one.Root)
			}
		}
	}
	return all, nil
}

// functions are the words a template may use beside the view.
func functions(v *view, t *technique.Technique, figures []Figure, tongue *Tongue) template.FuncMap {
	x := values{t, &printer{system: t.Job.Document.Units, tongue: tongue}}
	number := map[string]int{} // of the figures placed
	return template.FuncMap{
		// v prints a computed value by its id; row and optional print it as a table row.
		"v":        x.text,
		"row":      x.row,
		"optional": x.optional,
		"has":      x.has,
		// ref links a section by its number: ref "11.2", ref "A".
		"ref": func(section any) md {
			id := fmt.Sprint(section)
			return md(fmt.Sprintf("[%s](#section:%s)", tongue.Say(sectionName(id)), id))
		},
		// tally says how the requirements answered in some sections stand.
		"tally": func(sections ...string) md { return tally(t, sections...) },
		// figure places a drawing with its numbered caption.
		"figure": func(name any) md {
			for _, f := range figures {
				if string(esc(f.Name)) != fmt.Sprint(name) {
					continue
				}
				again := ""
				if number[f.Name] == 0 {
					number[f.Name] = len(number) + 1
				} else {
					again = tongue.Say(", again")
				}
				return md(fmt.Sprintf("![%s](%s)\n\n*%s %d%s. %s*", esc(f.Alt), destination(f.Name+".svg"), tongue.Say("Figure"), number[f.Name], again, esc(f.Caption)))
			}
			return ""
		},
		// stop ends a text of the job, or what stands for a missing one, as a sentence.
		"stop": func(text md) md { return stop(tongue.say(text)) },
		// say is what the templates of another language pass all through that they print.
		"say": tongue.printed,
		// brief shortens a text for a page that has to be one: brief 150 "11" .Scan.Datum.
		"brief": func(most int, section string, text any) md {
			return brief(tongue, most, section, text)
		},
		// zero tells whether a printed quantity is nothing.
		"zero": func(printed md) bool { return !strings.ContainsAny(string(printed), "123456789") },
		// inc counts a list from 1.
		"inc": func(i int) int { return i + 1 },
		// blanks repeats something for the empty rows of a form.
		"blanks": func(n int) []struct{} { return make([]struct{}, n) },
	}
}

// destination writes a file name so that a link can hold it.
func destination(name string) string {
	if strings.ContainsAny(name, " ()<>") {
		return "<" + strings.NewReplacer("<", `\<`, ">", `\>`).Replace(name) + ">"
	}
	return name
}
