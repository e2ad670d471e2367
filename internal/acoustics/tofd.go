package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// Pair is two alike probes that face each other on one surface, one sending and
// one receiving longitudinal waves, so that what a flaw diffracts is timed.
type Pair struct {
	Half  si.Length // half the distance between the probes' exit points
	Speed si.Speed  // longitudinal, in the part
	Pulse si.Time   // length of the pulse
}

func (p Pair) known() bool { return p.Half > 0 && p.Speed > 0 }

// PairSeparation returns the distance between the exit points whose beam axes
// cross at a depth.
//
//	2 s = 2 z tan α
//
// Valid: z > 0, 0 < α < 90°, else NaN.
// Source: geometry; published cases P214 and P215.
func PairSeparation(depth si.Length, angle si.Angle) si.Length {
	if !(depth > 0 && angle > 0 && angle < math.Pi/2) {
		return si.Unknown[si.Length]()
	}
	return 2 * depth * si.Length(angle.Tan())
}

// Time returns when the echo of a reflector midway between the probes comes, in
// the part alone; that of depth zero is the lateral wave, that of the thickness
// the back-wall echo.
//
//	t = 2 √(s² + d²) / c
//
// Valid: d ≥ 0, s > 0, c > 0, else NaN; a flat surface.
// Source: geometry; published cases P214 and P215.
func (p Pair) Time(depth si.Length) si.Time {
	if !(depth >= 0 && p.known()) {
		return si.Unknown[si.Time]()
	}
	return si.Time(2 * math.Hypot(float64(p.Half), float64(depth)) / float64(p.Speed))
}

// Depth returns the depth midway between the probes from which an echo comes
// at a time counted in the part alone: the inverse of Time.
//
//	d = √((c t / 2)² − s²)
//
// Valid: t not before the lateral wave, else NaN.
// Source: as Time.
func (p Pair) Depth(t si.Time) si.Length {
	path := float64(p.Speed) * float64(t) / 2
	if !p.known() || !(path >= float64(p.Half)) {
		return si.Unknown[si.Length]()
	}
	return si.Length(math.Sqrt((path - float64(p.Half)) * (path + float64(p.Half))))
}

