package judge

import "bellout/model/wording"

// ListText writes a list as a sentence does; past most entries it counts.
func ListText(list []string, most int) string {
	if len(list) == 0 {
		return "none"
	}
	return wording.AndMore(list, most)
}
