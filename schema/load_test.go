package schema

import (
	"os"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soundwrit/internal/diag"
)

// complete is a valid job with almost every key.
func complete(t testing.TB) string {
	data, err := os.ReadFile("testdata/complete.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// edit replaces old by new, which must be there.
func edit(t testing.TB, text, old, new string) string {
	t.Helper()
	if strings.Count(text, old) == 0 {
		t.Fatalf("the job does not hold %q", old)
	}
	return strings.Replace(text, old, new, 1)
}

// place finds the mark ^ in a text, takes it out, and says where it was.
func place(t testing.TB, text string) (string, diag.Position) {
	t.Helper()
	before, after, ok := strings.Cut(text, "^")
	if !ok {
		t.Fatal("no mark in the text")
	}
	line := before[strings.LastIndexByte(before, '\n')+1:]
	return before + after, diag.Position{File: "job.yaml", Line: strings.Count(before, "\n") + 1, Column: utf8.RuneCountInString(line) + 1}
}

func report(findings []diag.Finding) string {
	var b strings.Builder
	if err := diag.Text(&b, findings, diag.Options{}); err != nil {
		panic(err)
	}
	return b.String()
}

func TestCompleteJobHasNoFindings(t *testing.T) {
	plain := complete(t)
	for name, text := range map[string]string{
		"as it is":        plain,
		"byte order mark": "\ufeff" + plain,
		"CR LF":           strings.ReplaceAll(plain, "\n", "\r\n"),
		"document marks":  "---\n" + plain + "...\n",
	} {
		if job, findings := Load("job.yaml", []byte(text)); len(findings) > 0 || job.Groups[1].Name != "image" {
			t.Errorf("%s:\n%s", name, report(findings))
		}
	}
}

// Each fault gives exactly one finding, at the mark ^, and the sentence beside
// it. The sentences are written by hand here, to be read.
func TestSingleFaults(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		// keys
		{"  revision: B", "  ^revisoin: B", "revisoin is not a key of document [unknown-key]"},
		{"  client:", "  ^customer:", "customer is not a key of document [unknown-key]"},
		{"scan:\n", "^scna:\n", "scna is not a key of a job [unknown-key]"},
		{"  thickness: 25 mm\n", "", "part lacks thickness [missing-key]"},
		{"    length: 3.2 m\n", "", "weld lacks length, which a plate needs [missing-key]"},
		{"    grid: 0.1 mm\n", "", "image lacks grid [missing-key]"},
		{"      width: 6 mm\n", "", "root lacks width [missing-key]"},
		{"      usable_angles:\n        from: 40 deg\n        to: 72 deg\n", "", "wedge W1 lacks usable_angles, which method tfm needs [missing-key]"},
		{"  client: Northvale", "  client: x\n  ^client: Northvale", "client is given twice [duplicate-key]"},
		{"    grid: 0.1 mm", "    grid: 0.1 mm\n    ^wave: transverse", "wave does not go with method tfm [misplaced-key]"},
		{"    legs: [1, 2]", "    legs: [1, 2]\n    ^grid: 0.1 mm", "grid does not go with method sectorial [misplaced-key]"},
		{"    opens: top", "    opens: top\n    ^lower_angle: 30 deg", "lower_angle does not go with preparation single-V [misplaced-key]"},
		{"  thickness: 25 mm", "  thickness: 25 mm\n  ^outside_diameter: 200 mm", "outside_diameter does not go with kind plate [misplaced-key]"},
		{"  client: Northvale", "  ^<<: {a: b}\n  client: Northvale", "<< copies keys from elsewhere, which hides what a reader must see [merge-key]"},
		{"  client: Northvale", "  ^[a, b]: c\n  client: Northvale", "a key is a list or a group of keys [key-not-text]"},
		{"  client: Northvale", "  ^~: c\n  client: Northvale", "a key is empty [key-not-text]"},
		// values
		{"thickness: 25 mm", "thickness: ^25", "thickness has no unit [missing-unit]"},
		{"thickness: 25 mm", "thickness: ^'25'", "thickness has no unit [missing-unit]"},
		{"thickness: 25 mm", "thickness: ^25 MHz", "thickness is given in MHz, which measures a frequency [wrong-unit]"},
		{"thickness: 25 mm", "thickness: ^25 mmm", "thickness has an unknown unit, mmm [unknown-unit]"},
		{"bevel_angle: 30 deg", "bevel_angle: ^30 gon", "bevel_angle has an unknown unit, gon [unknown-unit]"},
		{"thickness: 25 mm", "thickness: ^25,4 mm", "thickness has a comma in its number [not-a-quantity]"},
		{"thickness: 25 mm", "thickness: ^2_5 mm", "thickness has an underscore in its number [not-a-quantity]"},
		{"thickness: 25 mm", "thickness: ^thick", "thickness is not a number with a unit [not-a-quantity]"},
		{"thickness: 25 mm", "thickness: ^NaN mm", "thickness is not a finite number [not-finite]"},
		{"thickness: 25 mm", "thickness: ^1e999 mm", "thickness is too large to be a number [not-finite]"},
		{"thickness: 25 mm", "thickness: ^.nan", "thickness is not a finite number [not-finite]"},
		{"channels: 64", "channels: ^-.inf", "channels is not a finite number [not-finite]"},
		{"thickness: 25 mm", "^thickness:", "thickness has no value [empty-value]"},
		{"thickness: 25 mm", "^thickness: [25 mm]", "thickness is a list, not a length [wrong-type]"},
		{"thickness: 25 mm", "thickness: ^true", "thickness is true or false, not a length [wrong-type]"},
		{"thickness: 25 mm", "thickness: ^1e9 mm", "thickness is too large [out-of-range]"},
		{"thickness: 25 mm", "thickness: ^0 mm", "thickness is too small [out-of-range]"},
		{"thickness: 25 mm", "thickness: ^-5 mm", "thickness is too small [out-of-range]"},
		{"  client: Northvale Process Plant", "  client: ^''", "client is an empty text [empty-value]"},
		{"  client: Northvale Process Plant", "  ^client: {a: b}", "client is a group of keys [wrong-type]"},
		{"  client: Northvale Process Plant", "  client: ^yes # stays a text", ""},
		{"  client: Northvale Process Plant", "  client: ^!secret x", "client carries the tag !secret [tag]"},
		{"  client: Northvale Process Plant", "  client: ^\u05E9\u05DC\u05D5\u05DD", "client holds text that is written from right to left, as in Hebrew or Arabic, which no page here can put in order [right-to-left]"},
		{"  client: Northvale Process Plant", `  client: ^"A \u0645\u0631\u062D\u0628\u0627"`, "client holds text that is written from right to left, as in Hebrew or Arabic, which no page here can put in order [right-to-left]"},
		{"  client: Northvale Process Plant", `  client: ^"a\u0007b"`, "client holds a character that cannot be printed [unprintable-character]"},
		{"channels: 64", "channels: ^1000000000", "channels is too large [out-of-range]"},
		{"channels: 64", "channels: ^1e-999999999", "channels is too small [out-of-range]"},
		{"channels: 64", "channels: ^064", "channels is not written as a plain decimal number [not-decimal]"},
		{"channels: 64", "channels: ^1_000", "channels is not written as a plain decimal number [not-decimal]"},
		{"channels: 64", "channels: ^0x40", "channels is not written as a plain decimal number [not-decimal]"},
		{"channels: 64", "channels: ^'64'", "channels is a text in quotes [wrong-type]"},
		{"channels: 64", "channels: ^64.5", "channels is a number [wrong-type]"},
		{"status: approved", "status: ^aproved", "status cannot be aproved [wrong-value]"},
		{"soundwrit: 1", "soundwrit: ^2", "soundwrit cannot be 2 [wrong-value]"},
		{"    sides: [A, B]\n    surfaces", "    sides: ^A\n    surfaces", "sides is a text [wrong-type]"},
		{"    legs: [1, 2]", "    legs: [1, ^4]", "item 2 of legs cannot be 4 [wrong-value]"},
		{"    legs: [1, 2]", "    ^legs: []", "legs holds nothing [too-few]"},
		{"    legs: [1, 2]", "    ^legs: [1, 2, 3, 1]", "legs holds too many entries [too-many]"},
		{"    legs: [1, 2]", "    ^legs: [2, 2]", "leg 2 is listed twice [listed-twice]"},
		{"  flaws: [surface flaw at the root, lack of fusion at mid-wall]", "  flaws: [x, ^" + strings.Repeat("y", 4001) + "]", "item 2 of flaws is longer than the page can take [text-too-long]"},
		{"      depth: 50 mm", "      none: ^yes", "none is a text [wrong-type]"},
		{"    focus:\n", "    ^focus:\n      none: true\n", "focus needs exactly one of its keys [not-one]"},
		{"    path: TT-TT", "    path: ^TTTT-T", "path is not in the form it must have [wrong-form]"},
		{"    path: TT-TT", "    path: LT-T", ""},
		{"      usable_longitudinal:\n        from: 35 deg\n        to: 65 deg\n", "", ""},
		{"        from: 35 deg\n", "        from: ^65 deg\n", "the range of usable angles of longitudinal waves is empty [range-reversed]"},
		{"    thickness: 4 mm\n    longitudinal: 5750 m/s", "    thickness: ^25 mm\n    longitudinal: 5750 m/s", "the cladding leaves no base metal [cladding-too-thick]"},
		{"    transverse: 3150 m/s", "    transverse: ^5750 m/s", "the transverse wave is not slower than the longitudinal one [waves-exchanged]"},
		{"    thickness: 0.3 mm", "    thickness: ^0 mm", "thickness is too small [out-of-range]"},
		{"  date: 2026-03-02", "  date: ^2 March 2026", "date is not in the form it must have [wrong-form]"},
		{"  date: 2026-03-02", "  date: ^2026-02-30", "the calendar has no day 2026-02-30 [no-such-day]"},
		{"  distribution: [site inspection office]", "  distribution: [^{a: b}]", "item 1 of distribution is a group of keys [wrong-type]"},
		{"    B1:\n", "    ^B 1:\n      kind: notches\n      thickness: 20 mm\n    B1:\n", "B 1 cannot be a name [bad-name]"},
		// against each other
		{"    longitudinal: 5920 m/s\n    transverse: 3240 m/s", "    longitudinal: 3240 m/s\n    transverse: ^5920 m/s", "the transverse wave is not slower than the longitudinal one [waves-exchanged]"},
		{"      transverse: 1150 m/s", "      transverse: ^2330 m/s", "the transverse wave is not slower than the longitudinal one [waves-exchanged]"},
		{"      longitudinal: 10 dB/m\n", "      longitudinal: 10 dB/m\n      ^back_walls: {drop: 10 dB, thickness: 50 mm}\n", "back_walls stands beside longitudinal, which it replaces [stated-twice]"},
		{"      longitudinal: 10 dB/m\n", "      back_walls: {drop: ^5 dB, thickness: 50 mm}\n", "the drop is smaller than what spreading takes of it [no-attenuation-left]"},
		{"      density: 1.05 g/cm³", "      density: ^1.05 kg/m", "density has an unknown unit, kg/m [unknown-unit]"},
		{"    probe: P1\n    wedge: W1\n    sides: [A, B]", "    probe: ^P2\n    wedge: W1\n    sides: [A, B]", "there is no probe of the name P2 [unknown-name]"},
		{"    wedge: W1\n    sides: [A, B]", "    wedge: ^wedge\n    sides: [A, B]", "there is no wedge of the name wedge [unknown-name]"},
		{"  block: B1", "  block: ^B2", "there is no block of the name B2 [unknown-name]"},
		{"  reflector: side-drilled-hole", "  reflector: ^notch", "block B1 has no notch [no-such-reflector]"},
		{"    aperture:\n      first: 33\n", "    ^aperture:\n      first: 50\n", "aperture 50 to 65 reaches past the 64 elements of probe P1 [aperture-outside-array]"},
		{"    channels: 64", "    channels: 8", "the aperture has more elements than the instrument has channels (8) [aperture-over-channels]"},
		{"      from: 45 deg", "      from: ^70 deg", "the first angle is not under the last [range-reversed]"},
		{"      step: 1 deg", "      step: ^0.01 deg", "the range holds 2501 beams [too-many-beams]"},
		{"      step: 1 deg", "      step: ^0 deg", "step is too small [out-of-range]"},
		{"      bottom: 25 mm", "      bottom: ^25.1 mm", "the region ends deeper than the part is thick [region-outside-part]"},
		{"      top: 0 mm", "      top: ^25 mm", "the region has no height: top is not above bottom [region-empty]"},
		{"      near: 20 mm", "      near: ^-15 mm", "the region has no width: near and far cancel out [region-empty]"},
		{"    grid: 0.1 mm", "    grid: ^0.001 mm", "the region holds 8.8e+08 grid points [grid-too-fine]"},
		{"    sides: [A, B]\n    surfaces", "    sides: [B]\n    surfaces", "side A is not accessible [side-not-accessible]"},
		{"    surfaces: [top, bottom]", "    surfaces: [bottom]", "the top surface is not accessible [surface-not-accessible]"},
		{"    surfaces: [top, bottom]", "    ^surfaces: [top, top]", "top is listed twice [listed-twice]"},
		{"    preparation: single-V\n    opens: top", "    preparation: single-bevel", "weld lacks bevelled_side [missing-key]"},
		{"    root_face: 2 mm", "    root_face: ^25 mm", "the root face takes the whole thickness [preparation-too-deep]"},
		{"    preparation: single-V", "    preparation: single-U", "weld lacks root_radius [missing-key]"},
		{"    preparation: single-V\n    opens: top\n    bevel_angle: 30 deg\n    root_face: 2 mm", "    preparation: square", ""},
		{"    preparation: single-V\n    opens: top\n    bevel_angle: 30 deg\n    root_face: 2 mm", "    preparation: square\n    ^root_radius: 6 mm", "root_radius does not go with preparation square [misplaced-key]"},
		{"    bevel_angle: 30 deg\n", "", "weld lacks bevel_angle [missing-key]"},
		// 23 mm of depth over 1 − sin 30° = 0.5, of a lower half 11.5 mm over
		// 1 − sin 10° = 0.826, of an upper one 10 mm over 0.5.
		{"    preparation: single-V", "    preparation: single-U\n    root_radius: 46 mm", ""},
		{"    preparation: single-V", "    preparation: single-U\n    root_radius: ^46.1 mm", "the radius is larger than the depth lets it be [radius-too-large]"},
		{"    preparation: single-V\n    opens: top", "    preparation: double-U\n    lower_angle: 10 deg\n    root_radius: ^14 mm", "the radius is larger than the depth of the lower half lets it be [radius-too-large]"},
		{"    preparation: single-V\n    opens: top", "    preparation: double-U\n    upper_depth: 10 mm\n    root_radius: ^20.1 mm", "the radius is larger than the depth of the upper half lets it be [radius-too-large]"},
		{"    preparation: single-V", "    preparation: compound-bevel\n    outer_angle: ^30 deg\n    break_height: 15 mm", "the outer bevel is not steeper than the one next to the root face [outer-bevel-flatter]"},
		{"    preparation: single-V", "    preparation: compound-bevel\n    outer_angle: 10 deg\n    break_height: ^2 mm", "the bevel changes before it begins, in the root face [break-in-root-face]"},
		{"    preparation: single-V", "    preparation: compound-bevel\n    outer_angle: 10 deg\n    break_height: ^25 mm", "the bevel changes outside the part [break-outside-part]"},
		{"    preparation: single-V\n    opens: top\n    bevel_angle: 30 deg", "    preparation: narrow-gap\n    opens: top\n    bevel_angle: ^30 deg", "the faces are not as steep as those of a narrow gap [not-narrow]"},
		{"    preparation: single-V\n    opens: top", "    preparation: double-V\n    upper_depth: ^23 mm", "upper depth and root face leave nothing of the thickness for the lower half [preparation-too-deep]"},
		{"  kind: plate", "  kind: pipe\n  outside_diameter: 219.1 mm", "length does not go with a girth weld, whose length is computed [misplaced-key]"},
		{"    length: 3.2 m\n", "    length: 3.2 m\n    seam: ^longitudinal\n", "seam does not go with kind plate [misplaced-key]"},
		{"      gap: 0.05 mm", "      gap: ^0.6 mm", "the gap leaves no width for an element [gap-over-pitch]"},
		{"      length: 50 mm", "      length: 42 mm", ""}, // just long enough
		{"      pitch: 0.6 mm", "      pitch: 1 mm", "the array of probe P1 takes 51.8 mm along wedge W1, which is shorter [array-longer-than-wedge]"},
		{"      front_distance: 42 mm", "      front_distance: ^51 mm", "element 1 lies behind the rear end of the wedge [element-off-wedge]"},
		{"    resolution: 0.05 mm", "    resolution: ^1.5 mm", "the encoder counts in steps longer than the scan increment [encoder-too-coarse]"},
		{"hole_depths: [6 mm", "hole_depths: [^25 mm", "a hole lies deeper than the block is thick [hole-outside-block]"},
		{"  trials: 30\n  found: 29", "  trials: 30\n  found: ^31", "more flaws were found than were looked for [more-found]"},
		{"  trials: 30\n", "", "the qualification has found, and lacks trials [missing-key]"},
		{"  found: 29\n", "", "the qualification has trials, and lacks found [missing-key]"},
		{"places: [60 mm", "places: [^250 mm", "a reflector lies beyond the end of the block [place-outside-block]"},
		{"      places: [60 mm, 110 mm, 160 mm]", "      ^places: [60 mm, 110 mm]", "block B1 has 2 places for 3 reflectors [not-as-many]"},
		{"      length: 250 mm\n", "", "block B1 lacks length, which its places need [missing-key]"},
		{"      medium: solid", "      medium: ^ice", "medium cannot be ice [wrong-value]"},
		{"      medium: solid\n      angle: 36 deg\n      velocity: 2330 m/s", "      medium: water\n      angle: 20 deg\n      velocity: 1482 m/s", "transverse does not go with a wedge of water, whose value is known [misplaced-key]"},
		{"  stretch: 1.5 m", "  stretch: ^25 mm", "a stretch is no longer than its overlap with the next [stretch-within-overlap]"},
		{"  temperature:\n    from: 5 degC", "  temperature:\n    from: ^50 degC", "the lowest temperature is over the highest [range-reversed]"},
	} {
		text, marked := edit(t, complete(t), c.old, c.new), strings.Contains(c.new, "^")
		var at diag.Position
		if marked {
			text, at = place(t, text)
		}
		_, findings := Load("job.yaml", []byte(text))
		if c.want == "" {
			if len(findings) > 0 {
				t.Errorf("%q should be fine:\n%s", c.new, report(findings))
			}
			continue
		}
		// A name used by two groups is told about at each of them.
		if len(findings) == 2 && findings[0].Rule == findings[1].Rule && findings[0].Path != findings[1].Path && !marked {
			findings = findings[:1]
		}
		if len(findings) != 1 {
			t.Errorf("%q: want one finding, %s\n%s", c.new, c.want, report(findings))
			continue
		}
		f := findings[0]
		if got := f.Message + " [" + f.Rule + "]"; got != c.want {
			t.Errorf("%q:\n got %s\nwant %s", c.new, got, c.want)
		}
		if marked && f.At != at {
			t.Errorf("%q: at %v, want %v", c.new, f.At, at)
		}
		if f.Level != diag.Error || f.Limit == "" || f.Remedy == "" {
			t.Errorf("%q: level %q, limit %q, remedy %q", c.new, f.Level, f.Limit, f.Remedy)
		}
	}
}

// A file that cannot be read at all gives one finding, at the mark where there
// is one.
func TestUnreadableFiles(t *testing.T) {
	bomb := "a: &a [x,x,x,x,x,x,x,x,x,x]\n"
	for c := 'b'; c < 'j'; c++ {
		bomb += string(c) + ": &" + string(c) + " [" + strings.Repeat("*"+string(c-1)+",", 9) + "*" + string(c-1) + "]\n"
	}
	for _, c := range []struct{ name, data, want string }{
		{"empty", "", "the file is empty [empty-file]"},
		{"blank", "\n \n", "the file is empty [empty-file]"},
		{"comment", "# only this\n", "the file is empty [empty-file]"},
		{"null", "~\n", "the file is empty [empty-file]"},
		{"list", "- a\n", "the file is a list, not a job [wrong-type]"},
		{"text", "hello\n", "the file is a text, not a job [wrong-type]"},
		{"latin-1", "a: b\nc: d^\xb5\n", "the file is not UTF-8 text [not-utf8]"},
		{"utf-16", "^\xff\xfes\x00o\x00", "the file is not UTF-8 text [not-utf8]"},
		{"control", "a: b\nc: µ^\x01\n", "the file holds a character that cannot be printed (U+0001) [unprintable-character]"},
		{"beyond the fonts", "a: ^\U0001f600\n", "the file holds a character that cannot be printed (U+1F600) [unprintable-character]"},
		{"line separator", "a: ^\u2028\n", "the file holds a character that cannot be printed (U+2028) [unprintable-character]"},
		{"tab", "a:\n^\tb: c\n", "the line is indented with a tab [not-yaml]"},
		{"bracket", "a: [b\nc: d\n", "a list or group in brackets is not closed, or lacks a comma [not-yaml]"},
		{"quote", "a: \"b\n", "a text in quotes is not closed [not-yaml]"},
		{"colon", "a: b: c\n", "a colon stands where no key can be [not-yaml]"},
		{"anchor", "a: b\nc: ^*d\n", "*d stands for a value that the file does not mark [not-yaml]"},
		{"version", "%YAML 1.2\n---\na: b\n", "the file asks for a YAML version that is not read [not-yaml]"},
		{"second", "a: b\n---\n^c: d\n", "a second document begins in the file [second-document]"},
		{"bomb", bomb, "the file holds more values than a job can have, counting each use of an alias [too-many-values]"},
		{"ring", "a: &a [*a]\n", "values are nested too deep, or an alias holds itself [nested-too-deep]"},
		{"deep", strings.Repeat("[", 60) + strings.Repeat("]", 60), "values are nested too deep, or an alias holds itself [nested-too-deep]"},
		{"very deep", strings.Repeat("[", 20_000), "values are nested too deep [not-yaml]"},
		{"large", strings.Repeat("#", MaxSize+1), "the file is larger than a job can be [file-too-large]"},
		{"many", strings.Repeat("-\n", 300_000), "the file holds more values than a job can have [too-many-values]"},
	} {
		data, marked := c.data, strings.Contains(c.data, "^")
		var at diag.Position
		if marked {
			data, at = place(t, data)
		}
		job, findings := Load("job.yaml", []byte(data))
		if job == nil || len(findings) != 1 {
			t.Errorf("%s: job %v, findings\n%s", c.name, job, report(findings))
			continue
		}
		if got := findings[0].Message + " [" + findings[0].Rule + "]"; got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
		if marked && findings[0].At != at {
			t.Errorf("%s: at %v, want %v", c.name, findings[0].At, at)
		}
	}
}

func TestAllProblemsInOneRun(t *testing.T) {
	text := complete(t)
	for _, e := range [][2]string{
		{"  revision: B", "  revisoin: B"}, {"thickness: 25 mm", "thickness: 25"}, {"channels: 64", "channels: 064"},
		{"  kind: plate", "  kind: plaet"}, {"    path: TT-TT", "    path: TTTT-T"}, {"  block: B1", "  block: B2"},
		{"  increment: 1 mm", "  increment: -1 mm"}, {"  record: NV-Q-5-R1", "  record: a\n  record: b"},
	} {
		text = edit(t, text, e[0], e[1])
	}
	_, findings := Load("job.yaml", []byte(text))
	var rules []string
	for _, f := range findings {
		rules = append(rules, f.Rule)
	}
	want := []string{"unknown-key", "wrong-value", "missing-unit", "not-decimal", "wrong-form", "unknown-name", "out-of-range", "duplicate-key"}
	if d := cmp.Diff(want, rules); d != "" {
		t.Error(d)
	}
}

func TestEmptyJobTellsEveryKeyItNeeds(t *testing.T) {
	_, findings := Load("job.yaml", []byte("soundwrit: 1\n"))
	var missing []string
	for _, f := range findings {
		missing = append(missing, f.Path)
	}
	if d := cmp.Diff([]string{"codes", "document", "equipment", "groups", "part", "reference", "scan"}, missing); d != "" {
		t.Error(d)
	}
}

// An alias is as good as the value written out, and is at the place where it
// is used.
func TestAlias(t *testing.T) {
	text := edit(t, complete(t), "thickness: 25 mm", "thickness: &t 25 mm")
	text, at := place(t, edit(t, text, "      bottom: 25 mm", "      bottom: ^*t"))
	job, findings := Load("job.yaml", []byte(text))
	if len(findings) > 0 || job.Groups[1].Region.Bottom != 0.025 || job.At("groups.image.region.bottom") != at {
		t.Errorf("bottom %v at %v, want %v\n%s", job.Groups[1].Region.Bottom, job.At("groups.image.region.bottom"), at, report(findings))
	}
}

func TestAt(t *testing.T) {
	for path, mark := range map[string]string{
		"part.thickness":            "thickness: ^25 mm",
		"part.weld":                 "^weld:",
		"part.weld.lower_angle":     "^weld:", // not in the file: at its ancestor
		"groups.image":              "\n  ^image:",
		"document.people.0":         "- ^task: prepares",
		"document.people.1.level":   "level: ^2\n  history",
		"document.people":           "^people:",
		"part.access.sides":         "^sides: [A, B]\n    surfaces",
		"part.access.sides.1":       "sides: [A, ^B]\n    surfaces",
		"nowhere":                   "",
		"groups.image.region.near":  "near: ^20 mm",
		"groups.image.region.x.y.z": "^region:",
	} {
		want := diag.Position{File: "job.yaml", Line: 1, Column: 1}
		if mark != "" {
			_, want = place(t, edit(t, complete(t), strings.Replace(mark, "^", "", 1), mark))
		}
		job, _ := Load("job.yaml", []byte(complete(t)))
		if got := job.At(path); got != want {
			t.Errorf("%s is at %v, want %v", path, got, want)
		}
	}
	if job, _ := Load("job.yaml", nil); job.At("part") != (diag.Position{File: "job.yaml", Line: 1, Column: 1}) || job.Has("part") {
		t.Error("an empty file has places")
	}
}

// sound holds for any bytes: a job, findings with places inside the file, the
// same ones every time, none without words.
func sound(t interface {
	Helper()
	Fatalf(string, ...any)
}, data []byte) {
	t.Helper()
	job, findings := Load("job.yaml", data)
	_, again := Load("job.yaml", data)
	if job == nil {
		t.Fatalf("no job")
	}
	if d := cmp.Diff(findings, again); d != "" {
		t.Fatalf("two runs differ: %s", d)
	}
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(data), "\ufeff")), "\n")
	for _, f := range findings {
		places := []diag.Position{f.At}
		for _, a := range f.Also {
			places = append(places, a.At)
		}
		for _, p := range places {
			if p.Line < 1 || p.Line > len(lines) || p.Column < 1 || p.Column > utf8.RuneCountInString(lines[p.Line-1])+1 {
				t.Fatalf("%v is outside the file: %v", p, f)
			}
		}
		if f.Message == "" || f.Rule == "" || f.Remedy == "" || f.Level != diag.Error {
			t.Fatalf("a finding lacks words: %+v", f)
		}
	}
}

