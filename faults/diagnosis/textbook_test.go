package diagnosis

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"bellout/assets"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/tables"
)

// circuitOf reads a machine from the tables that a person would write.
func circuitOf(t testing.TB, devices, terminals, links, wires string) *graphs.Circuit {
	t.Helper()
	folder := fstest.MapFS{}
	for name, text := range map[string]string{
		"devices.csv":   "device,kind,load_a,limit_a\n" + devices,
		"terminals.csv": "device,terminal,role,volts\n" + terminals,
		"links.csv":     "device,from,to,kind,value,state\n" + links,
		"wires.csv":     "wire,from,to\n" + wires,
	} {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	content, err := tables.ReadFS(context.Background(), folder, "textbook")
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return graphs.NewCircuit(m, nil)
}

func (l *Live) at(t testing.TB, text string) int {
	t.Helper()
	ref, err := l.Circuit.Machine.FindTerminal(text)
	if err != nil {
		t.Fatal(err)
	}
	at, _ := l.Circuit.Machine.TerminalIndex(ref)
	return at
}

func (l *Live) volts(t testing.TB, red, black string, number float64, when string) Evidence {
	t.Helper()
	conditions, err := l.Circuit.Machine.ParseConditions(when)
	if err != nil {
		t.Fatal(err)
	}
	r, ok := l.NewReading(model.Reading{Red: l.Circuit.Ref(l.at(t, red)), Black: l.Circuit.Ref(l.at(t, black)), Mode: model.ModeVoltsDC,
		Value: model.Value{Kind: model.ShowsNumber, Number: number}, Conditions: conditions})
	if !ok {
		t.Fatalf("%s %s is no evidence", red, black)
	}
	return r
}

func (l *Live) symptom(t testing.TB, device string, word Word, when string) Evidence {
	t.Helper()
	conditions, err := l.Circuit.Machine.ParseConditions(when)
	if err != nil {
		t.Fatal(err)
	}
	s, ok := l.NewSymptom(device, word, conditions)
	if !ok {
		t.Fatalf("%s says nothing", device)
	}
	return s
}

// named returns what a hypothesis is about, as the tests below write it.
func (l *Live) named(h Hypothesis) string {
	name := string(h.Kind)
	if h.Element >= 0 {
		e := l.Circuit.Elements[h.Element]
		if e.Kind == graphs.Wire {
			return name + " " + l.Circuit.Machine.Wires[e.Row].Name
		}
		return name + " " + l.Circuit.Machine.Links[e.Row].Place()
	}
	return name + " " + l.Circuit.Ref(h.At).String()
}

func (l *Live) weigh(evidence ...Evidence) *Posterior {
	return Weigh(l, evidence, assets.DefaultPriors())
}

func leads(t *testing.T, p *Posterior, want string, least float64) {
	t.Helper()
	suspects := p.Suspects()
	if len(suspects) == 0 || p.Live.named(suspects[0].Hypothesis) != want || suspects[0].Chance < least {
		var got []string
		for _, s := range suspects[:min(4, len(suspects))] {
			got = append(got, fmt.Sprintf("%s %.2f", p.Live.named(s.Hypothesis), s.Chance))
		}
		t.Errorf("%s should lead with %.2f, not %s", want, least, strings.Join(got, ", "))
	}
}

// A battery, a switch and a lamp on numbered terminals: the fourteen answers of
// testdata/troubleshooting_readings.csv (source in each row).
func TestLampOnTerminals(t *testing.T) {
	var terminals, links strings.Builder
	for i := 1; i <= 12; i++ {
		fmt.Fprintf(&terminals, "X1,%d,pass,\n", i)
	}
	for _, joined := range [][]int{{1, 4}, {4, 9}, {9, 10}, {5, 6}, {6, 7}} {
		fmt.Fprintf(&links, "X1,%d,%d,solid,,\n", joined[0], joined[1])
	}
	l := NewLive(circuitOf(t,
		"G1,battery,,5\nX1,terminal-block,,\nS1,switch,,\nE1,lamp,1,\n",
		terminals.String()+"G1,+,rail,6\nG1,-,return,\nS1,1,pass,\nS1,2,pass,\nE1,+,feed,6\nE1,-,return,\n",
		links.String()+"S1,1,2,contact,,open\n",
		"W1,G1:+,X1:1\nW2,G1:-,X1:5\nW3,X1:7,S1:1\nW4,S1:2,X1:12\nW5,X1:10,E1:+\nW6,X1:12,E1:-\n"))
	file, err := os.Open("testdata/troubleshooting_readings.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range rows {
		pair, is := strings.CutPrefix(row[3], "volts ")
		if !is || !strings.HasPrefix(row[0], "lamp_terminals") {
			continue
		}
		red, black, _ := strings.Cut(pair, "-")
		when := "open S1:1-2"
		if row[2] == "switch ON" {
			when = "closed S1:1-2"
		}
		conditions, err := l.Circuit.Machine.ParseConditions(when)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		if row[4] == "supply" {
			want = 6
		}
		if got := math.Abs(l.Run(conditions).Between(l.at(t, "X1:"+red), l.at(t, "X1:"+black))); math.Abs(got-want) > 0.1 {
			t.Errorf("%s: %.2f V, printed %s", row[0], got, row[4])
		}
		checked++
	}
	if checked != 14 {
		t.Errorf("%d answers checked, the page has 14", checked)
	}
}

// T. Floyd, example 7.20 (row divider_24v): the source's volts on both sides of
// R1 say that R2 is open before they say that R1 is shorted. Volts across R2
// prove that it is not the wire behind it; a shorted R1 reads the same there,
// whatever the page says, and stays the rival.
func TestDivider(t *testing.T) {
	l := NewLive(circuitOf(t,
		"G1,supply,,1\nR1,other,,\nR2,other,,\n",
		"G1,+,rail,24\nG1,-,return,\nR1,1,pass,\nR1,2,pass,\nR2,1,pass,\nR2,2,pass,\n",
		"R1,1,2,resistance,1000,\nR2,1,2,resistance,1000,\n",
		"W1,G1:+,R1:1\nW2,R1:2,R2:1\nW3,R2:2,G1:-\n"))
	p := l.weigh(l.volts(t, "R1:1", "G1:-", 24, ""), l.volts(t, "R1:2", "G1:-", 24, ""))
	chance := map[string]float64{}
	for _, s := range p.Suspects() {
		chance[l.named(s.Hypothesis)] = s.Chance
	}
	if open, short := chance["open R2:1-2"]+chance["open W3"], chance["part-short R1:1-2"]; open <= short {
		t.Errorf("R2 or its wire open %.2f, R1 shorted %.2f", open, short)
	}
	leads(t, l.weigh(l.volts(t, "R1:1", "G1:-", 24, ""), l.volts(t, "R1:2", "G1:-", 24, ""), l.volts(t, "R2:1", "R2:2", 24, "")), "open R2:1-2", 0.6)
}

// lampString is a lamp on four wires and two blocks.
func lampString(t *testing.T) *Live {
	return NewLive(circuitOf(t,
		"G1,supply,,3\nX1,terminal-block,,\nX2,terminal-block,,\nS1,switch,,\nE1,lamp,1,\nE2,lamp,1,\n",
		"G1,+,rail,12\nG1,-,return,\nX1,1,pass,\nX1,2,pass,\nX2,1,pass,\nX2,2,pass,\nS1,1,pass,\nS1,2,pass,\nE1,+,feed,12\nE1,-,return,\nE2,+,feed,12\nE2,-,return,\n",
		"X1,1,2,solid,,\nX2,1,2,solid,,\nS1,1,2,contact,,closed\n",
		"W1,G1:+,X1:1\nW2,X1:2,S1:1\nW3,S1:2,E1:+\nW4,E1:-,X2:1\nW5,X2:2,G1:-\nW6,X1:1,E2:+\nW7,E2:-,X2:2\n"))
}

// eCampusOntario, Multimeters 101, Troubleshooting Principles (rows
// load_right_volts and switch_volts): a load that does nothing at its own volts
// has failed; the supply's volts across a switch that should be closed say that
// it is open.
func TestRightVoltsBlameTheLoad(t *testing.T) {
	l := lampString(t)
	leads(t, l.weigh(l.symptom(t, "E1", Dead, ""), l.volts(t, "E1:+", "E1:-", 11.9, "")), "load-open E1:+", 0.9)
	leads(t, l.weigh(l.symptom(t, "E1", Dead, ""), l.volts(t, "S1:1", "S1:2", 12, "")), "open S1:1-2", 0.9)
}

// A dark lamp with nothing on it and the volts at its block: the way between.
// A lamp beside it that works clears what they share.
func TestDarkLampWithVoltsAtItsBlock(t *testing.T) {
	l := lampString(t)
	p := l.weigh(l.symptom(t, "E1", Dead, ""), l.symptom(t, "E2", Works, ""), l.volts(t, "E1:+", "G1:-", 0.02, ""), l.volts(t, "S1:2", "G1:-", 12, ""))
	leads(t, p, "open W3", 0.9)
}

// The row points_half: with the lamp dark and nothing known the first
// measurement halves the way. A sound machine names nobody.
func TestFirstMeasurementHalves(t *testing.T) {
	l := lampString(t)
	p := l.weigh(l.symptom(t, "E1", Dead, ""))
	acts := p.Acts(anywhere, nothing)
	if len(acts) == 0 || acts[0].Bits < 0.7 {
		t.Fatalf("the first act tells %+v", acts[:min(1, len(acts))])
	}
	for _, o := range acts[0].Outcomes {
		if o.Chance > 0.75 {
			t.Errorf("the first act ends with %.2f in one way: %+v", o.Chance, acts[0])
		}
	}
	sound := l.weigh(l.symptom(t, "E1", Works, ""), l.symptom(t, "E2", Works, ""), l.volts(t, "E1:+", "E1:-", 11.8, ""))
	for _, s := range sound.Suspects() {
		if s.Chance > 0.05 {
			t.Errorf("a sound machine: %s %.2f", l.named(s.Hypothesis), s.Chance)
		}
	}
}

// anywhere lets every pair be measured live, nothing skips no act.
func anywhere(int, int) bool { return true }
func nothing(Act) bool       { return false }
