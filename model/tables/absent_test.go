package tables

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
)

// Three columns of devices.csv, as somebody writes them who notes what failed,
// leave the others as they are; so do two columns of wires.csv.
func TestAColumnLeftOutLeavesItsCells(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	writeFiles(t, dir, map[string]string{"devices.csv": "device,kind,title,zone,load_a,limit_a,note\nG1,supply,12 V,cabinet,,5,labelled\nS1,switch,,,,,\nK3,relay,,,0.04,,\n"})
	m := imported(t, dir)
	part := t.TempDir()
	writeFiles(t, part, map[string]string{
		"devices.csv":   "device,health,failed_at\nG1,failed,2026-05-01T08:00:00Z\nK3,ok,\nH1,failed,\n",
		"terminals.csv": "device,terminal,max_v\nG1,+,13\nH1,1,\n",
		"links.csv":     "device,from,to,kind,value\nK3,A1,A2,resistance,310\n",
		"wires.csv":     "wire,basis\nW1,seen\n",
		"bonds.csv":     "from,to\nG1:-,K3:A2\n",
		"settings.csv":  "key\nlead_ohm\n",
	})
	if err := importInto(m, part); err != nil {
		t.Fatal(err)
	}
	out := t.TempDir()
	if err := WriteFolder(context.Background(), m, out, false); err != nil {
		t.Fatal(err)
	}
	compareFiles(t, folderBytes(t, out), map[string]string{
		"settings.csv": "key,value\nlead_ohm,0.3\n",
		"devices.csv": "device,kind,title,zone,health,failed_at,load_a,limit_a,note\nG1,supply,12 V,cabinet,failed,2026-05-01T08:00:00Z,,5,labelled\n" +
			"H1,other,,,failed,,,,\nK3,relay,,,ok,,0.04,,\nS1,switch,,,unknown,,,,\n",
		"terminals.csv": "device,terminal,role,volts,min_v,max_v,section\nG1,+,rail,12,,13,\nG1,-,return,,,,\nH1,1,,,,,\n" +
			"K3,A1,feed,12,,,\nK3,A2,return,,,,\nS1,1,pass,,,,\nS1,2,pass,,,,\n",
		"links.csv": "device,from,to,kind,value,state\nK3,A1,A2,resistance,310,\nS1,1,2,contact,,closed\n",
		"wires.csv": "wire,from,to,colour,gauge,length_m,cable,basis,removed\nW1,G1:+,S1:1,RD,AWG 18,0.5,,seen,\n" +
			"W2,S1:2,K3:A1,RD,AWG 18,0.5,,planned,\n",
		"bonds.csv":    "from,to,reason\nG1:-,K3:A2,drawn so\n",
		"readings.csv": "at,red,black,mode,value,drift,conditions,note,meter,struck\n,G1:+,S1:1,continuity,beep,,,,,\n",
	})
}

// What a column that is left out cannot answer is refused with its place, as in
// a file of its own.
func TestAColumnLeftOutIsMissedByANewRow(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	for _, c := range []struct{ file, text, want string }{
		{"wires.csv", "wire,colour\nW1,BK\nW9,RD\nW10,RD\n", "wires.csv line 1, column from: the column is missing; the header is wire,from,to,colour,gauge,length_m,cable,basis,removed"},
		{"wires.csv", "wire,from,length_m\nW9,G1:-,1\n", "wires.csv line 1, column to: the column is missing; the header is wire,from,to,colour,gauge,length_m,cable,basis,removed"},
		{"devices.csv", "device,load_a\nG1,1\nH1,-1\nH2,-1\n", "devices.csv line 3, column load_a: -1 is negative; write it without the minus sign, or leave it empty (and 1 more)"},
		{"links.csv", "device,from,to,kind,state\nS1,1,2,contact,open\nK3,A1,A2,resistance,open\n", "links.csv line 3, column state: a resistance link has no state; leave it empty; only a contact or a fuse has one"},
		{"devices.csv", "kind,title\nsupply,12 V\n", "devices.csv line 1, column device: the column is missing; the header is device,kind,title,zone,health,failed_at,load_a,limit_a,note"},
	} {
		m := imported(t, dir)
		before := m.Clone()
		part := t.TempDir()
		writeFiles(t, part, map[string]string{c.file: c.text})
		if err := importInto(m, part); err == nil || err.Error() != c.want {
			t.Errorf("%s %q:\n got %v\nwant %s", c.file, c.text, err, c.want)
		}
		if !m.Equal(before) {
			t.Errorf("%s: the machine was changed", c.file)
		}
	}
}