// Jobs with a line dropped, doubled, moved or spoilt: no panic, places inside.
func TestMutatedJobs(t *testing.T) {
	base := strings.Split(complete(t), "\n")
	rapid.Check(t, func(t *rapid.T) {
		lines := slices.Clone(base)
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			i := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
			switch rapid.IntRange(0, 4).Draw(t, "how") {
			case 0:
				lines = slices.Delete(lines, i, i+1)
			case 1:
				lines = slices.Insert(lines, i, lines[i])
			case 2:
				j := rapid.IntRange(0, len(lines)-1).Draw(t, "other")
				lines[i], lines[j] = lines[j], lines[i]
			case 3:
				key, _, _ := strings.Cut(lines[i], ":")
				lines[i] = key + ": " + rapid.SampledFrom([]string{"", "0", "1e9", "-3 mm", "[]", "{}", "[1, a]", "{a: b}", "~", "yes", "*a", "&a x", "'", "5 MHz", "A"}).Draw(t, "value")
			case 4:
				lines[i] = rapid.StringN(0, 20, 80).Draw(t, "text")
			}
			if len(lines) == 0 {
				break
			}
		}
		sound(t, []byte(strings.Join(lines, "\n")))
	})
}

func FuzzLoad(f *testing.F) {
	job := complete(f)
	f.Add([]byte(job))
	f.Add([]byte(edit(f, job, "  kind: plate", "  kind: pipe\n  outside_diameter: 200 mm")))
	for _, s := range []string{"", "\ufeffa: b", "a: &a [*a]", "- a", "? [a]\n: b", "a: !!binary YQ==", "<<: *x", "a:\r\n\tb", "%YAML 1.2\n---\n", "a: 1e-999999999",
		"soundwrit: 1\ngroups: {a: {method: tfm}, b: 3, c: }", "part: {weld: {preparation: double-V}}", "groups: &g {x: *g}", "a: \"\\U0001F600\"",
		"a\n---", "\rb: *a", "document: {people: {a: b}, safety: {a: b}}"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) { sound(t, data) })
}

