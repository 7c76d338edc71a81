// Package layout computes where everything on the chart stands: devices as boxes
// with their terminals as ports, wires as upright routes between them, labels
// in places kept free for them. It draws nothing and knows no colour.
//
// The way is the layered one of Sugiyama, Tagawa and Toda (1981), with ports:
//
//	flow      which way current or signal runs along each wire   flow.go
//	layers    the column of each device, sources left            layers.go
//	order     top to bottom in each column, few crossings        column_order.go, sift.go
//	shapes    the size of each box, its ports and marks          shapes.go
//	rows      how high each box stands, wires straight           rows.go
//	tracks    an upright line of its own for each run            tracks.go
//	names     of wires, where nothing else runs                  names.go
//	zones     areas that hold devices of one zone only           zones.go
//
// A plan that people know stays: Compute with Options.Previous moves what must
// move and nothing else (stable.go), and leads wires round what stands in the way
// (router.go). Arrange takes the places that the file keeps (arrange.go). The tests measure any plan by a sweep of its own (measured_test.go).
//
// One unit is one pixel at zoom 1; x grows to the right, y downward. The same
// machine gives the same plan, in whatever order its rows stand.
package layout
