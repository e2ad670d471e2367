// Package tune proposes values for a job: it tries physical steps of the set-up,
// works each out as a whole and holds it against every rule, and keeps what is
// best by the objective. Nothing in it knows physics or codes: what it calls
// better is what the technique computes and the rule books answer. The same job
// gives the same proposals.
package tune

import (
	"fmt"
	"maps"
	"runtime"
	"slices"
	"strings"
	"sync"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// Request is a job, and what the search may do.
type Request struct {
	File  string
	Text  []byte
	House []technique.HouseBook
	Fixed []string // paths, or beginnings of paths, that keep their value
	Speed si.Speed // mean speed that must be possible; unknown: any
	First string   // objective after all rules are met: coverage, speed, data

	Progress func(tried int) // may be called from any goroutine, one at a time
}

// Measure is what one set of values comes to.
type Measure struct {
	Usable   bool     // can be computed with
	Unmet    []string // requirements not met, with the group
	Coverage si.Ratio
	Square   si.Ratio // least share of a fusion face met square; NaN where none is met
	Speed    si.Speed // highest mean that keeps the expected loss within the allowance, or else the limit
	Data     si.Bytes // of a metre of weld
	Time     si.Time  // of one weld, at the speed of the job
	Artefact si.Decibel
}

// Trial is a set of values with what it comes to.
type Trial struct {
	Edits   []schema.Edit // against the job, by path
	Measure Measure
}

// Result is what the search found.
type Result struct {
	Job      Trial   // the job as it stands
	Best     Trial   // the proposal
	Others   []Trial // trade-offs, none of which is worse in everything
	Binding  []Binding
	Bought   []Bought
	Conflict []Conflict // where no values meet every rule
	Tried    int
}

// Binding says why one proposed value is where it is: what its neighbours in the
// search come to.
type Binding struct{ Path, Value, Neighbour, Why string }

// Bought says what another value in the place of a fixed one would bring.
type Bought struct{ Path, Value, Other, What string }

// Conflict is a requirement that the proposal does not meet, and what is lost
// where it is met.
type Conflict struct {
	Rule  string
	Costs []string // requirements not met where this one is; nil where it is met nowhere
}

// search is one run.
type search struct {
	*Request
	job   *schema.Job
	known map[string]Trial
	guard sync.Mutex
	tried int
}

// rounds bounds how often all choices are gone through; two or three are usual.
const rounds = 4

// Run searches.
func Run(r *Request, job *schema.Job) *Result {
	s := &search{Request: r, job: job, known: map[string]Trial{}}
	start := s.try(nil)
	free, fixed := s.choices()
	best := s.climb(start, free)
	// From the job alone the search may end where no single step is better. It
	// begins again where the beams are widest, which leaves the places of the
	// probes free, and where two probes have moved together.
	for _, from := range []Trial{s.try(widest(free)), s.pairs(best, free)} {
		if other := s.climb(from, free); s.better(other.Measure, best.Measure) {
			best = other
		}
	}
	best = s.speed(best)
	best = s.smallest(best)
	result := &Result{Job: s.whole(start), Best: s.whole(best), Others: s.front(best)}
	for i := range result.Others {
		result.Others[i] = s.whole(result.Others[i])
	}
	best = result.Best
	result.Binding = s.binding(best, free)
	result.Bought = s.bought(best, fixed)
	result.Conflict = s.conflicts(best)
	result.Tried = s.tried
	return result
}

// climb takes the best step by each choice in turn until none is better.
func (s *search) climb(best Trial, free []choice) Trial {
	for range rounds {
		before := best
		for _, c := range free {
			best = s.step(best, c)
		}
		if !s.better(best.Measure, before.Measure) {
			break
		}
	}
	return best
}

// widest opens the beams as far as the wedges permit.
func widest(free []choice) []schema.Edit {
	var edits []schema.Edit
	for _, c := range free {
		switch {
		case strings.HasSuffix(c.path, ".angles.from"):
			edits = merged(edits, c.options[0])
		case strings.HasSuffix(c.path, ".angles.to"):
			edits = merged(edits, c.options[len(c.options)-1])
		}
	}
	return edits
}

// pairs moves each two probes together, in coarse steps.
func (s *search) pairs(best Trial, free []choice) Trial {
	const coarse = 7
	var fronts []choice
	for _, c := range free {
		if strings.HasSuffix(c.path, ".wedge_front") {
			fronts = append(fronts, c)
		}
	}
	from := Trial{merged(best.Edits, widest(free)), Measure{}}
	found := best
	for i := range fronts {
		for j := range i {
			grid := choice{}
			for _, a := range thinned(fronts[i].options, coarse) {
				for _, b := range thinned(fronts[j].options, coarse) {
					grid.options = append(grid.options, merged(a, b))
				}
			}
			found = s.stepFrom(found, from, grid)
		}
	}
	return found
}

// thinned keeps so many of a list, evenly spaced.
func thinned(list [][]schema.Edit, n int) [][]schema.Edit {
	if len(list) <= n {
		return list
	}
	var kept [][]schema.Edit
	for i := range n {
		kept = append(kept, list[i*(len(list)-1)/(n-1)])
	}
	return kept
}

// step is the best of a trial and its neighbours by one choice.
func (s *search) step(from Trial, c choice) Trial { return s.stepFrom(from, from, c) }

// stepFrom is the best of a trial and the neighbours of another.
func (s *search) stepFrom(best, from Trial, c choice) Trial {
	for _, t := range s.all(from, c) {
		if s.better(t.Measure, best.Measure) && (!c.beam || s.gains(t.Measure, best.Measure)) {
			best = t
		}
	}
	return best
}

// all works the options of a choice out, side by side, in their order.
func (s *search) all(from Trial, c choice) []Trial {
	trials := make([]Trial, len(c.options))
	next := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				trials[i] = s.try(merged(from.Edits, c.options[i]))
			}
		})
	}
	for i := range c.options {
		next <- i
	}
	close(next)
	workers.Wait()
	return trials
}

