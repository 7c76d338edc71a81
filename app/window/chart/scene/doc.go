// Package scene draws the chart: what package place put where, with what the
// desk knows of it. It turns a plan and a view into strokes of a drawing.Pen,
// says what lies under a point, what the words of a search mean and where a step
// from the keyboard leads. It knows no window, so that it is tested, timed and
// printed without one.
//
//	camera.go      from the chart to the screen and back
//	scene.go       a plan and a view, made ready to be drawn
//	draw.go        one frame, from the ground up
//	wire.go        wires: insulation, proof, contradiction
//	box.go         devices: outline, terminals; health.go, blame.go their state
//	symbol.go      what the trade draws inside them; passage.go what is passed
//	lit.go         what stands out, and what steps back
//	grid.go hit.go what lies under a point
//	nettag.go      the names of rails and returns on their lines
//	find.go        from words to places
//	step.go        from one thing to its neighbour
//	describe.go    what a thing is, in a line
//
// Nothing is told by colour alone: a wire that no reading proves is dashed, one
// that a finding blames carries crosses and a flag, a device that failed has a
// hatched border, a cross and the word.
package scene
