package sheets

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bellout/model"
	"bellout/model/wording"
)

// cableRow is a cable or loom with its cores.
type cableRow struct {
	name                   string
	devices, nets          []string
	cores, colours, gauges []string
	longest                model.Optional
}

var cableFields = []field[cableRow]{
	{Column{Name: "cable", Mono: true, Wrap: true, About: "The cable or loom."}, text(func(r *cableRow) string { return r.name })},
	{Column{Name: "between", Kind: List, Wrap: true, Mono: true, About: "The devices at its ends."}, list(func(r *cableRow) []string { return r.devices })},
	{Column{Name: "cores", Kind: Number, About: "How many wires run in it."}, number(func(r *cableRow) model.Optional { return model.Known(float64(len(r.cores))) })},
	{Column{Name: "sizes", Wrap: true, About: "Their gauges."}, text(func(r *cableRow) string { return strings.Join(r.gauges, ", ") })},
	{Column{Name: "length_m", Title: "m", Kind: Number, Unit: "m", About: "Length of its longest wire; empty where none is known."}, number(func(r *cableRow) model.Optional { return r.longest })},
	{Column{Name: "wires", Kind: List, Wrap: true, Mono: true, Below: "wires %s", About: "The wires in it."}, list(func(r *cableRow) []string { return r.cores })},
	{Column{Name: "colours", Kind: List, Wrap: true, Below: "colours %s", About: "Their colours, in the letter codes of IEC 60757."}, list(func(r *cableRow) []string { return r.colours })},
	{Column{Name: "nets", Kind: List, Wrap: true, Below: "nets %s", About: "The nets that they belong to."}, list(func(r *cableRow) []string { return r.nets })},
}

// cableSchedule puts together the wires that run in one cable.
func cableSchedule(_ context.Context, job Job) (*Table, error) {
	at := map[string]int{}
	var rows []cableRow
	loose := 0
	for _, w := range WireRows(job) {
		switch {
		case w.Removed:
			continue
		case w.Cable == "":
			loose++
			continue
		}
		i, there := at[w.Cable]
		if !there {
			i = len(rows)
			at[w.Cable] = i
			rows = append(rows, cableRow{name: w.Cable})
		}
		row := &rows[i]
		row.cores = append(row.cores, w.Name)
		row.devices = addNew(row.devices, w.From.Device, w.To.Device)
		row.nets = addNew(row.nets, w.Net)
		row.colours = addNew(row.colours, string(w.Colour))
		row.gauges = addNew(row.gauges, w.Gauge.String())
		if l := w.LengthMetres; l.Known && (!row.longest.Known || l.Value > row.longest.Value) {
			row.longest = l
		}
	}
	slices.SortFunc(rows, func(a, b cableRow) int { return model.Compare(a.name, b.name) })
	t := newTable("cables", "Cable schedule", fmt.Sprintf("%s, %s in none", wording.Count(len(rows), "cable"), wording.Count(loose, "wire")), cableFields, rows)
	t.ByHand = []string{"seen"}
	return t, nil
}

// addNew adds texts that are not empty and not there yet.
func addNew(list []string, texts ...string) []string {
	for _, text := range texts {
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	return list
}
