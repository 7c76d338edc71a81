package sheets

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"bellout/app/drawing"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// colourRow is one colour on one rail, where it is on others too.
type colourRow struct {
	colour model.Colour
	means  string
	wires  []string
}

var colourFields = []field[colourRow]{
	{Column{Name: "colour", Swatch: true, About: "Letter code of IEC 60757."}, text(func(r *colourRow) string { return string(r.colour) })},
	{Column{Name: "in_words", Title: "in words", About: "The colour in words."}, text(func(r *colourRow) string { return drawing.ColourWords(r.colour) })},
	{Column{Name: "means", Wrap: true, About: "What it carries: a rail by its volts, 0 V, earth or mains."}, text(func(r *colourRow) string { return r.means })},
	{Column{Name: "count", Title: "wires", Kind: Number, About: "How many wires."}, number(func(r *colourRow) model.Optional { return model.Known(float64(len(r.wires))) })},
	{Column{Name: "wires", Title: "which", Kind: List, Wrap: true, Mono: true, About: "The wires."}, list(func(r *colourRow) []string { return r.wires })},
}

// colourClashes lists the colours that say nothing: those of more than one rail.
func colourClashes(_ context.Context, job Job) (*Table, error) {
	b := job.diagnosed().Analysis()
	nets := b.AsIntended.Nets() // a short does not make two rails one
	byMeaning := map[[2]string]*colourRow{}
	meanings := map[model.Colour]int{}
	for i, w := range b.Machine.Wires {
		if w.Removed || w.Colour == "" {
			continue
		}
		means := railWords(b.AsIntended, nets.Net(b.AsIntended.Elements[i].A))
		if means == "" {
			continue
		}
		key := [2]string{string(w.Colour), means}
		if byMeaning[key] == nil {
			byMeaning[key] = &colourRow{colour: w.Colour, means: means}
			meanings[w.Colour]++
		}
		byMeaning[key].wires = append(byMeaning[key].wires, w.Name)
	}
	var rows []colourRow
	clashes := 0
	for _, row := range byMeaning {
		if meanings[row.colour] > 1 {
			slices.SortFunc(row.wires, model.Compare)
			rows = append(rows, *row)
		}
	}
	for _, count := range meanings {
		if count > 1 {
			clashes++
		}
	}
	slices.SortFunc(rows, func(a, b colourRow) int {
		return cmp.Or(cmp.Compare(a.colour, b.colour), len(b.wires)-len(a.wires), cmp.Compare(a.means, b.means))
	})
	t := newTable("colours", "Colours that mean two rails", fmt.Sprintf("%s of more than one meaning", wording.Count(clashes, "colour")), colourFields, rows)
	t.Caution = "A colour is an observation, never a proof: measure before you join two wires of one colour."
	return t, nil
}

// railWords names a net by its volts, so that supplies of one voltage count as one
// meaning; empty for signals and what has no volts.
func railWords(c *graphs.Circuit, net *graphs.Net) string {
	switch net.Kind {
	case graphs.NetReturn:
		return "0 V"
	case graphs.NetEarth:
		return "earth"
	case graphs.NetLine:
		return "mains, line"
	case graphs.NetNeutral:
		return "mains, neutral"
	case graphs.NetRail:
		if volts := netVolts(c, *net); volts.Known {
			return fmt.Sprintf("%+g V", volts.Value)
		}
		return net.Name
	}
	return ""
}
