package tune

import (
	"cmp"
	"math"
	"slices"
)

// Differences below these count as none: they are finer than what decides
// between two set-ups on paper.
const (
	sameShare = 0.0005 // of volume
	sameFace  = 0.01   // of a fusion face
	sameRate  = 0.01   // of a speed, or of an amount of data
)

// better reports whether one measure is better than another: can be computed
// with, meets more requirements, and then by the objective.
func (s *search) better(a, b Measure) bool { return s.compare(a, b) > 0 }

func (s *search) compare(a, b Measure) int {
	if a.Usable != b.Usable || !a.Usable {
		return truth(a.Usable) - truth(b.Usable)
	}
	coverage := cmp.Or(step(float64(a.Coverage), float64(b.Coverage), sameShare), step(float64(a.Square), float64(b.Square), sameFace))
	speed := step(math.Log(float64(a.Speed)), math.Log(float64(b.Speed)), sameRate)
	data := -step(math.Log(float64(a.Data)), math.Log(float64(b.Data)), sameRate)
	order := []int{coverage, speed, data}
	switch s.First {
	case "speed":
		order = []int{speed, coverage, data}
	case "data":
		order = []int{data, coverage, speed}
	}
	return cmp.Or(slices.Concat([]int{len(b.Unmet) - len(a.Unmet)}, order)...)
}

// gains reports whether a measure is better for what the weld gets, and not for
// speed or data alone: so much another beam must bring, since what it costs in
// width and strength is not measured.
func (s *search) gains(a, b Measure) bool {
	return len(a.Unmet) < len(b.Unmet) || step(float64(a.Coverage), float64(b.Coverage), sameShare) > 0 || step(float64(a.Square), float64(b.Square), sameFace) > 0
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}

// step is +1 where a is larger by more than a step, -1 where it is smaller. What
// is not known is less than anything.
func step(a, b, than float64) int {
	switch {
	case math.IsNaN(a) || math.IsNaN(b):
		return truth(!math.IsNaN(a)) - truth(!math.IsNaN(b))
	case a > b+than:
		return 1
	case a < b-than:
		return -1
	}
	return 0
}

// mostOthers is how many trade-offs are shown.
const mostOthers = 6

// front lists the trials that meet as many requirements as the best and are not
// worse than another in everything: coverage, faces, speed, data. Of many, those
// that differ most in speed.
func (s *search) front(best Trial) []Trial {
	var all []Trial
	for _, t := range s.known {
		if t.Measure.Usable && len(t.Measure.Unmet) == len(best.Measure.Unmet) {
			all = append(all, t)
		}
	}
	axes := func(m Measure) [4]float64 {
		return [4]float64{float64(m.Coverage), float64(m.Square), float64(m.Speed), -float64(m.Data)}
	}
	slices.SortFunc(all, func(a, b Trial) int {
		return cmp.Or(cmp.Compare(b.Measure.Speed, a.Measure.Speed), cmp.Compare(b.Measure.Coverage, a.Measure.Coverage),
			cmp.Compare(b.Measure.Square, a.Measure.Square), cmp.Compare(a.Measure.Data, b.Measure.Data), cmp.Compare(len(a.Edits), len(b.Edits)), cmp.Compare(key(a), key(b)))
	})
	var front []Trial
	for _, t := range all {
		beaten := slices.ContainsFunc(all, func(o Trial) bool { return dominates(axes(o.Measure), axes(t.Measure)) })
		same := slices.ContainsFunc(front, func(o Trial) bool {
			a, b := o.Measure, t.Measure
			return step(float64(a.Coverage), float64(b.Coverage), sameShare) == 0 && step(float64(a.Square), float64(b.Square), sameFace) == 0 &&
				step(math.Log(float64(a.Speed)), math.Log(float64(b.Speed)), sameRate) == 0 && step(math.Log(float64(a.Data)), math.Log(float64(b.Data)), sameRate) == 0
		})
		if !beaten && !same {
			front = append(front, t)
		}
	}
	if len(front) > mostOthers {
		var spread []Trial
		for i := range mostOthers {
			spread = append(spread, front[i*(len(front)-1)/(mostOthers-1)])
		}
		front = spread
	}
	return front
}

func dominates(a, b [4]float64) bool {
	more := false
	for i := range a {
		if a[i] < b[i] {
			return false
		}
		more = more || a[i] > b[i]
	}
	return more
}
