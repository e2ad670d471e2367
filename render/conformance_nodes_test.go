package render

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// node is an element of the structure as the file has it.
type node struct {
	ref, role string
	dict      map[string]any
	parent    *node
	kids      []*node
	marks     []markAt
	objects   []string // that can be pressed or filled in
}

// markAt is a piece of marked content.
type markAt struct {
	page string
	id   int
}

// nodes are the elements in the order in which they are read, by their roles
// after mapping.
func (f *pdfFile) nodes() []*node {
	root := f.dict(f.catalog()["/StructTreeRoot"])
	roles := f.dict(root["/RoleMap"])
	var all []*node
	var down func(v any, parent *node)
	down = func(v any, parent *node) {
		n := &node{dict: f.dict(v), parent: parent}
		n.ref, _ = v.(string)
		n.role, _ = n.dict["/S"].(string)
		for range 9 {
			if to, ok := roles[n.role].(string); ok {
				n.role = to
			}
		}
		n.role = strings.TrimPrefix(n.role, "/")
		if all = append(all, n); parent != nil {
			parent.kids = append(parent.kids, n)
		}
		page, _ := n.dict["/Pg"].(string)
		for _, k := range f.list(n.dict["/K"]) {
			d := f.dict(k)
			own, ok := d["/Pg"].(string)
			if !ok {
				own = page
			}
			if id, isNumber := f.at(k).(float64); isNumber {
				n.marks = append(n.marks, markAt{page, int(id)})
				continue
			}
			switch d["/Type"] {
			case "/MCR":
				n.marks = append(n.marks, markAt{own, int(f.number(d["/MCID"]))})
			case "/OBJR":
				ref, _ := d["/Obj"].(string)
				n.objects = append(n.objects, ref)
			default:
				down(k, n)
			}
		}
	}
	for _, top := range f.list(root["/K"]) {
		down(top, nil)
	}
	return all
}

// first is the first element of a role.
func (f *pdfFile) first(role string) *node {
	all := f.nodes()
	return all[slices.IndexFunc(all, func(n *node) bool { return n.role == role })]
}

// parents is the tree from numbers to elements.
func (f *pdfFile) parents() map[int]any {
	out := map[int]any{}
	nums := f.list(f.dict(f.dict(f.catalog()["/StructTreeRoot"])["/ParentTree"])["/Nums"])
	for i := 0; i+1 < len(nums); i += 2 {
		out[int(f.number(nums[i]))] = f.at(nums[i+1])
		if ref, ok := nums[i+1].(string); ok {
			out[int(f.number(nums[i]))] = ref
		}
	}
	return out
}

// enclosing is the marked content that an operation stands in, the outer first.
type enclosing []operation

func (a enclosing) artifact() bool {
	return slices.ContainsFunc(a, func(o operation) bool { return o.args[0] == "/Artifact" })
}

var markedID = regexp.MustCompile(`/MCID (\d+)`)

// id is the number of the marked content; -1 where it has none.
func (o operation) id() int {
	if len(o.args) == 2 {
		if props, ok := o.args[1].(rawDict); ok {
			if m := markedID.FindStringSubmatch(string(props)); m != nil {
				n, _ := strconv.Atoi(m[1])
				return n
			}
		}
	}
	return -1
}

// drawn calls with what draws on a page, and where that stands. At a beginning of
// marked content it stands in that too.
func (f *pdfFile) drawn(page string, visit func(o operation, in enclosing, y float64)) {
	all, _ := f.operations(page)
	var in enclosing
	y := 0.0
	for _, o := range all {
		switch o.name {
		case "BDC", "BMC":
			in = append(in, o)
			visit(o, in, y)
		case "EMC":
			if len(in) == 0 {
				visit(o, nil, y)
				continue
			}
			in = in[:len(in)-1]
		case "Td":
			y = o.args[1].(float64)
		case "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "Tj", "TJ", "'", "\"", "Do", "sh":
			visit(o, in, y)
		}
	}
	if len(in) > 0 {
		visit(operation{name: "end of page"}, in, y)
	}
}