// A machine's own tables with columns left out, whichever, change nothing in it;
// with other cells in the columns that are there, only those.
func TestColumnsLeftOutChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, other := sample.Draw(t), sample.Draw(t)
		kept := map[string][]string{}
		for _, table := range keyed() {
			kept[table.File()] = rapid.Permutation(table.Header()).Draw(t, table.File())[:rapid.IntRange(0, len(table.Header())).Draw(t, "columns")]
		}
		content := partOf(t, m, kept)
		if edit, err := content.EditFor(m); err != nil || len(edit.Changes) > 0 {
			t.Fatalf("with %v left: %v, %v", kept, err, edit.Changes)
		}
		edit, err := partOf(t, other, kept).EditFor(m)
		if err != nil {
			return // it does not fit: told apart by TestAColumnLeftOutIsMissedByANewRow
		}
		for _, change := range edit.Changes {
			if change.Before == nil {
				continue
			}
			for column, cells := range cellsOf(change.Before.Table(), change.Before, change.After) {
				if cells[0] != cells[1] && !slices.Contains(keyedBy(change.Before.Table(), kept), column) {
					t.Fatalf("column %s of %s %s went from %q to %q, and was left out", column, change.Before.Table(), change.Before.ID(), cells[0], cells[1])
				}
			}
		}
	})
}

// keyed are the tables whose rows have names: readings have none.
func keyed() []Table {
	return slices.DeleteFunc(slices.Clone(Tables), func(t Table) bool { return t.Name() == model.TableReading })
}

// keyedBy returns the columns of a table that were not left out: those that name
// its rows always stand.
func keyedBy(name model.Table, kept map[string][]string) []string {
	for _, table := range Tables {
		if table.Name() == name {
			return append(slices.Clone(table.Header()[:keysOf(table)]), kept[table.File()]...)
		}
	}
	return nil
}

func keysOf(t Table) int {
	return map[string]int{"settings.csv": 1, "devices.csv": 1, "terminals.csv": 2, "links.csv": 4, "wires.csv": 1, "bonds.csv": 2, "symptoms.csv": 4, "history.csv": 4}[t.File()]
}

// partOf reads the tables of a machine again, of each only the columns that name
// its rows and those that are kept; readings are left out.
func partOf(t *rapid.T, m *model.Machine, kept map[string][]string) *Content {
	content := &Content{From: "part"}
	for _, table := range keyed() {
		var full bytes.Buffer
		if err := WriteCSV(&full, table, m.Sorted()); err != nil {
			t.Fatal(err)
		}
		scan := newScanner(table.File(), &full)
		var text bytes.Buffer
		var places []int
		for {
			row, err := scan.Next()
			if err != nil {
				break
			}
			if places == nil {
				for place, column := range row.Cells {
					if slices.Contains(keyedBy(table.Name(), kept), column) {
						places = append(places, place)
					}
				}
			}
			var cells []string
			for _, place := range places {
				cells = append(cells, `"`+strings.ReplaceAll(Guard(row.Cells[place]), `"`, `""`)+`"`)
			}
			fmt.Fprintln(&text, strings.Join(cells, ","))
		}
		if err := content.ReadCSV(context.Background(), table, &text); err != nil {
			t.Fatalf("%v\n%s", err, text.String())
		}
	}
	return content
}

// cellsOf returns the cells of two rows by column.
func cellsOf(name model.Table, rows ...model.Row) map[string][2]string {
	cells := map[string][2]string{}
	for at, row := range rows {
		m := model.Machine{}
		switch row := row.(type) {
		case model.Setting:
			m.SettingRows = []model.Setting{row}
		case model.Device:
			m.Devices = []model.Device{row}
		case model.Terminal:
			m.Terminals = []model.Terminal{row}
		case model.Link:
			m.Links = []model.Link{row}
		case model.Wire:
			m.Wires = []model.Wire{row}
		case model.Bond:
			m.Bonds = []model.Bond{row}
		}
		for _, table := range Tables {
			if table.Name() == name {
				table.Each(&m, func(_ model.Row, printed []string) {
					for place, column := range table.Header() {
						pair := cells[column]
						pair[at] = printed[place]
						cells[column] = pair
					}
				})
			}
		}
	}
	return cells
}
