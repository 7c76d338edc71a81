package book

import (
	"bellout/assets"
	"slices"
	"testing"

	"bellout/model"
)

// A supply of which the map does not say what it gives gives it all the same: the
// card must not say that there is none.
func TestTheDoorCardListsSuppliesWithoutARail(t *testing.T) {
	m, err := model.NewMachineFromRows(model.Machine{
		Devices: []model.Device{
			{Ref: "G1", Kind: model.KindSupply, Title: "24 V supply", Zone: "cabinet", Health: model.HealthUnknown, LimitAmps: model.Known(5)},
			{Ref: "G2", Kind: model.KindBattery, Health: model.HealthUnknown},
		},
		Terminals: []model.Terminal{{Device: "G1", Mark: "1"}, {Device: "G2", Mark: "1"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	job := Job{Title: "x", Machine: m, Now: noon}
	check(t, job)
	sheets, err := Make(t.Context(), job, nil, "doorcard")
	if err != nil {
		t.Fatal(err)
	}
	bound := Bind(sheets...)
	width, height := bound.Size(1)
	r := &recorder{page: box(0, 0, width, height)}
	bound.Draw(1, r)
	count := map[string]int{}
	for _, text := range r.texts {
		count[text.Text]++
	}
	if count["no rail drawn on the map"] != 2 || count["5 A"] != 1 || count["the map does not show what feeds it: find that and"] != 1 {
		t.Errorf("the card says %v", count)
	}
	if f := factsOf(t, m); !slices.Equal(f.sourceless(), []string{"G1"}) {
		t.Errorf("without a known source: %v", f.sourceless())
	}
}

// A card of A5 hangs in a door of a hand's width: it is one page, too.
func TestTheDoorCardOfA5IsOnePage(t *testing.T) {
	for _, state := range assets.DemoStates {
		sheets, err := Make(t.Context(), Job{Title: "Lantern Lock", Machine: demo(t, state), Now: noon, Paper: A5}, nil, "doorcard")
		if err != nil {
			t.Fatal(err)
		}
		if pages := sheets[0].Pages(); pages != 1 {
			t.Errorf("%s: %d pages", state, pages)
		}
	}
}
