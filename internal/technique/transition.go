package technique

import "soundwrit/internal/si"

// transitions refuses a wall that grows thicker inside the volume to be
// examined, whose section is computed for one thickness, or under the
// reinforcement.
func (s *sheet) transitions() {
	if !s.Section.Known() {
		return
	}
	from, to := s.Section.RootSpan()
	for _, p := range s.Section.Volume {
		from, to = min(from, p.X), max(to, p.X)
	}
	for _, t := range s.Section.Transitions {
		begins, least := t.Begins.X, to
		if t.Side == "A" {
			begins, least = -t.Begins.X, -from
		}
		if begins < least-1e-9 {
			s.problem("part.transition."+t.Side+".begins", "transition-in-volume",
				"the wall on side "+t.Side+" grows thicker inside the volume to be examined", s.mm(begins, si.Nearest),
				"at least "+s.mm(least, si.Up)+" from the centreline", "make the even part longer, or examine such a joint by another technique")
		}
	}
}
