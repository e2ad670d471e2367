package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// Pair is two alike probes that face each other on one surface, one sending and
// one receiving longitudinal waves, so that what a flaw diffracts is timed.
//
// On the outside of a pipe the lateral wave goes along the chord between the exit
// points, straight under the surface: s is then half the chord, and depths count
// from the surface midway, under which the chord lies by its sagitta. Of places
// between chord and surface nothing is known, since each has a twin of the same
// time below the chord.
//
// In the bore of a pipe the radius counts negative, and so do the angle between
// two radii and the sagitta: the chord lies in the bore, over the surface. Sound
// goes straight to a place only where both legs clear the bore, and the first wave
// is one that creeps along the surface.
type Pair struct {
	Half    si.Length // half the distance between the probes' exit points, straight
	Sagitta si.Length // depth of the chord midway; zero on a flat surface, negative in a bore
	Radius  si.Length // of the surface; zero where it is flat, negative in a bore
	Speed   si.Speed  // longitudinal, in the part
	Pulse   si.Time   // length of the pulse
}

// PairAround returns a pair on the outside of a pipe, or with a negative radius in
// its bore, whose exit points are so far apart along the surface.
//
//	s = R sin φ, σ = R (1 − cos φ), φ = arc / (2 R)
//
// Valid: R ≠ 0, 0 < arc < π |R|; unknown otherwise.
// Source: chord and sagitta of a circle; paths summed in the plane in tofd_test.go.
func PairAround(arc, radius si.Length, speed si.Speed, pulse si.Time) Pair {
	p := Pair{Half: si.Unknown[si.Length](), Sagitta: si.Unknown[si.Length](), Radius: radius, Speed: speed, Pulse: pulse}
	if lean := arc / 2 / radius; arc > 0 && math.Abs(float64(lean)) < math.Pi/2 {
		half := math.Sin(float64(lean) / 2)
		p.Half, p.Sagitta = radius*si.Length(math.Sin(float64(lean))), 2*radius*si.Length(half*half)
	}
	return p
}

func (p Pair) known() bool {
	return p.Half > 0 && p.Speed > 0 && (p.Sagitta >= 0 || p.Radius < 0 && p.Sagitta < 0)
}

// Lean returns the angle between the radius at an exit point and that midway.
//
//	φ = asin(s / R), and 0 on a flat surface; negative in a bore
//
// Valid: known pairs, else NaN.
// Source: definition.
func (p Pair) Lean() si.Angle {
	if p.Radius == 0 {
		return 0
	}
	return si.Angle(math.Asin(float64(p.Half / p.Radius)))
}

// Meet returns the depth midway at which the rays that leave both exit points
// under a refracted angle meet.
//
//	s / tan α; on a pipe R (1 − sin α / sin(α + φ))
//
// Valid: 0 < α ≤ 90°, α + φ > 0 since the rays part otherwise, known pairs, else
// NaN; from outside the bore may lie before it.
// Source: geometry, law of sines; paths in the plane in tofd_test.go.
func (p Pair) Meet(angle si.Angle) si.Length {
	switch {
	case !(angle > 0 && angle <= math.Pi/2 && p.Half > 0):
		return si.Unknown[si.Length]()
	case p.Radius == 0:
		return p.Half / si.Length(angle.Tan())
	case !(angle+p.Lean() > 0):
		return si.Unknown[si.Length]()
	}
	return p.Radius * si.Length(1-angle.Sin()/(angle+p.Lean()).Sin())
}

// Lateral returns when the lateral wave comes, in the part alone.
//
//	t = 2 s / c
//
// Valid: known pairs, not in a bore, through which no straight way leads, else NaN.
// Source: geometry; published cases P214 and P215.
func (p Pair) Lateral() si.Time {
	if !p.known() || p.Radius < 0 {
		return si.Unknown[si.Time]()
	}
	return si.Time(2 * float64(p.Half) / float64(p.Speed))
}

