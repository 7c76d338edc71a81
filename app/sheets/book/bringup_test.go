package book

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bellout/model"
	"bellout/model/tables"
)

// machineOf reads a machine from tables, each as one text.
func machineOf(t *testing.T, files map[string]string) *model.Machine {
	t.Helper()
	folder := fstest.MapFS{}
	for name, text := range files {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	content, err := tables.ReadFS(t.Context(), folder, "the test")
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// twoSections is a supply of two separate outputs, the second with two posts, a
// battery, and a plug that carries both outputs; a converter on the first takes far
// more and far less than 24 V.
var twoSections = map[string]string{
	"devices.csv": "device,kind,load_a\nG1,supply,\nB1,battery,\nJ1,connector,\nU1,converter,1\nA1,controller,0.2\nH1,lamp,1\nH2,lamp,1\n",
	"terminals.csv": "device,terminal,role,volts,min_v,max_v,section\n" +
		"G1,1+,rail,24,23.5,24.8,a\nG1,1-,return,,,,a\n" +
		"G1,2+,rail,5,,,b\nG1,3+,rail,5,,,b\nG1,2-,return,,,,b\nG1,3-,return,,,,b\n" +
		"B1,+,rail,12,,,\nB1,-,return,,,,\nH2,+,feed,12,,,\nH2,-,return,,,,\n" +
		"J1,A1,pass,,,,\nJ1,A2,pass,,,,\nJ1,A3,pass,,,,\nJ1,A4,pass,,,,\nJ1,B1,pass,,,,\nJ1,B2,pass,,,,\nJ1,B3,pass,,,,\nJ1,B4,pass,,,,\n" +
		"U1,IN+,feed,24,18,36,in\nU1,IN-,return,,,,in\nA1,V,feed,5,4.75,5.25,\nA1,G,return,,,,\nH1,+,feed,24,,,\nH1,-,return,,,,\n",
	"links.csv": "device,from,to,kind\nJ1,A1,B1,solid\nJ1,A2,B2,solid\nJ1,A3,B3,solid\nJ1,A4,B4,solid\n",
	"wires.csv": "wire,from,to\nW1,G1:1-,J1:A1\nW2,G1:1+,J1:A2\nW3,G1:2+,J1:A3\nW4,G1:2-,J1:A4\n" +
		"W5,J1:B1,U1:IN-\nW6,J1:B2,U1:IN+\nW7,J1:B3,A1:V\nW8,J1:B4,A1:G\nW9,J1:B2,H1:+\nW10,J1:B1,H1:-\nW11,B1:+,H2:+\nW12,B1:-,H2:-\n",
}

// Every rail is read against its own return, and within what its supply keeps: a load
// that takes 18 to 36 V lets no 24 V supply give 30 V.
func TestBringUpReadsEveryRailAgainstItsOwnReturn(t *testing.T) {
	f := factsOf(t, machineOf(t, twoSections))
	b := &bringUp{facts: f, outputs: f.outputs()}
	got := []string{}
	for _, o := range b.outputs {
		for _, rail := range o.rails {
			low, high, why := b.stops(o, rail)
			got = append(got, fmt.Sprintf("%s %s, %s: %s", b.ref(rail), b.ref(b.returnOf(o, rail)), between(low, high), why))
		}
	}
	want := []string{
		"G1:1+ G1:1-, 23.5 to 24.8 V: its own limits",
		"B1:+ B1:-, 9.6 to 15 V: a battery, empty to charging (common practice)",
		"G1:2+ G1:2-, 4.75 to 5.25 V: a tenth either way (common practice), and what A1:V stands",
		"G1:3+ G1:3-, 4.75 to 5.25 V: a tenth either way (common practice), and what A1:V stands",
	}
	if !slices.Equal(got, want) {
		t.Errorf("supplies alone:\n got %s\nwant %s", strings.Join(got, "\n     "), strings.Join(want, "\n     "))
	}
	table := &table{}
	plug, _ := f.m.Device("J1")
	b.plugRows(table, plug)
	got = []string{}
	for _, r := range table.rows {
		got = append(got, fmt.Sprintf("%s %s, %s", r.cells[1].text, r.cells[2].text, r.cells[4].text))
	}
	if want := []string{"J1:A2 J1:A1, 23.5 to 24.8 V", "J1:A3 J1:A4, 4.75 to 5.25 V"}; !slices.Equal(got, want) {
		t.Errorf("the open plug:\n got %s\nwant %s", strings.Join(got, "\n     "), strings.Join(want, "\n     "))
	}
}