// merged adds edits to others; the later of one path holds.
func merged(edits []schema.Edit, more []schema.Edit) []schema.Edit {
	values := map[string]string{}
	for _, e := range slices.Concat(edits, more) {
		values[e.Path] = e.Value
	}
	var list []schema.Edit
	for _, path := range slices.Sorted(maps.Keys(values)) {
		list = append(list, schema.Edit{Path: path, Value: values[path]})
	}
	return list
}

// try works one set of values out, once.
func (s *search) try(edits []schema.Edit) Trial {
	key := fmt.Sprint(edits)
	s.guard.Lock()
	t, known := s.known[key]
	s.guard.Unlock()
	if known {
		return t
	}
	t = Trial{edits, s.measure(edits, technique.Sketch)}
	s.guard.Lock()
	defer s.guard.Unlock()
	if _, known := s.known[key]; !known {
		s.known[key] = t
		s.tried++
		if s.Progress != nil {
			s.Progress(s.tried)
		}
	}
	return t
}

// whole works a trial out once more as check does, with everything.
func (s *search) whole(t Trial) Trial {
	return Trial{t.Edits, s.measure(t.Edits, technique.Compute)}
}

// measure works a set of values out.
func (s *search) measure(edits []schema.Edit, compute func(*schema.Job, ...technique.HouseBook) *technique.Technique) Measure {
	text, err := schema.Set(s.Text, edits...)
	if err != nil {
		return Measure{}
	}
	job, findings := schema.Load(s.File, text)
	if job.Partial {
		return Measure{}
	}
	t := compute(job, s.House...)
	t.Findings = append(t.Findings, findings...)
	return s.of(t)
}

// of takes from a technique what is compared.
func (s *search) of(t *technique.Technique) Measure {
	m := Measure{Usable: true, Coverage: t.Coverage.Share, Square: si.Unknown[si.Ratio](), Artefact: si.Unknown[si.Decibel]()}
	number := func(id string) float64 {
		v, ok := t.Value(id)
		if !ok {
			return float64(si.Unknown[si.Ratio]())
		}
		return v.Q.SI
	}
	for _, f := range t.Findings {
		if f.Level == "error" {
			return Measure{}
		}
		if f.Open() {
			m.Unmet = append(m.Unmet, strings.TrimSpace(f.Rule+" "+f.Subject))
		}
	}
	for _, f := range t.Faces {
		if !f.Face.RootFace && !(f.Within >= m.Square) {
			m.Square = f.Within
		}
	}
	for _, g := range t.Groups {
		if v, ok := t.Value("groups." + g.Set.Name + ".artefact"); ok && !(si.Decibel(v.Q.SI) <= m.Artefact) {
			m.Artefact = si.Decibel(v.Q.SI)
		}
	}
	m.Speed = si.Speed(number("scan.fastest_mean"))
	if !si.Known(m.Speed) {
		m.Speed = si.Speed(number("scan.speed_limit"))
	}
	m.Data, m.Time = si.Bytes(number("scan.data_metre")), si.Time(number("scan.time"))
	if si.Known(s.Speed) && !(m.Speed >= s.Speed*(1-1e-9)) {
		m.Unmet = append(m.Unmet, "required speed")
	}
	slices.Sort(m.Unmet)
	m.Unmet = slices.Compact(m.Unmet)
	return m
}
