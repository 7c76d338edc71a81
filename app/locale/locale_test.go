package locale

import (
	"maps"
	"testing"
)

func TestTheToolkitIsToldTheLanguageAlone(t *testing.T) {
	type surroundings = map[string]string
	for _, c := range []struct{ given, changes surroundings }{
		{surroundings{"LANG": "en_US.UTF-8"}, surroundings{}},
		{surroundings{"LANG": "POSIX"}, surroundings{}},
		{surroundings{}, surroundings{}},
		{surroundings{"LANG": "de_DE@euro"}, surroundings{"LC_CTYPE": "de_DE@euro", "LC_MESSAGES": "de_DE"}},
		{surroundings{"LANG": "C.UTF-8"}, surroundings{"LC_CTYPE": "C.UTF-8", "LC_MESSAGES": "C"}},
		{surroundings{"LANG": "sr_RS@latin", "LC_CTYPE": "C.UTF-8"}, surroundings{"LC_MESSAGES": "sr_RS"}},
		{surroundings{"LANG": "en_US", "LC_ALL": "de_DE@euro"}, surroundings{"LC_ALL": "", "LC_CTYPE": "de_DE@euro", "LC_MESSAGES": "de_DE"}},
		{surroundings{"LANG": "C.UTF-8", "LC_MESSAGES": "en_GB"}, surroundings{}},
		{surroundings{"LANG": "qq_nothing"}, surroundings{"LC_CTYPE": "qq_nothing", "LC_MESSAGES": "C"}},
		{surroundings{"LANG": "en_US", "LANGUAGE": "de_DE@euro:fr"}, surroundings{"LANGUAGE": "de_DE:fr"}},
		{surroundings{"LANG": "en_US", "LANGUAGE": "!!"}, surroundings{"LANGUAGE": ""}},
	} {
		if got := readable(func(name string) string { return c.given[name] }); !maps.Equal(got, c.changes) {
			t.Errorf("%v: %v, want %v", c.given, got, c.changes)
		}
	}
}
