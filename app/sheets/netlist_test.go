package sheets

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

// unionOf joins the terminals of a machine by its wire list and its links, with
// nothing of the program but what the files say.
func unionOf(m *model.Machine, wires []WireRow) map[string]string {
	up := map[string]string{}
	for _, terminal := range m.Terminals {
		up[terminal.Device+":"+terminal.Mark] = terminal.Device + ":" + terminal.Mark
	}
	var find func(string) string
	find = func(x string) string {
		if up[x] != x {
			up[x] = find(up[x])
		}
		return up[x]
	}
	for _, wire := range wires {
		if wire.Status != StatusRemoved {
			up[find(wire.From.String())] = find(wire.To.String())
		}
	}
	for _, link := range m.Links {
		solid := link.Kind == "solid" || link.Kind == "fuse" && link.State != "open" || link.Kind == "contact" && link.State == "closed"
		if solid {
			up[find(link.Device+":"+link.From)] = find(link.Device + ":" + link.To)
		}
	}
	roots := map[string]string{}
	for x := range up {
		roots[x] = find(x)
	}
	return roots
}

// compareNets holds a net list against the union of the wire list.
func compareNets(t tester, m *model.Machine) {
	t.Helper()
	var out bytes.Buffer
	if err := Sheets[0].Write(context.Background(), &out, JSON, Job{Machine: m}); err != nil {
		t.Fatalf("%v", err)
	}
	var read struct {
		Nets []struct {
			Name             string
			Terminals, Wires []string
		}
	}
	if err := json.Unmarshal(out.Bytes(), &read); err != nil {
		t.Fatalf("%v", err)
	}
	wires := WireRows(Job{Machine: m})
	roots := unionOf(m, wires)
	netOf, seen, ofRoot := map[string]string{}, 0, map[string]string{}
	for _, net := range read.Nets {
		if len(net.Terminals) == 0 {
			t.Fatalf("the net %s has no terminal", net.Name)
		}
		root := roots[net.Terminals[0]]
		if other, twice := ofRoot[root]; twice {
			t.Fatalf("the nets %s and %s are one by the wire list", other, net.Name)
		}
		ofRoot[root] = net.Name
		for _, terminal := range net.Terminals {
			if roots[terminal] != root {
				t.Fatalf("%s and %s are in one net, and nothing joins them", net.Terminals[0], terminal)
			}
			if netOf[terminal] != "" {
				t.Fatalf("%s is in two nets", terminal)
			}
			netOf[terminal] = net.Name
			seen++
		}
	}
	if seen != len(m.Terminals) {
		t.Fatalf("%d terminals in nets, the machine has %d", seen, len(m.Terminals))
	}
	inNets := map[string]string{}
	for _, net := range read.Nets {
		for _, wire := range net.Wires {
			inNets[wire] = net.Name
		}
	}
	for _, wire := range wires {
		want := netOf[wire.From.String()]
		if wire.Status == StatusRemoved {
			want = ""
		}
		if wire.Net != want || inNets[wire.Name] != want {
			t.Fatalf("%s lies in %q, the wire list says %q, the net list %q", wire.Name, want, wire.Net, inNets[wire.Name])
		}
	}
}

func TestNetListAgreesWithAUnionOfTheWireList(t *testing.T) {
	compareNets(t, sample.Machine(2, 2000))
	rapid.Check(t, func(t *rapid.T) { compareNets(t, sample.Draw(t)) })
}

// What proves a net is what proves its wires.
func TestNetListSaysWhatProvesANet(t *testing.T) {
	m := sample.Machine(5, 2000)
	rows, err := netListRows(t.Context(), Job{Machine: m})
	if err != nil {
		t.Fatal(err)
	}
	s := faults.Diagnose(m)
	proven := 0
	for _, row := range rows {
		count, latest := 0, time.Time{}
		var by []int64
		for _, wire := range row.Wires {
			if list := s.ProvenBy(wire); len(list) > 0 {
				count++
				by = append(by, list...)
			}
		}
		slices.Sort(by)
		by = slices.Compact(by)
		for _, number := range by {
			if reading, _ := m.Reading(number); reading.At.After(latest) {
				latest = reading.At
			}
		}
		if row.proven != count || !slices.Equal(row.numbers, by) || !row.last.Equal(latest) {
			t.Fatalf("%s: %d wires proven by %v, the last %v; want %d by %v, %v", row.Name, row.proven, row.numbers, row.last, count, by, latest)
		}
		proven += count
	}
	if proven == 0 {
		t.Error("nothing is proven in this machine: nothing was tested")
	}
}

