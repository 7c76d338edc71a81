package faults_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/model"
)

// The order in which rows came in says nothing about a machine, so it must not
// show in the report.
func TestTheReportDoesNotHangOnTheOrderOfRows(t *testing.T) {
	for _, state := range []string{assets.AsFound} {
		m := demo(t, state)
		var rows []model.Change
		keep := func(row model.Row) { rows = append(rows, model.Change{After: row}) }
		devices := len(m.Devices)
		for _, row := range m.Devices {
			keep(row)
		}
		terminals := devices + len(m.Terminals)
		for _, row := range m.Terminals {
			keep(row)
		}
		for _, row := range m.Links {
			keep(row)
		}
		for _, row := range m.Wires {
			keep(row)
		}
		for _, row := range m.Bonds {
			keep(row)
		}
		for _, row := range m.Readings {
			keep(row)
		}
		for _, row := range m.SettingRows {
			keep(row)
		}
		want, err := json.Marshal(faults.Check(m))
		if err != nil {
			t.Fatal(err)
		}
		for seed := range uint64(6) {
			random := rand.New(rand.NewPCG(seed, 1))
			for _, part := range [][]model.Change{rows[:devices], rows[devices:terminals], rows[terminals:]} {
				random.Shuffle(len(part), func(i, k int) { part[i], part[k] = part[k], part[i] })
			}
			shuffled := model.NewMachine()
			if err := shuffled.Apply(model.Edit{Changes: rows}); err != nil {
				t.Fatal(err)
			}
			got, err := json.Marshal(faults.Check(shuffled))
			if err != nil {
				t.Fatal(err)
			}
			if string(got) != string(want) {
				at := 0
				for at < min(len(got), len(want)) && got[at] == want[at] {
					at++
				}
				t.Fatalf("%s, shuffle %d: got ..%s\nwant ..%s", state, seed, got[max(0, at-200):min(len(got), at+200)], want[max(0, at-200):min(len(want), at+200)])
			}
		}
	}
}