// Files made to be slow. The limit is far over what they take, and far under
// what anything that grows with the square of the size would.
func TestHostileFilesAreQuick(t *testing.T) {
	for name, data := range map[string]string{
		"unknown keys":    "document:\n" + manyLines("  k%d: x", 99_000),
		"unknown near":    "document:\n" + manyLines("  titl%d: x", 99_000),
		"texts in a list": "document:\n  safety:\n" + manyLines("  - %d", 99_000),
		"long key":        "groups:\n  " + strings.Repeat("k", 3<<20) + ": {" + strings.Repeat("a, ", 90_000) + "}",
		"long text":       "part: " + strings.Repeat("1", 3<<20),
		"long number":     "soundwrit: " + strings.Repeat("9", 3<<20),
		"nested":          strings.Repeat("{a: ", 9000),
		"hyphens":         strings.Repeat("- ", 90_000),
		"quotes":          strings.Repeat("'a' ", 90_000),
		"anchors":         manyLines("k%d: &a x", 60_000),
		"spaces":          "a: " + strings.Repeat(" ", 3<<20) + "b",
		"comments":        strings.Repeat("# x\n", 190_000) + "a: b",
	} {
		began := time.Now()
		Load("job.yaml", []byte(data))
		if took := time.Since(began); took > 10*time.Second {
			t.Errorf("%s took %v", name, took)
		} else {
			t.Logf("%s took %v", name, took)
		}
	}
}

func manyLines(format string, n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Replace(format, "%d", string(rune('a'+i%26))+strings.Repeat("z", i/26%50)+string(rune('a'+i/1300%26))+string(rune('a'+i/33800%26)), 1))
		b.WriteByte('\n')
	}
	return b.String()
}
