package templates

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"reflect"
	"regexp"
	"strings"
	"text/template"
	tree "text/template/parse"
)

// Limits of templates of a house. Those that are attached to a document were
// written by who made the file, perhaps to tie up who looks at it. The largest
// document of ours takes a tenth of the steps, a sixth of the text and a
// sixteenth of the lines.
const (
	mostSteps    = 1 << 19 // actions and calls of functions in them
	mostWording  = 1 << 21 // bytes of all templates together
	mostText     = 1 << 21 // bytes that a document has
	mostLines    = 50_000  // that it has
	mostPrinted  = 1 << 16 // bytes that a function prints at once
	mostTogether = 1 << 15 // bytes of lines without an empty one between them, or of a row
	mostInside   = 64      // times that a template is called inside others
	mostHeading  = 500     // bytes of a heading, which each link to it repeats
	mostCells    = 40      // of a row
	mostBegun    = 8       // lists and cautions that one line begins
)

// budget is what the templates of a house may still use; nil where there are
// none, since the built-in ones know what they do.
type budget struct{ steps, text, inside int }

// limit gives templates that are to be read from a folder their budget, and the
// functions that keep to it.
func limit(folder fs.FS, all *template.Template) (*budget, error) {
	own := Own(folder)
	if len(own) == 0 {
		return nil, nil
	}
	size := 0
	for _, text := range own {
		size += len(text)
	}
	if size > mostWording {
		return nil, fmt.Errorf("the templates have more than %d MB", mostWording>>20)
	}
	b := &budget{steps: mostSteps, text: mostText}
	all.Funcs(b.functions())
	return b, nil
}

// count has every template count what it does.
func (b *budget) count(all *template.Template) {
	if b == nil {
		return
	}
	for _, one := range all.Templates() {
		if one.Tree != nil {
			counted(one.Root)
		}
	}
}

// to is a text as the templates write it.
func (b *budget) to(out io.Writer) io.Writer {
	if b == nil {
		return out
	}
	return limited{out, b}
}

type limited struct {
	out io.Writer
	*budget
}

// Write takes what a template writes.
func (l limited) Write(p []byte) (int, error) {
	if l.text -= len(p); l.text < 0 {
		return 0, errText
	}
	return l.out.Write(p)
}

var (
	errSteps  = fmt.Errorf("the templates go on for more than %d steps", mostSteps)
	errText   = fmt.Errorf("the templates print more than %d MB, or %d kB at once", mostText>>20, mostPrinted>>10)
	errInside = fmt.Errorf("a template is called inside itself, or inside more than %d others", mostInside)
)

// functions count what the templates do, and stand in the place of those of
// text/template that make a text longer at each call.
func (b *budget) functions() template.FuncMap {
	bounded := func(how func(...any) string) func(...any) (string, error) {
		return func(args ...any) (string, error) {
			if _, err := b.longest(args); err != nil {
				return "", err
			}
			return b.printed(how(args...))
		}
	}
	return template.FuncMap{
		"step": func(n int) (string, error) {
			if b.steps -= n; b.steps < 0 {
				return "", errSteps
			}
			return "", nil
		},
		"enter": func() (string, error) {
			if b.inside++; b.inside > mostInside {
				return "", errInside
			}
			return "", nil
		},
		"leave":    func() string { b.inside--; return "" },
		"print":    bounded(fmt.Sprint),
		"println":  bounded(fmt.Sprintln),
		"html":     bounded(template.HTMLEscaper),
		"js":       bounded(template.JSEscaper),
		"urlquery": bounded(template.URLQueryEscaper),
		"printf": func(format string, args ...any) (string, error) {
			longest, err := b.longest(append(args, format))
			if err != nil {
				return "", err
			}
			if longWidth.MatchString(format) {
				return "", errors.New("printf takes a width of three digits at most here, and none from an argument")
			}
			if strings.Count(format, "%")*(1000+longest) > 1<<24 {
				return "", errText
			}
			return b.printed(fmt.Sprintf(format, args...))
		},
	}
}

var longWidth = regexp.MustCompile(`%[-+# 0]*[0-9.]*(?:[*\[]|[0-9]{4})`)

