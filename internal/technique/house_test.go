package technique

import (
	"strings"
	"testing"
)

const houseText = `book: harrow-bay-2
code: Harrow Bay Works rules
edition: "2"
title: House rules
kind: house
rules:
  - {id: slow, clause: "1", level: shall, asks: slow, why: so, sure: seen, source: own, answered_in: "11.2",
     value: scan.speed, at_most: 1 mm/s, message: too fast for this house, remedy: "go at {limit} or less"}
`

// A job that names a house book is not right without it: nobody may believe
// that its rules were asked.
func TestHouseBookIsAskedOrMissed(t *testing.T) {
	without, _ := read(t, "plate-seam", "\npart:\n", "\n  house: [a.yaml, b.yaml]\n\npart:\n")
	job := without.Job

	f := one(t, Compute(job, HouseBook{Name: "a.yaml", File: "jobs/a.yaml", Text: []byte(houseText)}), "house-unreadable")
	if f.Path != "codes.house.1" || f.At.Line < 2 || !strings.Contains(f.Message, "it was not read") {
		t.Errorf("the book that was not given: %+v", f)
	}

	other := strings.Replace(houseText, "harrow-bay-2", "client-1", 1)
	tech := Compute(job, HouseBook{Name: "a.yaml", File: "jobs/a.yaml", Text: []byte(houseText)}, HouseBook{Name: "b.yaml", File: "jobs/b.yaml", Text: []byte(other)})
	for _, rule := range []string{"harrow-bay-2/slow", "client-1/slow"} {
		if f := one(t, tech, rule); !f.Open() || f.Limit != "at most 1 mm/s" || f.Clause != "1" {
			t.Errorf("%s: %+v", rule, f)
		}
	}
	if len(tech.House) != 2 || tech.House[0].Cite() != "Harrow Bay Works rules, edition 2" {
		t.Errorf("house books %+v", tech.House)
	}

	tech = Compute(job, HouseBook{Name: "a.yaml", File: "a.yaml", Text: []byte(houseText)}, HouseBook{Name: "b.yaml", File: "b.yaml", Text: []byte(houseText)})
	if f := one(t, tech, "book-twice"); f.Path != "codes.house.1" {
		t.Errorf("two books of one id: %+v", f)
	}
}
