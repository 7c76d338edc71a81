package faults

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

// outlet is a machine with a plug, two supplies and metalwork: the 0 V of G1 is
// bonded to earth, that of G2 floats.
const outlet = `
	device X1 mains-inlet : L line, N neutral, PE earth
	device G1 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
	device G2 supply limit=5 : L line, N neutral, + rail 12, - return
	device B1 other : PE earth
	device E1 lamp load=1 : + feed 24, - return
	device E2 lamp load=1 : + feed 12, - return
	link E1 + - resistance 3
	link E2 + - resistance 2
	wire W1 X1:L G1:L
	wire W2 X1:N G1:N
	wire W3 X1:PE G1:PE
	wire W4 X1:L G2:L
	wire W5 X1:N G2:N
	wire W6 X1:PE B1:PE
	wire W7 G1:+ E1:+
	wire W8 E1:- G1:-
	wire W9 G2:+ E2:+
	wire W10 E2:- G2:-
`

func TestLivePart(t *testing.T) {
	for _, c := range []struct {
		name, readings string
		want           string // a piece of the headline; empty: no finding
		numbers        []int64
	}{
		{"mains on the 0 V", "G1:- X1:PE 230 mode=volts-ac", "0V is live against PE", []int64{1}},
		{"the other way round", "X1:PE G1:- -230 mode=volts-ac", "0V is live against PE", []int64{1}},
		{"mains on a rail", "G2:+ X1:PE 51 mode=volts-ac", "+12V is live against PE", []int64{1}},
		{"between two extra-low sides", "G1:- G2:- 115 mode=volts-ac", "is live against", []int64{1}},
		{"neutral against earth", "X1:N X1:PE 230 mode=volts-ac", "N is live against PE", []int64{1}},
		{"neutral against 0 V", "G1:N G1:- 60 mode=volts-ac", "live against", []int64{1}},
		{"DC far above extra-low", "G1:- X1:PE 150 mode=volts-dc", "is live against PE", []int64{1}},
		{"earth against the earth of metalwork", "B1:PE X1:PE 90 mode=volts-ac", "Protective earth is lost at B1:PE", []int64{1}},
		{"a few volts along one earth are too many", "B1:PE X1:PE 12 mode=volts-ac", "Protective earth is lost at B1:PE", []int64{1}},
		{"line to an earth that is none", "X1:L X1:N 230 mode=volts-ac\nX1:L B1:PE 112 mode=volts-ac", "Protective earth is lost at B1:PE", []int64{1, 2}},
		{"a floating 0 V between 25 and 50 V", "G2:- X1:PE 40 mode=volts-ac", "0V G2 may be live against PE", []int64{1}},
		{"what the map joins", "G1:- E1:- 90 mode=volts-ac", "E1:- is live against G1:-", []int64{1}},
		{"a drift does not make it less", "G1:- X1:PE 230 rising mode=volts-ac", "is live", []int64{1}},

		{"exactly extra-low", "G1:- E1:+ 50 mode=volts-ac", "", nil},
		{"exactly extra-low DC", "G1:- X1:PE 120 mode=volts-dc", "", nil},
		{"what a healthy plug shows", "X1:L X1:N 230 mode=volts-ac\nX1:L X1:PE 229 mode=volts-ac\nX1:N X1:PE 0.8 mode=volts-ac", "", nil},
		{"line to a 0 V that floats", "X1:L G2:- 115 mode=volts-ac", "", nil},
		{"the plug out: line to earth reads nothing", "X1:L X1:N 230 mode=volts-ac\nX1:L B1:PE 0.3 mode=volts-ac", "", nil},
		{"line to earth where nobody read line to neutral", "X1:L X1:PE 118 mode=volts-ac", "", nil},
		{"below 25 V a ghost touches nobody", "G2:- X1:PE 24 mode=volts-ac", "", nil},
		{"25 to 50 V of one and the same part", "E1:+ E1:- 30 mode=volts-ac", "", nil},
		{"struck out", "", "", nil},

		{"gone", "G1:- X1:PE 230 mode=volts-ac\nX1:PE G1:- 0.4 mode=volts-ac", "", nil},
		{"a ghost that collapses", "G2:- X1:PE 40 mode=volts-ac\nG2:- X1:PE 1.2 mode=volts-ac", "", nil},
		{"less, but not gone", "G1:- X1:PE 230 mode=volts-ac\nG1:- X1:PE 30 mode=volts-ac", "is live", []int64{1, 2}},
		{"another range says nothing", "G1:- X1:PE 230 mode=volts-ac\nG1:- X1:PE 0 mode=volts-dc", "is live", []int64{1}},
		{"another place says nothing", "G1:- X1:PE 230 mode=volts-ac\nE1:- X1:PE 0 mode=volts-ac", "is live", []int64{1}},
		{"a meter that still rises says nothing", "G1:- X1:PE 230 mode=volts-ac\nG1:- X1:PE 3 rising mode=volts-ac", "is live", []int64{1}},
		{"it came again", "G1:- X1:PE 230 mode=volts-ac\nG1:- X1:PE 0 mode=volts-ac\nG1:- X1:PE 229 mode=volts-ac", "is live", []int64{3}},
		{"dead with the plug out is not gone", "G1:- X1:PE 230 mode=volts-ac\nG1:- X1:PE 0 mode=volts-ac when \"unplugged X1\"", "was live against PE: the plug stays out", []int64{1, 2}},
		{"with a wire off it is neither gone nor dead", "G1:- X1:PE 230 mode=volts-ac\nG1:- X1:PE 0 mode=volts-ac when \"lifted W8\"", "is live", []int64{1}},
		{"gone as it was read", "G1:- X1:PE 230 mode=volts-ac when \"lifted W8\"\nG1:- X1:PE 0 mode=volts-ac when \"lifted W8\"", "", nil},
		{"gone on a machine more whole than that", "G1:- X1:PE 230 mode=volts-ac when \"lifted W8\"\nG1:- X1:PE 0 mode=volts-ac", "", nil},
		{"one cause, one finding", "G1:- X1:PE 230 mode=volts-ac\nE1:+ X1:PE 230 mode=volts-ac\nG1:- G2:- 230 mode=volts-ac", "is live against", []int64{1, 2, 3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := read(t, build(t, outlet), c.readings)
			if c.name == "struck out" {
				read(t, m, "G1:- X1:PE 230 mode=volts-ac")
				struck := m.Readings[0]
				struck.Struck = "slip"
				if err := m.Apply(model.Edit{Changes: []model.Change{{Before: m.Readings[0], After: struck}}}); err != nil {
					t.Fatal(err)
				}
			}
			report := Check(m)
			var found []Finding
			for _, f := range report.Findings {
				if f.Rule == nameLivePart {
					found = append(found, f)
				}
			}
			live, is := report.Live()
			if c.want == "" {
				if len(found) > 0 || is || !report.MayBeLive() {
					t.Fatalf("found %+v", found)
				}
				return
			}
			if len(found) != 1 || report.Findings[0].Rule != nameLivePart {
				t.Fatalf("found %s, want it once and first", briefs(report.Findings))
			}
			f := found[0]
			if f.Severity != Fault || !strings.Contains(f.Headline, c.want) || !slices.Equal(f.Readings, c.numbers) {
				t.Errorf("got %s %q %v, want %q %v", f.Severity, f.Headline, f.Readings, c.want, c.numbers)
			}
			if dead := strings.Contains(c.want, "stays out"); is == dead || report.MayBeLive() {
				t.Errorf("live: %v %q; live probes: %v", is, live.Headline, report.MayBeLive())
			}
			if !f.ShownDead && !strings.Contains(f.Advice, HandsOff) {
				t.Errorf("the advice is %q", f.Advice)
			}
		})
	}
}

