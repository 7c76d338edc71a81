package chart

import (
	"bellout/app/window/chart/scene"
	"bellout/graphs/place"
)

// kept outlives the place, which is made anew with each change of the theme.
type kept struct {
	camera scene.Camera
	// whole says that all of the chart is shown, and goes on to be when the window
	// changes its size.
	whole bool
	// legend is shown or not as the person decided; until then where it covers
	// nothing.
	legend  bool
	decided bool
	plan    *place.Plan
	stamp   stamp // what plan was made of
	// stood is where boxes stood before somebody dragged them, by their middle, so
	// that taking a drag back brings a box back.
	stood map[string]place.Point
}

const memoryKey = "chart"

func keptIn(memory map[string]any) *kept {
	if k, there := memory[memoryKey].(*kept); there {
		return k
	}
	k := &kept{whole: true, camera: scene.Camera{Scale: 1}, stood: map[string]place.Point{}}
	if memory != nil {
		memory[memoryKey] = k
	}
	return k
}
