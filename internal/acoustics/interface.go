package acoustics

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/si"
)

// Wave is the kind of a plane wave. A transverse one is polarised in the plane
// of incidence here; one polarised along the interface meets no other kind.
type Wave uint8

// The kinds of waves.
const (
	Longitudinal Wave = iota
	Transverse
)

// Medium is what a wave travels in. In a liquid the transverse speed is zero.
type Medium struct {
	Density                  si.Density
	Longitudinal, Transverse si.Speed
}

// Contact is what an interface passes on.
type Contact uint8

// The contacts. A wedge on couplant slips: the thin liquid carries pressure and
// no shear. Glued or welded faces are bonded.
const (
	Slip Contact = iota
	Bonded
)

// Interface is a flat boundary between two media.
type Interface struct {
	From, To Medium
	Contact  Contact
}

// Split is how an interface shares the energy that meets it: each is a share of
// the energy that arrives on an area of the interface.
type Split struct {
	ReflectedLongitudinal, ReflectedTransverse     si.Ratio
	TransmittedLongitudinal, TransmittedTransverse si.Ratio
}

// Transmitted returns the share that goes on as a wave of a kind.
// Valid: as Interface.Split.
// Source: as there.
func (s Split) Transmitted(wave Wave) si.Ratio {
	if wave == Longitudinal {
		return s.TransmittedLongitudinal
	}
	return s.TransmittedTransverse
}

// Split returns the shares in which a plane wave that meets the interface at
// the angle from its normal leaves it.
//
//	slip: u_z and σ_zz equal on both sides, σ_xz = 0 on both
//	bonded: u_x, u_z, σ_zz and σ_xz equal on both sides
//	share = ρ c² Re q |u|² over that of the incident wave, q² = 1/c² − (sin θ / c_in)²
//
// The way back has the same share, so that an echo's amplitude carries the share
// once: see ContactLoss. The amplitude of a reflected wave of the incident kind
// is the root of its share.
//
// Valid: plane waves, lossless media, 0 ≤ angle < 90°, densities > 0,
// longitudinal faster than transverse; a liquid cannot be bonded and sends no
// transverse wave. All NaN outside.
// Source: boundary conditions of linear elasticity, solved numerically, as in
// J. D. Achenbach, Wave Propagation in Elastic Solids (from memory);
// published_test.go, rows P084 to P130; energy and reciprocity in
// interface_test.go.
func (i Interface) Split(wave Wave, angle si.Angle) Split {
	unknown := si.Unknown[si.Ratio]()
	from, to := i.From, i.To
	arriving := float64(from.Speed(wave))
	if !(angle >= 0 && angle < math.Pi/2 && from.known() && to.known() && arriving > 0) ||
		i.Contact == Bonded && (from.Transverse == 0 || to.Transverse == 0) {
		return Split{unknown, unknown, unknown, unknown}
	}
	p := angle.Sin() / arriving
	// Stresses are divided by the first impedance, so that all rows weigh alike.
	z := float64(from.Density) * float64(from.Longitudinal)
	in := from.motion(wave, p, false, z)
	// The unknown waves: those before the interface, then those behind it. What
	// they move behind is taken to the left, hence the sign.
	var waves []motion
	leave := func(m Medium, wave Wave, slot int) {
		if m.Speed(wave) > 0 {
			w := m.motion(wave, p, slot < 2, z)
			w.slot = slot
			waves = append(waves, w)
		}
	}
	leave(from, Longitudinal, 0)
	leave(from, Transverse, 1)
	leave(to, Longitudinal, 2)
	leave(to, Transverse, 3)
	var rows [][]complex128
	row := func(of func(motion) complex128, before, behind bool) {
		var r []complex128
		for _, w := range waves {
			switch {
			case w.slot < 2 && before:
				r = append(r, of(w))
			case w.slot >= 2 && behind:
				r = append(r, -of(w))
			default:
				r = append(r, 0)
			}
		}
		if before {
			rows = append(rows, append(r, -of(in)))
		} else {
			rows = append(rows, append(r, 0))
		}
	}
	shear := func(m motion) complex128 { return m.xz }
	row(func(m motion) complex128 { return m.z }, true, true)
	row(func(m motion) complex128 { return m.zz }, true, true)
	if i.Contact == Bonded {
		row(func(m motion) complex128 { return m.x }, true, true)
		row(shear, true, true)
	} else {
		if from.Transverse > 0 {
			row(shear, true, false)
		}
		if to.Transverse > 0 {
			row(shear, false, true)
		}
	}
	var shares [4]si.Ratio
	for k, amplitude := range solve(rows) {
		size := cmplx.Abs(amplitude)
		shares[waves[k].slot] = si.Ratio(waves[k].energy * size * size / in.energy)
	}
	return Split{shares[0], shares[1], shares[2], shares[3]}
}