// First returns the earliest time at which any wave comes, in the part alone: that
// of the lateral wave, and in a bore that of a longitudinal wave along the surface.
// The wave that creeps there is a little slower, and weaker the later it comes.
//
//	t = 2 s / c; in a bore t = 2 S / c, S = R φ
//
// Valid: known pairs, else NaN.
// Source: the shortest way around the bore; creeping waves after J. B. Keller,
// J. Opt. Soc. Am. 52 (1962) 116, from memory.
func (p Pair) First() si.Time {
	if p.Radius < 0 && p.known() {
		return si.Time(2 * float64(p.Radius) * float64(p.Lean()) / float64(p.Speed))
	}
	return p.Lateral()
}

// Clear returns the least depth that can be told so far across from midway: on a
// pipe under the chord, in its bore where both legs pass the bore.
//
//	0; on a pipe R − (R − σ) / cos(x / R), not over the surface; in its bore
//	|R| (1 / cos(|φ| + |x / R|) − 1)
//
// Valid: known pairs, |φ| + |x / R| < 90°, else NaN.
// Source: geometry, tangent of a circle; legs stepped through the plane in
// tofd_bore_test.go.
func (p Pair) Clear(across si.Length) si.Length {
	around := math.Abs(float64(across / p.Radius))
	switch {
	case !p.known() || p.Radius != 0 && !(around < math.Pi/2):
		return si.Unknown[si.Length]()
	case p.Radius == 0:
		return 0
	case p.Radius > 0:
		return max(0, p.Sagitta+(p.Radius-p.Sagitta)*si.Length(1-1/math.Cos(around)))
	}
	if around += math.Abs(float64(p.Lean())); !(around < math.Pi/2) {
		return si.Unknown[si.Length]()
	}
	return -p.Radius * si.Length(1/math.Cos(around)-1)
}

// Sight returns how far across from midway, along the surface, both probes see
// past the bore in which they stand; without a bound where they stand elsewhere.
//
//	|R| (acos(R / (R − d)) − |φ|)
//
// Valid: d not less than Clear midway, else NaN.
// Source: as Clear, of which it is the inverse.
func (p Pair) Sight(depth si.Length) si.Length {
	switch {
	case !(depth >= p.Clear(0)):
		return si.Unknown[si.Length]()
	case p.Radius >= 0:
		return si.Length(math.Inf(1))
	}
	return -p.Radius * si.Length(max(0, math.Acos(float64(p.Radius/(p.Radius-depth)))+float64(p.Lean())))
}

// sum is the length of the way over a place at a depth along the radius, whose
// foot on the surface lies so far from midway: straight from exit point to place
// to exit point.
func (p Pair) sum(depth, across si.Length) si.Length {
	x, y := across, depth-p.Sagitta
	if p.Radius != 0 {
		sin, cos := math.Sincos(float64(across / p.Radius))
		x, y = (p.Radius-depth)*si.Length(sin), p.Radius-(p.Radius-depth)*si.Length(cos)-p.Sagitta
	}
	return si.Length(math.Hypot(float64(p.Half+x), float64(y)) + math.Hypot(float64(p.Half-x), float64(y)))
}

// PairSeparation returns the distance between the exit points whose beam axes
// cross at a depth, along a surface of the given radius; zero stands for a flat
// one, and less for a bore.
//
//	2 s = 2 z tan α; on a pipe 2 S = 2 R (asin(R sin α / (R − z)) − α)
//
// Valid: z > 0, 0 < α < 90°, on the outside R sin α < R − z, else NaN.
// Source: geometry, law of sines; published cases P214 and P215, and paths in the
// plane in tofd_test.go.
func PairSeparation(depth si.Length, angle si.Angle, radius si.Length) si.Length {
	switch {
	case !(depth > 0 && angle > 0 && angle < math.Pi/2 && si.Known(radius)):
		return si.Unknown[si.Length]()
	case radius == 0:
		return 2 * depth * si.Length(angle.Tan())
	case radius > 0 && !(radius > depth):
		return si.Unknown[si.Length]()
	}
	return 2 * radius * si.Length(math.Asin(float64(radius/(radius-depth))*angle.Sin())-float64(angle))
}