// A reading that was noted later for yesterday does not clear what was read today.
func TestLivePartIsNotClearedByYesterday(t *testing.T) {
	m := read(t, build(t, outlet), "G1:- X1:PE 230 mode=volts-ac", "G1:- X1:PE 0 mode=volts-ac")
	now := time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC)
	for i, at := range []time.Time{now, now.Add(-24 * time.Hour)} {
		before := m.Readings[i]
		after := before
		after.At = at
		m.Readings[i] = after
	}
	if _, live := Check(m).Live(); !live {
		t.Error("yesterday's 0 V cleared it")
	}
}

// Editing the path of such a reading makes it stale, as any other.
func TestLivePartGoesStaleWithItsPath(t *testing.T) {
	m := read(t, build(t, outlet), "B1:PE X1:PE 90 mode=volts-ac")
	stored := m.Readings[0].Stored
	m.Touches = append(m.Touches, model.PathChange{Stored: stored + 1, A: ref("X1:PE"), B: ref("B1:PE")})
	if list := Check(m).Findings; len(list) > 0 {
		t.Errorf("found %s", briefs(list))
	}
}

// A rail that the map has at more than extra-low volts shows them without alarm.
func TestVoltsThatTheMapHas(t *testing.T) {
	const bus = `
device G1 supply limit=5 : + rail 300, - return
device M1 motor load=1 : + feed 300, - return
device G2 supply limit=5 : + rail 80, 0 return, -80 rail -80
device X1 mains-inlet : L line, N neutral, PE earth
wire W1 G1:+ M1:+
wire W2 M1:- G1:-`
	for _, reading := range []string{"G1:+ G1:- 310 mode=volts-dc", "M1:+ X1:PE 150 mode=volts-dc", "G1:- X1:PE 150 mode=volts-dc", "G2:+ G2:-80 160 mode=volts-dc"} {
		for _, f := range Check(read(t, build(t, bus), reading)).Findings {
			if f.Rule == nameLivePart {
				t.Errorf("%s: %s", reading, f.Message)
			}
		}
	}
}

// A way through that nobody has wired yet, and that carries the mains against the
// extra-low side, is told of: who maps it as mains is not.
func TestLivePartOnWhatIsNotMapped(t *testing.T) {
	const plain = outlet + "device X9 terminal-block : 1 pass, 2 pass\n"
	if _, live := Check(read(t, build(t, plain), "X9:1 G1:- 230 mode=volts-ac")).Live(); !live {
		t.Error("230 V at a terminal that the map knows nothing of went by")
	}
	if _, live := Check(read(t, build(t, plain+"wire W20 X1:L X9:1\n"), "X9:1 G1:- 230 mode=volts-ac")).Live(); live {
		t.Error("line to 0 V is what a healthy plug shows")
	}
}
