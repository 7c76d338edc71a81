package judge

import (
	"fmt"
	"strings"
)

// ListText writes a list as a sentence does; past most entries it counts.
func ListText(list []string, most int) string {
	switch {
	case len(list) == 0:
		return "none"
	case len(list) == 1:
		return list[0]
	case len(list) > most:
		return strings.Join(list[:most], ", ") + fmt.Sprintf(" and %d more", len(list)-most)
	default:
		return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
	}
}
