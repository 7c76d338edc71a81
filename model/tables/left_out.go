package tables

import (
	"fmt"

	"bellout/model"
)

// LeftOut says, a few words each, what of a machine these tables have no place
// for, and so what a file made of them lacks; empty if there is nothing.
func LeftOut(m *model.Machine) []string {
	list := []string{}
	for _, part := range []struct {
		count     int
		one, many string
	}{
		{len(m.Places), "the place of 1 device on the chart", "the places of %d devices on the chart"},
		{len(m.Photos), "1 photo", "%d photos"},
		{len(m.Templates), "1 template of your own", "%d templates of your own"},
	} {
		switch part.count {
		case 0:
		case 1:
			list = append(list, part.one)
		default:
			list = append(list, fmt.Sprintf(part.many, part.count))
		}
	}
	return list
}