// Time returns when the echo of a reflector midway between the probes comes, in
// the part alone; that of the thickness is the back-wall echo.
//
//	t = 2 √(s² + (d − σ)²) / c
//
// The wall midway gives the earliest echo of all places of its depth: in a bore
// each leg's length bends upwards as the place moves, as far as it clears the bore.
//
// Valid: d not less than Clear midway, which is σ on a pipe; s > 0, c > 0, else
// NaN. σ is zero on a flat surface, as below.
// Source: geometry; published cases P214 and P215, and tofd_bore_test.go.
func (p Pair) Time(depth si.Length) si.Time {
	if !(depth >= p.Clear(0)) {
		return si.Unknown[si.Time]()
	}
	return si.Time(2 * math.Hypot(float64(p.Half), float64(depth-p.Sagitta)) / float64(p.Speed))
}

// Depth returns the depth midway between the probes from which an echo comes
// at a time counted in the part alone: the inverse of Time.
//
//	d = σ + √((c t / 2)² − s²)
//
// Valid: t not before the lateral wave, in a bore not before the echo of the least
// depth that is clear, else NaN.
// Source: as Time.
func (p Pair) Depth(t si.Time) si.Length {
	path := float64(p.Speed) * float64(t) / 2
	if !p.known() || !(path >= float64(p.Half)) {
		return si.Unknown[si.Length]()
	}
	depth := p.Sagitta + si.Length(math.Sqrt((path-float64(p.Half))*(path+float64(p.Half))))
	if p.Radius < 0 && !(depth >= p.Clear(0)) {
		return si.Unknown[si.Length]()
	}
	return depth
}