// CSV and JSON say the same, whatever the names; control characters are data in
// CSV, which is imported again, and replaced in JSON.
func TestFormsOfATableSayTheSame(t *testing.T) {
	check := func(t tester, m *model.Machine) {
		job := Job{Machine: m, Title: "lock"}
		wires, err := WireList(context.Background(), job)
		if err != nil {
			t.Fatalf("%v", err)
		}
		nets, err := NetList(context.Background(), job)
		if err != nil {
			t.Fatalf("%v", err)
		}
		for _, table := range []*Table{wires, nets} {
			sameInForms(t, table, job)
		}
	}
	check(t, hostile(t))
	rapid.Check(t, func(t *rapid.T) { check(t, sample.Draw(t)) })
}

// inJSON is a text as it comes back from JSON.
func inJSON(t tester, text string) string {
	encoded, err := json.Marshal(text)
	if err != nil {
		t.Fatalf("%v", err)
	}
	var back string
	if err := json.Unmarshal(textout.CleanJSON(encoded), &back); err != nil {
		t.Fatalf("%v", err)
	}
	return back
}

func sameInForms(t tester, table *Table, job Job) {
	t.Helper()
	var asCSV, asJSON bytes.Buffer
	for form, out := range map[Form]io.Writer{CSV: &asCSV, JSON: &asJSON} {
		if err := table.write(context.Background(), out, form, job); err != nil {
			t.Fatalf("%v", err)
		}
	}
	rows, err := csv.NewReader(&asCSV).ReadAll()
	if err != nil {
		t.Fatalf("%v", err)
	}
	var lists map[string][]map[string]any
	if err := json.Unmarshal(asJSON.Bytes(), &lists); err != nil {
		t.Fatalf("%v in\n%s", err, asJSON.String())
	}
	list := lists[table.Name]
	if len(list) != table.Len || len(rows) != table.Len+1 {
		t.Fatalf("%d rows, CSV has %d and JSON %d", table.Len, len(rows)-1, len(list))
	}
	for i, object := range list {
		for at, column := range table.Columns {
			key := column.Name
			if column.Key != "" {
				key = column.Key
			}
			value, there := object[key]
			if !there {
				t.Fatalf("row %d has no %s in JSON", i, key)
			}
			want := strings.ReplaceAll(strings.ReplaceAll(ofJSON(column, value), "\r\n", "\n"), "\r", "\n")
			if got := inJSON(t, tables.Unguard(rows[i+1][at])); got != want {
				t.Fatalf("row %d, %s is %q in CSV and %q in JSON", i, column.Name, got, want)
			}
		}
	}
}

// ofJSON prints a value as CSV does.
func ofJSON(column Column, value any) string {
	cell := Cell{}
	switch v := value.(type) {
	case string:
		cell.Text = v
	case float64:
		cell.Number = model.Known(v)
	case bool:
		cell.Yes = v
	case []any:
		for _, one := range v {
			switch word := one.(type) {
			case string:
				cell.List = append(cell.List, word)
			case float64:
				cell.List = append(cell.List, itoa(int(word)))
			}
		}
	}
	return cell.Print(column)
}

// BenchmarkNetList writes the net list of 100,000 terminals after load, as JSON
// and as a page. The baseline is a plain union of the same terminals by maps of
// names, without names of nets, sources or proofs.
func BenchmarkNetList(b *testing.B) {
	m := sample.Machine(1, 100_000)
	job := Job{Machine: m, Title: "lock"}
	for _, form := range []Form{JSON, CSV, Txt} {
		b.Run(string(form), func(b *testing.B) {
			var mine, plain time.Duration
			for b.Loop() {
				t0 := time.Now()
				table, err := NetList(b.Context(), job)
				if err != nil {
					b.Fatal(err)
				}
				if err := table.write(b.Context(), io.Discard, form, job); err != nil {
					b.Fatal(err)
				}
				t1 := time.Now()
				rows := make([]WireRow, len(m.Wires))
				for i, wire := range m.Wires {
					rows[i] = WireRow{Wire: wire, Status: statusOf(&WireRow{Wire: wire}, false)}
				}
				roots := map[string]bool{}
				for _, root := range unionOf(m, rows) {
					roots[root] = true
				}
				mine, plain = mine+t1.Sub(t0), plain+time.Since(t1)
				if len(roots) != table.Len {
					b.Fatalf("%d nets, the baseline has %d", table.Len, len(roots))
				}
			}
			b.ReportMetric(float64(mine.Milliseconds())/float64(b.N), "ms")
			b.ReportMetric(float64(plain)/float64(mine), "x-union")
		})
	}
}
