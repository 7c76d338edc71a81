package graphs

import (
	"fmt"
	"slices"
	"testing"

	"bellout/model"

	"pgregory.net/rapid"
)

func TestFindPartsReadsTheRoles(t *testing.T) {
	hub := device("A1", model.KindHub)
	hub.LoadAmps = model.Known(3)
	supply := device("G1", model.KindSupply)
	supply.LimitAmps = model.Known(10)
	second := rail("G1:b", -12)
	second.Section = "b"
	secondReturn := terminal("G1:b0", model.RoleReturn)
	secondReturn.Section = "b"
	limited := feed("A1:3", 5)
	limited.MinVolts = model.Known(4.75)
	gone := wire("W3", "A1:3", "G1:+")
	gone.Removed = true
	m := build(t, hub, supply,
		rail("G1:+", 12), terminal("G1:-", model.RoleReturn), terminal("G1:0", model.RoleReturn), second, secondReturn,
		feed("A1:1", 12), feed("A1:2", 12), limited, terminal("A1:-", model.RoleReturn),
		terminal("A1:Q", model.RoleDrive),
		wire("W1", "A1:1", "G1:+"), wire("W2", "G1:+", "A1:2"), wire("W4", "A1:2", "G1:+"), gone)
	c := NewCircuit(m, nil)
	parts := FindParts(m)
	var got []string
	for _, s := range parts.Supplies {
		got = append(got, fmt.Sprint("supply ", c.Ref(s.Rail), " ", texts(c, s.Returns), " ", s.Volts, " V ", s.LimitAmps, " A"))
	}
	for _, l := range parts.Loads {
		got = append(got, fmt.Sprint("load ", c.Ref(l.Feed), " ", texts(c, l.Returns), " ", l.Volts, " V ", l.MinVolts, " to ", l.MaxVolts, " ", l.Amps, " A"))
	}
	for _, d := range parts.Drivers {
		got = append(got, fmt.Sprint("driver ", c.Ref(d.Drive), " ", texts(c, d.Returns), " ", texts(c, d.Feeds)))
	}
	want := []string{
		"supply G1:+ [G1:- G1:0] 12 V 10 A",
		"supply G1:b [G1:b0] -12 V 10 A",
		"load A1:1 [A1:-] 12 V 10.8 to 13.2 1.5 A",
		"load A1:2 [A1:-] 12 V 10.8 to 13.2 1.5 A",
		"load A1:3 [A1:-] 5 V 4.75 to 5.5 0 A",
		"driver A1:Q [A1:-] [A1:1 A1:2 A1:3]",
	}
	if !slices.Equal(got, want) {
		t.Errorf("parts\n got %q\nwant %q", got, want)
	}
}

// The shares of a device's load sum to what it draws.
func TestSharesSumToTheLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawDriven(4, 8).Draw(t, "machine")
		edit := model.Edit{}
		for _, before := range m.Devices {
			after := before
			after.LoadAmps = model.Known(float64(rapid.IntRange(0, 9).Draw(t, "load_a")))
			edit.Changes = append(edit.Changes, model.Change{Before: before, After: after})
		}
		if err := m.Apply(edit); err != nil {
			t.Fatal(err)
		}
		sums := map[string]float64{}
		for _, load := range FindParts(m).Loads {
			sums[load.Device] += load.Amps.Value
		}
		for ref, sum := range sums {
			if row, _ := m.Device(ref); sum < row.LoadAmps.Value-1e-9 || sum > row.LoadAmps.Value+1e-9 {
				t.Fatalf("%s draws %v A, its feeds %v A", ref, row.LoadAmps, sum)
			}
		}
	})
}