// SurfaceDeadZone returns the depth down to which the lateral wave hides what
// is midway between the probes: its echo comes within a pulse length.
//
//	σ + √(c² t_p² / 4 + s c t_p)
//
// In a bore it is what the bore itself hides, or the first wave if that is more. It
// is at least this: the wave that creeps may come a little later.
//
//	the larger of Clear midway and σ + √((S + c t_p / 2)² − s²)
//
// Valid: t_p > 0, s > 0, c > 0, else NaN.
// Source: recalled from the European standard on diffraction timing (EN 583-6),
// and geometry; published cases P219 and P220, and tofd_bore_test.go.
func (p Pair) SurfaceDeadZone() si.Length {
	if !(p.Pulse > 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	if d := p.Depth(p.First() + p.Pulse); si.Known(d) {
		return d
	}
	return p.Clear(0)
}

// WallDeadZone returns the height over the far surface in which the back-wall
// echo hides what is midway between the probes, in the form of the standard:
// taken behind the wall's echo. Before it the zone is a little higher: see
// HiddenByWall.
//
//	σ + √(c² (t_w + t_p)² / 4 − s²) − W
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
// an ellipse, which the wall touches midway. On a pipe x is the arc along the
// surface, and the height goes along the radius.
//
//	W − b √(1 − x² / a²), a = c (t_w − t_p) / 2, b² = a² − s²
//	on a pipe W − z, z the depth on the radius of x at which r₁ + r₂ = c (t_w − t_p)
//
// Valid: as WallDeadZone, and a pulse shorter than the time from the lateral
// wave to the back-wall echo; |x| < a; in a bore where a place over the wall is
// clear of it and early enough; else NaN.
// Source: geometry of the ellipse; checked against summed paths in tofd_test.go.
func (p Pair) HiddenByWall(thickness, across si.Length) si.Length {
	if !(p.Pulse > 0 && thickness > 0 && p.known()) {
		return si.Unknown[si.Length]()
	}
	before := p.Time(thickness) - p.Pulse
	if p.Radius != 0 {
		return thickness - p.lastBefore(before, thickness, across)
	}
	a, b := float64(p.Speed)*float64(before)/2, float64(p.Depth(before))
	if !(math.Abs(float64(across)) < a) {
		return si.Unknown[si.Length]()
	}
	return thickness - si.Length(b*math.Sqrt(1-float64(across)*float64(across)/(a*a)))
}

// lastBefore is the greatest depth on a radius of a pipe, above the wall and clear
// of chord or bore, from which an echo comes before a time.
func (p Pair) lastBefore(t si.Time, thickness, across si.Length) si.Length {
	far := si.Length(float64(p.Speed) * float64(t))
	high, low := p.Clear(across), thickness
	if !(p.sum(high, across) <= far) || !(p.sum(low, across) > far) {
		return si.Unknown[si.Length]()
	}
	for range 60 {
		if middle := (high + low) / 2; p.sum(middle, across) <= far {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// Resolution returns by how much deeper a second reflector has to lie for its
// echo to come a pulse length later.
//
//	σ + √(c² (t_d + t_p)² / 4 − s²) − d
//
// Valid: as SurfaceDeadZone, d as for Time, else NaN.
// Source: recalled from EN 583-6; published cases P226 to P228.
func (p Pair) Resolution(depth si.Length) si.Length {
	if !(p.Pulse > 0) {
		return si.Unknown[si.Length]()
	}
	return p.Depth(p.Time(depth)+p.Pulse) - depth
}

// TimingError returns the error of a depth that an error of the time makes.
//
//	δd = c δt √(z² + s²) / (2 z), z = d − σ
//
// Valid: d as for Time and over σ, δt ≥ 0, else NaN. It is linear: too small where
// δd is not small against d, as just under the surface.
// Source: derivative of Depth, recalled from EN 583-6; published cases P233 to P236.
func (p Pair) TimingError(depth si.Length, dt si.Time) si.Length {
	if !(depth >= p.Clear(0) && depth > p.Sagitta && dt >= 0) {
		return si.Unknown[si.Length]()
	}
	depth -= p.Sagitta
	return si.Length(float64(p.Speed) * float64(dt) * math.Hypot(float64(depth), float64(p.Half)) / (2 * float64(depth)))
}

// SeparationError returns the error of a depth that an error of the distance
// between the exit points makes, where times are counted from the lateral wave,
// and in a bore from the pulse.
//
//	δd = δs (sin φ + cos φ (√(z² + s²) − s) / z), z = d − σ, δs half the error of
//	the distance along the surface; φ = 0 on a flat one
//	in a bore δd = δs (sin |φ| + s cos φ / z)
//
// Valid: d as for Time and over σ, error ≥ 0, else NaN; linear.
// Source: derivative of the depth by s at a fixed delay after the lateral wave,
// recalled from EN 583-6; checked against differences in tofd_test.go.
func (p Pair) SeparationError(depth, separation si.Length) si.Length {
	if !(depth >= p.Clear(0) && depth > p.Sagitta && separation >= 0) {
		return si.Unknown[si.Length]()
	}
	depth -= p.Sagitta
	if p.Radius < 0 {
		return separation / 2 * (si.Length(-p.Lean().Sin()) + si.Length(p.Lean().Cos())*p.Half/depth)
	}
	rise := (si.Length(math.Hypot(float64(depth), float64(p.Half))) - p.Half) / depth
	return separation / 2 * (si.Length(p.Lean().Sin()) + si.Length(p.Lean().Cos())*rise)
}

// OffsetError returns by how much too deep a reflector seems that lies to the
// side of the middle between the probes.
//
//	δd = σ + √(((r₁ + r₂) / 2)² − s²) − d, r the distances to the exit points
//
// On a pipe d goes along the radius, x along the surface, and what lies little
// below the chord seems less deep than it is: δd is negative.
// Valid: d ≥ σ, in a bore |x| up to Sight, s > 0, else NaN; zero where both coincide.
// Source: geometry of the ellipse; published cases P230 to P232.
func (p Pair) OffsetError(depth, across si.Length) si.Length {
	if !(depth >= p.Clear(0)) || !(math.Abs(float64(across)) <= float64(p.Sight(depth))) {
		return si.Unknown[si.Length]()
	}
	s, mean := float64(p.Half), float64(p.sum(depth, across)/2)
	return p.Sagitta + si.Length(math.Sqrt(math.Max(0, (mean-s)*(mean+s)))) - depth
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
