package templates

import (
	"slices"
	"strings"
	"testing"
)

const beforeText = `# Seam

Intro stays.

## Record

| Rev | Change |
| --- | ------ |
| 0   | First  |

## 1 Scope

A sentence.
Another of the same paragraph.

- item one
- item two
- item three

> **Caution.** Hot.

> ### Not above 20
> mm/s

### 1.1 Gone

Text.

## 2 Data

![a section](section.svg)

*Figure 1. Section*

![a plan](plan.svg)

*Figure 2. Plan*

| Item | Value |
| ---- | ----: |
| a    |     1 |
| b    |     2 |
|      |       |
`

const afterText = `# Another seam

Intro stays.

## Record

| Rev | Change |
| --- | ------ |
| 0   | First  |
| 1   | Second |

## Changes since revision 0

Not looked at.

## 1 Scope

A sentence.
Another of the same paragraph, longer.

- item one
- item 2
- item three

> **Caution.** Cold.

> ### Not above 15
> mm/s

## 2 New

1. first
2. second

## 3 Data

![more](more.svg)

*Figure 1. More*

![a section](section.svg)

*Figure 2. Section*

![a plan](plan.svg)

*Figure 3. Plan*

| Item | Value |
| ---- | ----: |
| a    |     1 |
| b    |   2.5 |
|      |       |
`

// The marks that a person would set, comparing the two texts by eye. The plan
// is drawn otherwise, and the section is not.
func TestMarksStandWhereTextsDiffer(t *testing.T) {
	got, list := marked(beforeText, afterText, map[string]string{"section.svg": "s", "plan.svg": "p"},
		map[string]string{"section.svg": "s", "plan.svg": "q", "more.svg": "m"}, "Changes since revision 0")
	var lines []string
	for line := range strings.Lines(got) {
		if strings.Contains(line, Mark) {
			lines = append(lines, strings.TrimSpace(line))
		}
	}
	want := []string{
		"| ▌ 1 | Second |", "▌ A sentence.", "- ▌ item 2", "> ▌ **Caution.** Cold.", "> ### ▌ Not above 15", "1. ▌ first", "2. ▌ second",
		"▌ *Figure 1. More*", "▌ *Figure 3. Plan*", "| ▌ b  |   2.5 |",
	}
	if !slices.Equal(lines, want) {
		t.Errorf("marked:\n%s\nwant:\n%s", strings.Join(lines, "\n"), strings.Join(want, "\n"))
	}
	sections := []touched{{"Record", 1, 0, false}, {"1 Scope", 4, 0, false}, {"2 New", 2, 0, false}, {"3 Data", 3, 0, false}, {"1.1 Gone", 0, 1, true}}
	if !slices.Equal(list, sections) {
		t.Errorf("sections %v, want %v", list, sections)
	}
	for line := range strings.Lines(got) {
		if strings.HasPrefix(line, "#") && strings.Contains(line, Mark) {
			t.Errorf("a heading is marked, and links to it lead nowhere: %s", line)
		}
	}
}

func TestWhatIsTakenOutIsCounted(t *testing.T) {
	_, list := marked("## A\n\n- one\n- two\n- three\n", "## A\n\n- one\n", nil, nil, "")
	if want := []touched{{"A", 0, 2, false}}; !slices.Equal(list, want) {
		t.Errorf("%v, want %v", list, want)
	}
}

func TestSameTextHasNoMark(t *testing.T) {
	text := written(t, sample(), drawings)
	got, list := marked(text, text, nil, nil, "")
	if got != text || len(list) > 0 {
		t.Errorf("marks in what is the same: %v", list)
	}
}
