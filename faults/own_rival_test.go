package faults

import (
	"fmt"
	"strings"
	"testing"
)

// A place is not its own rival: a wire that reads some ohms may be open beside parts,
// or high; either way it is that wire.
func TestAPlaceIsNotItsOwnRival(t *testing.T) {
	met := 0
	for _, ohms := range []string{"1.4", "1.7", "2.2", "3", "4", "5", "8", "12", "30", "120", "OL"} {
		for _, tips := range []string{"G1:+ E1:+", "F1:2 E1:+", "G1:+ G1:-", "E1:+ E1:-", "E2:- G1:-"} {
			for _, more := range []string{"", "E1:+ E2:+ 4", "F1:2 E1:+ OL"} {
				m := build(t, fedLamp)
				read(t, m, tips+" "+ohms+"\n"+more)
				for _, finding := range Check(m).Findings {
					_, rivals, found := strings.Cut(finding.Message, "it could also be ")
					if !found || finding.Rule == "swapped" { // of two changed over, one may be open instead
						continue
					}
					met++
					for _, wire := range finding.Culprit.Wires {
						if strings.Contains(rivals, wire+" (") {
							t.Errorf("%s %s, %q: %s", tips, ohms, more, finding.Message)
						}
					}
					for _, terminal := range finding.Culprit.Terminals {
						if strings.Contains(rivals, "the joint at "+terminal+" ") && strings.Contains(finding.Message, "joint at "+terminal) {
							t.Errorf("%s %s, %q: %s", tips, ohms, more, finding.Message)
						}
					}
					names := strings.FieldsFunc(rivals, func(r rune) bool { return r == ',' || r == '.' || r == ';' })
					seen := map[string]bool{}
					for _, name := range names {
						bare, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(name), "or "), " (")
						if seen[bare] && bare != "" {
							t.Errorf("%s twice: %s", bare, finding.Message)
						}
						seen[bare] = true
					}
				}
			}
		}
	}
	if met < 10 {
		t.Error(fmt.Sprint("only ", met, " findings with a rival"))
	}
}
