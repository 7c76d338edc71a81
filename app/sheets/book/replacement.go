package book

import (
	"context"
	"fmt"
	"strings"

	"bellout/app/changes"
	"bellout/model"
)

// Replacement is the sheet of one device that comes out: what joins where, to be
// ticked while it is undone, and the checks in their order with room for what the
// meter showed. Error: that of ctx.
func Replacement(ctx context.Context, job Job, r *changes.Replacement) (*Sheet, error) {
	f, err := newFacts(ctx, job, func(string, int, int) {})
	if err != nil {
		return nil, err
	}
	s := &Sheet{Name: "replacing-" + r.Device, Title: "Replacing " + f.called(r.Device), facts: f}
	fl := newFlow(s, true)
	fl.heading("Replacing "+f.called(r.Device), 30)
	if r.Zone != "" || r.Note != "" {
		fl.note(strings.Trim(r.Zone+". "+r.Note, ". "))
	}
	for _, caution := range r.Cautions {
		fl.cautionIn(caution, smallSize)
	}
	fl.heading("What joins where", 25)
	t := &table{size: 2.4, columns: []column{
		{title: "terminal", mono: true, bold: true}, {title: "role"}, {title: "wire", mono: true}, {title: "colour", least: 14}, {title: "gauge"}, {title: "cable", most: 24},
		{title: "other end", mono: true}, {title: "which is", most: 60}, {title: "net", most: 30}, {title: "V when on", right: true}, {title: "off", fixed: 9}, {title: "on", fixed: 9},
	}}
	for _, j := range r.Joints {
		wire := j.Wire
		if wire == "" {
			wire = "none"
		}
		t.add(say(j.Terminal), say(j.Role), say(wire), cell{text: j.Colour, swatch: model.Colour(j.Colour)}, say(j.Gauge), say(j.Cable),
			say(j.Other), say(j.At), say(j.Net), say(j.Volts.String()), cell{tick: j.Wire != ""}, cell{tick: j.Wire != ""})
	}
	fl.table(t)
	checks := &table{size: 2.4, columns: []column{
		{title: "", right: true}, {title: "what to do", most: 105}, {title: "expect", most: 42}, {title: "else", most: 70}, {title: "shown", fixed: 22}, {title: "done", fixed: 9},
	}}
	stage, before := changes.Stage(""), ""
	var last changes.Step
	for i, step := range r.Steps {
		if step.Stage != stage {
			stage, before, last = step.Stage, "", changes.Step{}
			checks.head(strings.ToUpper(string(stage)[:1]) + string(stage)[1:])
		}
		do := step.Do
		if step.Caution != "" && step.Caution != before {
			do = step.Caution + " " + do
			before = step.Caution
		}
		otherwise := step.Else
		if otherwise == last.Else {
			otherwise = "as above"
		}
		if step.Else == "" {
			otherwise = ""
		}
		last = step
		checks.add(say(fmt.Sprint(i+1)), say(do), say(step.Expect), say(otherwise), cell{shade: step.Probe != nil}, cell{tick: true})
	}
	fl.heading("Checks", 30)
	fl.table(checks)
	s.pages[0].anchor(sheetAnchor(s.Name), 0, 0, s.Title)
	return s, ctx.Err()
}