// ContactLoss returns what an echo loses by passing an interface out and back:
// its amplitude carries the share of energy that passes once, since the way
// back has the same share.
//
//	−20 log₁₀ (share of energy transmitted)
//
// Valid: as Interface.Split; where nothing passes the loss is infinite.
// Source: reciprocity, a property in interface_test.go.
func ContactLoss(transmitted si.Ratio) si.Decibel {
	if !(transmitted >= 0) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(-20 * math.Log10(float64(transmitted)))
}

func (m Medium) known() bool {
	return m.Density > 0 && m.Transverse >= 0 && m.Longitudinal > m.Transverse
}

// Speed returns that of a wave of a kind.
// Valid: all media; NaN where the speed is.
// Source: definition.
func (m Medium) Speed(wave Wave) si.Speed {
	if wave == Transverse {
		return m.Transverse
	}
	return m.Longitudinal
}

// motion is a wave of displacement one as an interface sees it: displacement,
// stress over iω and an impedance, the energy that it carries across, and its
// place in a Split.
type motion struct {
	x, z, zz, xz complex128
	energy       float64
	slot         int
}

// motion returns a wave with slowness p along the interface, going back from it
// or away behind it. Where it cannot travel it dies out away from the interface.
func (m Medium) motion(wave Wave, p float64, back bool, impedance float64) motion {
	c, rho := float64(m.Speed(wave)), float64(m.Density)
	q := cmplx.Sqrt(complex(1/(c*c)-p*p, 0)) // the root with Im q ≥ 0
	energy := rho * c * c * real(q)
	if back {
		q = -q
	}
	px := complex(p, 0)
	cc := complex(c, 0)
	x, z := px*cc, q*cc
	if wave == Transverse {
		x, z = q*cc, -px*cc
	}
	shear := float64(m.Transverse) * float64(m.Transverse) * rho
	lame := complex(rho*float64(m.Longitudinal)*float64(m.Longitudinal)-2*shear, 0)
	mu := complex(shear, 0)
	over := complex(1/impedance, 0)
	return motion{
		x: x, z: z, energy: energy,
		zz: (lame*(px*x+q*z) + 2*mu*q*z) * over,
		xz: mu * (q*x + px*z) * over,
	}
}

// solve solves a small system of equations, given with its right side as the
// last column, by elimination with the largest pivot.
func solve(rows [][]complex128) []complex128 {
	n := len(rows)
	for i := range n {
		best := i
		for k := i + 1; k < n; k++ {
			if cmplx.Abs(rows[k][i]) > cmplx.Abs(rows[best][i]) {
				best = k
			}
		}
		rows[i], rows[best] = rows[best], rows[i]
		for k := range n {
			if k == i {
				continue
			}
			f := rows[k][i] / rows[i][i]
			for j := i; j <= n; j++ {
				rows[k][j] -= f * rows[i][j]
			}
		}
	}
	x := make([]complex128, n)
	for i := range n {
		x[i] = rows[i][n] / rows[i][i]
	}
	return x
}
