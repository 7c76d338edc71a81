package layout

import (
	"context"
	"math"
	"reflect"
	"testing"

	"bellout/assets"
	"bellout/model"
)

// The file keeps middles: a box stands with its middle where somebody put it, on
// the grid, however large it is; what was worked out stays there and is not
// taken for put.
func TestPlacesOfTheFile(t *testing.T) {
	m := demo(t, assets.AsFound)
	fresh := compute(t, m, Options{})
	rows := func(change func(*model.Place)) *Plan {
		m := demo(t, assets.AsFound)
		for i := range fresh.Boxes {
			b := &fresh.Boxes[i]
			row := model.Place{Device: b.Device, X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2}
			change(&row)
			add(t, m, row)
		}
		plan, err := Arrange(context.Background(), m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return plan
	}
	if same := rows(func(*model.Place) {}); !reflect.DeepEqual(same, fresh) {
		t.Error("with every place as it was worked out the plan is another one")
	}
	var want Point
	put := rows(func(row *model.Place) {
		if row.Device == "M3" {
			row.X, row.Y, row.Pinned = row.X+64, row.Y+4000, true
			want = Point{row.X, row.Y}
		}
	})
	for i := range put.Boxes {
		b := &put.Boxes[i]
		middle := Point{(b.Min.X + b.Max.X) / 2, (b.Min.Y + b.Max.Y) / 2}
		if b.Pinned != (b.Device == "M3") {
			t.Errorf("%s is put by somebody: %v", b.Device, b.Pinned)
		}
		if b.Device == "M3" && (math.Abs(middle.X-want.X) > Grid || math.Abs(middle.Y-want.Y) > Grid) {
			t.Errorf("M3 stands at %v, it was put at %v", middle, want)
		}
	}
}
