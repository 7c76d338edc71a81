package sheets

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/model"
	"bellout/model/wording"
)

// historyRow is one thing that happened to a device.
type historyRow struct {
	at           time.Time
	device       model.Device
	what, detail string
}

var historyFields = []field[historyRow]{
	{Column{Name: "at", Title: "when", Kind: Moment, About: "When; empty where nobody knows."}, moment(func(r *historyRow) time.Time { return r.at })},
	{Column{Name: "device", Mono: true, About: "The device."}, text(func(r *historyRow) string { return r.device.Ref })},
	{Column{Name: "title", Title: "which is", Wrap: true, About: "Its title."}, text(func(r *historyRow) string { return r.device.Title })},
	{Column{Name: "what", Wrap: true, About: "failed, replaced, or what it did and when."}, text(func(r *historyRow) string { return r.what })},
	{Column{Name: "note", Wrap: true, About: "What was noted with it; of a symptom that was struck out, why."}, text(func(r *historyRow) string { return r.detail })},
}

// faultHistory is what happened to the machine, the oldest first; what has no time
// comes before all.
func faultHistory(_ context.Context, job Job) (*Table, error) {
	m := job.Machine
	var rows []historyRow
	device := func(ref string) model.Device { d, _ := m.Device(ref); return d }
	for _, e := range m.Events {
		if e.Word == model.EventReplaced {
			rows = append(rows, historyRow{e.At, device(e.Device), string(e.Word), e.Note})
		}
	}
	replaced := len(rows)
	for _, d := range m.Devices {
		for _, death := range m.Deaths(d.Ref) {
			rows = append(rows, historyRow{death.At, d, string(death.Word), death.Note})
		}
	}
	failed := len(rows) - replaced
	for _, s := range m.Symptoms {
		row := historyRow{s.At, device(s.Device), string(s.Word), s.Note}
		if s.When != "" {
			row.what += " with " + s.When
		}
		if !s.Stands() {
			row.detail = strings.TrimPrefix(row.detail+"; struck out: "+s.Struck, "; ")
		}
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b historyRow) int {
		return cmp.Or(a.at.Compare(b.at), model.Compare(a.device.Ref, b.device.Ref), cmp.Compare(a.what, b.what), cmp.Compare(a.detail, b.detail))
	})
	t := newTable("history", "Fault history", fmt.Sprintf("%s failed, %d replaced, %s", wording.Count(failed, "part"), replaced, wording.Count(len(rows)-failed-replaced, "symptom")), historyFields, rows)
	t.ByHand = []string{"done, by"}
	return t, nil
}
