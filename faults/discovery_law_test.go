package faults

import (
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

// Wires found one after another, with other readings between them, leave the
// report that the finished file gives from nothing.
func TestASessionOfDiscoveriesEqualsAReportMadeFromNothing(t *testing.T) {
	const more = `
		device E9 solenoid load=1 : + feed 24, - return
		link E9 + - resistance 20
		device TB9 terminal-block : 1 pass, 2 pass, 3 pass
		link TB9 1 2 solid
		device H9 lamp load=0.2 : + feed 12, - return`
	rapid.Check(t, func(rt *rapid.T) {
		m := build(t, lock, more)
		session := NewSession(m)
		refs := make([]model.TerminalRef, len(m.Terminals))
		for i, terminal := range m.Terminals {
			refs[i] = terminal.Ref()
		}
		bare := []model.TerminalRef{ref("E9:+"), ref("E9:-"), ref("TB9:1"), ref("TB9:2"), ref("TB9:3"), ref("H9:+"), ref("H9:-")}
		values := []string{"beep", "beep", "silent", "0.3", "OL", "6"}
		found := 0
		count := rapid.Int64Range(1, 7).Draw(rt, "readings")
		for n := int64(1); n <= count; n++ {
			red := rapid.SampledFrom(refs).Draw(rt, "red")
			black := rapid.SampledFrom(bare).Draw(rt, "black")
			if red == black {
				continue
			}
			value, err := model.ParseValue(rapid.SampledFrom(values).Draw(rt, "value"))
			if err != nil {
				rt.Fatal(err)
			}
			r := model.Reading{Number: n, Stored: n, Red: red, Black: black, Value: value, Mode: value.DefaultMode()}
			logged := session.Log(r)
			var edit model.Edit
			if logged.Discovery != nil {
				found++
				edit.Changes = append(edit.Changes, model.Change{After: *logged.Discovery})
			}
			edit.Changes = append(edit.Changes, model.Change{After: r})
			if err := m.Apply(edit); err != nil {
				rt.Fatalf("%v: %v", r, err)
			}
			session.Stored(r)
			if got, want := print(session.Report(), namesOf(m.Readings)), print(Check(m), namesOf(m.Readings)); got != want {
				rt.Fatalf("after reading %d, %d wires found:\n%s\nfrom nothing\n%s", n, found, got, want)
			}
		}
	})
}