// SurfaceDeadZone returns the depth down to which the lateral wave hides what
// is midway between the probes: its echo comes within a pulse length.
//
//	√(c² t_p² / 4 + s c t_p)
//
// Valid: t_p > 0, s > 0, c > 0, else NaN.
// Source: recalled from the European standard on diffraction timing (EN 583-6),
// and geometry; published cases P219 and P220.
func (p Pair) SurfaceDeadZone() si.Length {
	if !(p.Pulse > 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	return p.Depth(p.Time(0) + p.Pulse)
}

// WallDeadZone returns the height over the far surface in which the back-wall
// echo hides what is midway between the probes, in the form of the standard:
// taken behind the wall's echo. Before it the zone is a little higher: see
// HiddenByWall.
//
//	√(c² (t_w + t_p)² / 4 − s²) − W
//
// Valid: as SurfaceDeadZone, W > 0, else NaN.
// Source: recalled from EN 583-6; published cases P222 to P224.
func (p Pair) WallDeadZone(thickness si.Length) si.Length {
	if !(p.Pulse > 0 && thickness > 0) {
		return si.Unknown[si.Length]()
	}
	return p.Depth(p.Time(thickness)+p.Pulse) - thickness
}

// HiddenByWall returns the height over the far surface in which an echo would
// not have ended before the back-wall echo begins, at a distance x across from
// midway between the probes. It grows quickly with x: places of one time lie on
// an ellipse, which the wall touches midway.
//
//	W − b √(1 − x² / a²), a = c (t_w − t_p) / 2, b² = a² − s²
//
// Valid: as WallDeadZone, and a pulse shorter than the time from the lateral
// wave to the back-wall echo; |x| < a; else NaN.
// Source: geometry of the ellipse; checked against summed paths in tofd_test.go.
func (p Pair) HiddenByWall(thickness, across si.Length) si.Length {
	if !(p.Pulse > 0 && thickness > 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	before := p.Time(thickness) - p.Pulse
	a, b := float64(p.Speed)*float64(before)/2, float64(p.Depth(before))
	if !(math.Abs(float64(across)) < a) {
		return si.Unknown[si.Length]()
	}
	return thickness - si.Length(b*math.Sqrt(1-float64(across)*float64(across)/(a*a)))
}

// Resolution returns by how much deeper a second reflector has to lie for its
// echo to come a pulse length later.
//
//	√(c² (t_d + t_p)² / 4 − s²) − d
//
// Valid: as SurfaceDeadZone, d ≥ 0, else NaN.
// Source: recalled from EN 583-6; published cases P226 to P228.
func (p Pair) Resolution(depth si.Length) si.Length {
	if !(p.Pulse > 0) {
		return si.Unknown[si.Length]()
	}
	return p.Depth(p.Time(depth)+p.Pulse) - depth
}

// TimingError returns the error of a depth that an error of the time makes.
//
//	δd = c δt √(d² + s²) / (2 d)
//
// Valid: d > 0, δt ≥ 0, else NaN. It is linear: too small where δd is not small
// against d, as just under the surface.
// Source: derivative of Depth, recalled from EN 583-6; published cases P233 to P236.
func (p Pair) TimingError(depth si.Length, dt si.Time) si.Length {
	if !(depth > 0 && dt >= 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	return si.Length(float64(p.Speed) * float64(dt) * math.Hypot(float64(depth), float64(p.Half)) / (2 * float64(depth)))
}

// SeparationError returns the error of a depth that an error of the distance
// between the exit points makes, where times are counted from the lateral wave.
//
//	δd = δs (√(d² + s²) − s) / d, δs half the error of the distance
//
// Valid: d > 0, error ≥ 0, else NaN; linear.
// Source: derivative of the depth by s at a fixed delay after the lateral wave,
// recalled from EN 583-6; checked against differences in tofd_test.go.
func (p Pair) SeparationError(depth, separation si.Length) si.Length {
	if !(depth > 0 && separation >= 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	return separation / 2 * (si.Length(math.Hypot(float64(depth), float64(p.Half))) - p.Half) / depth
}

// OffsetError returns by how much too deep a reflector seems that lies to the
// side of the middle between the probes.
//
//	δd = √(((r₁ + r₂) / 2)² − s²) − d, r the distances to the exit points
//
// Valid: d ≥ 0, s > 0, else NaN; zero where both coincide.
// Source: geometry of the ellipse; published cases P230 to P232.
func (p Pair) OffsetError(depth, across si.Length) si.Length {
	if !(depth >= 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	s, d, x := float64(p.Half), float64(depth), float64(across)
	mean := (math.Hypot(s+x, d) + math.Hypot(s-x, d)) / 2
	return si.Length(math.Sqrt(math.Max(0, (mean-s)*(mean+s)))) - depth
}

// WedgeEdges returns the refracted angles of a beam's edges, each refracted by
// itself from its half angle about the axis in the wedge. Where the upper edge
// is past the critical angle the beam reaches up to the surface: 90°.
//
//	sin α_l,u = (c / c_w) sin(β ∓ γ), sin β = (c_w / c) sin α
//
// Valid: 0 ≤ α < 90°, 0 ≤ γ < 90°, an axis that the wedge can send; NaN otherwise.
// Source: Snell's law for each edge, as a published course works it; published
// cases P058 to P060.
func WedgeEdges(angle, half si.Angle, wedge, part si.Speed) (lower, upper si.Angle) {
	axis := Refract(angle, part, wedge)
	if !si.Known(axis) || !(half >= 0 && half < math.Pi/2) {
		return si.Unknown[si.Angle](), si.Unknown[si.Angle]()
	}
	lower, upper = Refract(axis-half, wedge, part), Refract(axis+half, wedge, part)
	if !si.Known(upper) {
		upper = math.Pi / 2
	}
	return lower, upper
}