// longest is the length of the longest argument. The view's parts, which may be
// large, are none.
func (b *budget) longest(args []any) (int, error) {
	longest := 0
	for _, a := range args {
		switch x := reflect.ValueOf(a); x.Kind() {
		case reflect.String:
			longest = max(longest, x.Len())
		case reflect.Bool, reflect.Int, reflect.Float64:
		default:
			return 0, errors.New("only a text or a number is printed by a function")
		}
	}
	if longest > mostPrinted {
		return 0, errText
	}
	return longest, nil
}

func (b *budget) printed(text string) (string, error) {
	if b.text -= len(text); b.text < 0 || len(text) > mostPrinted {
		return "", errText
	}
	return text, nil
}

var (
	begun  = regexp.MustCompile(`^(?:[ \t]*(?:>|[-+*][ \t]|\d+[.)][ \t]))*`)
	begins = regexp.MustCompile(`[>+*-]|\d+`)
)

// form looks for what takes those that read the text longer than its length.
func (b *budget) form(text string) error {
	if b == nil {
		return nil
	}
	if len(text) > mostText {
		return errText
	}
	n, together := 0, 0
	for line := range strings.Lines(text) {
		n++
		if together += len(line); line == "\n" || strings.HasPrefix(line, "|") {
			together = len(line)
		}
		switch {
		case n > mostLines:
			return fmt.Errorf("the templates write more than %d lines", mostLines)
		case strings.HasPrefix(line, "#") && len(line) > mostHeading:
			return fmt.Errorf("the templates write a heading of more than %d bytes", mostHeading)
		case strings.Count(line, "|") > mostCells:
			return fmt.Errorf("the templates write a row of more than %d cells", mostCells)
		case together > mostTogether:
			return fmt.Errorf("the templates write a paragraph of more than %d kB", mostTogether>>10)
		case len(begins.FindAllString(begun.FindString(line), mostBegun+1)) > mostBegun:
			return fmt.Errorf("the templates begin more than %d lists or cautions in one line", mostBegun)
		}
	}
	return nil
}

// counted puts a step before each action.
func counted(node tree.Node) {
	list, _ := node.(*tree.ListNode)
	if list == nil {
		return
	}
	var nodes []tree.Node
	for _, n := range list.Nodes {
		var before, after []tree.Node
		switch n := n.(type) {
		case *tree.ActionNode:
			before = called("step", n.Pos, calls(n.Pipe))
		case *tree.IfNode:
			before = called("step", n.Pos, calls(n.Pipe))
			counted(n.List)
			counted(n.ElseList)
		case *tree.RangeNode:
			before = called("step", n.Pos, calls(n.Pipe))
			counted(n.List)
			counted(n.ElseList)
			n.List.Nodes = append(called("step", n.Pos, 1), n.List.Nodes...)
		case *tree.WithNode:
			before = called("step", n.Pos, calls(n.Pipe))
			counted(n.List)
			counted(n.ElseList)
		case *tree.TemplateNode:
			before = append(called("step", n.Pos, calls(n.Pipe)), called("enter", n.Pos)...)
			after = called("leave", n.Pos)
		}
		nodes = append(append(append(nodes, before...), n), after...)
	}
	list.Nodes = nodes
}

// calls are the functions that an action calls at most, by its length: none has a
// name shorter than a letter, and something stands between two.
func calls(pipe *tree.PipeNode) int {
	if pipe == nil {
		return 1
	}
	return 1 + len(pipe.String())/2
}

// called is a call of one of the functions of a budget.
func called(name string, at tree.Pos, n ...int) []tree.Node {
	args := []tree.Node{tree.NewIdentifier(name).SetPos(at)}
	for _, x := range n {
		args = append(args, &tree.NumberNode{NodeType: tree.NodeNumber, Pos: at, IsInt: true, Int64: int64(x), Text: fmt.Sprint(x)})
	}
	pipe := &tree.PipeNode{NodeType: tree.NodePipe, Pos: at, Cmds: []*tree.CommandNode{{NodeType: tree.NodeCommand, Pos: at, Args: args}}}
	return []tree.Node{&tree.ActionNode{NodeType: tree.NodeAction, Pos: at, Pipe: pipe}}
}
