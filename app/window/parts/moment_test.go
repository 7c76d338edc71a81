package parts

import "testing"

func TestAMomentFitsItsColumn(t *testing.T) {
	for text, want := range map[string]string{
		"2026-05-09T10:04:31+02:00": "2026-05-09 10:04",
		"2026-05-04T00:00:00Z":      "2026-05-04",
		"2026-05-04":                "2026-05-04",
		"":                          "",
	} {
		if got := shortMoment(text); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
}
