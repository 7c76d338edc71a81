package look

import "strings"

// RuleWord is the word of a rule as a heading: rail-cross is Rail cross.
func RuleWord(name string) string {
	if name == "" {
		return ""
	}
	text := strings.ReplaceAll(name, "-", " ")
	return strings.ToUpper(text[:1]) + text[1:]
}
