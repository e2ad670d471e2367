package templates

import (
	"fmt"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

type equipment struct {
	Instrument                                         instrument
	Probes                                             []probe
	Wedges                                             []wedge
	Singles                                            []singleProbe
	Scanner, Drive, Guide, Encoder, Resolution, Liquid md
	Hand                                               bool
}

type instrument struct {
	Description, Channels, Sampling, SampleBytes, PulseRate, Rearm, Overhead, DataRate md
	Image, Software                                                                    md
	Measured                                                                           bool
	Rate, Set, Note                                                                    md
}

type probe struct {
	Name, Description, Frequency, Bandwidth, Elements, Pitch, Gap, Elevation md
}

type wedge struct {
	Name, Description, Angle, Velocity, Height, Front, Length, Width, Contour, Usable md
	Density, Transverse, Change, Attenuation                                          md
}

type block struct {
	Name, Description, Kind, Material, Thickness, Surface, Hole, Holes, Notch, Size md
	Known                                                                           bool
}

// seeEquipment shows the probes and wedges that a group uses, and no others.
func seeEquipment(p *printer, t *technique.Technique) equipment {
	e := t.Job.Equipment
	v := equipment{
		Instrument: seeInstrument(p, e.Instrument),
		Scanner:    or(esc(e.Scanner.Description), notStated), Drive: or(esc(e.Scanner.Drive), notStated),
		Guide: or(esc(e.Scanner.Guide), notStated), Encoder: or(esc(e.Encoder.Description), notStated),
		Resolution: p.given(lengthOf(e.Encoder.Resolution), lengthUnit, si.Nearest), Liquid: or(esc(e.Couplant), notStated),
		Hand: e.Scanner.Drive == "hand",
	}
	probes, wedges := map[string]bool{}, map[string]bool{}
	for _, g := range t.Job.Groups {
		probes[g.Probe], wedges[g.Wedge] = true, true
	}
	for _, one := range e.Probes {
		if probes[one.Name] {
			v.Probes = append(v.Probes, seeProbe(p, one))
		}
	}
	v.Singles = seeSingles(p, t.Job)
	for _, one := range e.Wedges {
		if wedges[one.Name] {
			v.Wedges = append(v.Wedges, seeWedge(p, one))
		}
	}
	return v
}

func seeInstrument(p *printer, i schema.Instrument) instrument {
	v := instrument{
		Description: or(esc(i.Description), notStated), Channels: countOf(i.Channels), SampleBytes: countOf(i.SampleBytes),
		Sampling:  p.given(frequencyOf(i.Sampling), megahertz, si.Nearest),
		PulseRate: p.given(frequencyOf(i.PulseRate), unit{metric: "kHz", decimals: 2}, si.Down),
		Rearm:     p.given(timeOf(i.Rearm), microsecond, si.Up), Overhead: p.given(timeOf(i.FrameOverhead), millisecond, si.Up),
		DataRate: p.given(si.Quantity{SI: float64(i.DataRate), Kind: si.KindByteRate}, unit{metric: "MB/s", decimals: 1}, si.Down),
		Image:    esc(i.Image),
		Software: esc(i.Software),
	}
	if m := i.Measured; m != nil {
		v.Measured = true
		v.Rate = p.needed("equipment.instrument.measured.rate", frequencyOf(m.Rate), unit{metric: "Hz", decimals: 2}, si.Down)
		v.Set = md(fmt.Sprintf("%d receiving elements, %d firings, %d groups", m.Elements, m.Firing, m.Groups))
		if m.GridPoints > 0 {
			v.Set += md(fmt.Sprintf(", %d grid points", m.GridPoints))
		}
		v.Note = esc(m.Note)
	}
	return v
}

func countOf(n int) md {
	if n <= 0 {
		return notStated
	}
	return md(fmt.Sprint(n))
}

func seeProbe(p *printer, one schema.Probe) probe {
	path := "equipment.probes." + one.Name
	return probe{
		Name: esc(one.Name), Description: or(esc(one.Description), notStated), Elements: countOf(one.Elements),
		Frequency: p.needed(path+".frequency", frequencyOf(one.Frequency), megahertz, si.Nearest),
		Bandwidth: p.given(ratioOf(one.Bandwidth), percentUnit, si.Nearest),
		Pitch:     p.needed(path+".pitch", lengthOf(one.Pitch), lengthUnit, si.Nearest),
		Gap:       p.length(one.Gap), Elevation: p.length(one.Elevation),
	}
}

func seeWedge(p *printer, w schema.Wedge) wedge {
	path := "equipment.wedges." + w.Name
	v := wedge{
		Name: esc(w.Name), Description: or(esc(w.Description), notStated),
		Angle:    p.needed(path+".angle", angleOf(w.Angle), angleUnit, si.Nearest),
		Velocity: p.needed(path+".velocity", speedOf(w.Velocity), velocityUnit, si.Nearest),
		Height:   p.needed(path+".first_element_height", lengthOf(w.FirstElementHeight), lengthUnit, si.Nearest),
		Front:    p.needed(path+".front_distance", lengthOf(w.FrontDistance), lengthUnit, si.Nearest),
		Length:   p.length(w.Length), Width: p.length(w.Width), Contour: "flat", Usable: notStated,
	}
	v.Density = p.given(densityOf(w.Density), densityUnit, si.Nearest)
	v.Transverse = p.given(speedOf(w.Transverse), velocityUnit, si.Nearest)
	v.Change = p.given(changeOf(w.VelocityChange), changeUnit, si.Nearest)
	if w.Medium == "water" {
		v.Transverse, v.Change = "none, since it is water", "that of water"
	}
	v.Attenuation = p.attenuation(w.Attenuation, w.AttenuationAt)
	if finite(float64(w.Contour)) {
		v.Contour = "for a diameter of " + p.length(w.Contour)
	}
	if finite(float64(w.UsableFrom)) && finite(float64(w.UsableTo)) {
		v.Usable = p.given(angleOf(w.UsableFrom), angleUnit, si.Up) + " to " + p.given(angleOf(w.UsableTo), angleUnit, si.Down)
	}
	return v
}

// seeBlock finds the reference block that the job names.
func seeBlock(p *printer, j *schema.Job) block {
	for _, b := range j.Equipment.Blocks {
		if b.Name != j.Reference.Block {
			continue
		}
		v := block{
			Name: esc(b.Name), Description: or(esc(b.Description), notStated), Kind: kindOfBlock(b.Kind),
			Material: or(esc(b.Material), notStated), Thickness: p.length(b.Thickness), Surface: "flat",
			Known: true,
		}
		if finite(float64(b.Diameter)) {
			v.Surface = "curved, " + p.length(b.Diameter) + " in diameter"
		}
		if finite(float64(b.HoleDiameter)) {
			v.Hole = p.length(b.HoleDiameter)
		}
		for i, d := range b.HoleDepths {
			if i > 0 {
				v.Holes += ", "
			}
			v.Holes += p.length(d)
		}
		if finite(float64(b.NotchDepth)) {
			v.Notch = p.length(b.NotchDepth) + " deep"
			if finite(float64(b.NotchLength)) {
				v.Notch += ", " + p.length(b.NotchLength) + " long"
			}
			if finite(float64(b.NotchWidth)) {
				v.Notch += ", " + p.length(b.NotchWidth) + " wide"
			}
		}
		if finite(float64(b.Length)) {
			v.Size = p.length(b.Length) + " long"
		}
		if finite(float64(b.Width)) {
			if v.Size != "" {
				v.Size += ", "
			}
			v.Size += p.length(b.Width) + " wide"
		}
		return v
	}
	return block{Name: or(esc(j.Reference.Block), notStated)}
}

func reflector(kind string) md {
	if kind == "side-drilled-hole" {
		return "side-drilled hole"
	}
	return or(esc(kind), notStated)
}

func kindOfBlock(kind string) md {
	switch kind {
	case "side-drilled-holes":
		return "side-drilled holes"
	case "holes-and-notches":
		return "side-drilled holes and notches"
	}
	return or(esc(kind), notStated)
}
