package textout

import (
	"bytes"
	"strconv"
	"unicode/utf8"
)

// CleanJSON replaces in JSON, as it was just encoded, the characters that a page
// replaces in text: a program that prints what it read from there moves no cursor
// with it either. Line ends and tabs inside a text stay.
func CleanJSON(encoded []byte) []byte {
	if !bytes.ContainsFunc(encoded, func(r rune) bool { return r == '\\' || r != '\n' && unruly(r) }) {
		return encoded
	}
	out := make([]byte, 0, len(encoded))
	for i := 0; i < len(encoded); {
		r, size := utf8.DecodeRune(encoded[i:])
		switch {
		case r == '\\' && i+1 < len(encoded):
			r, size = escaped(encoded[i:])
			if unruly(r) && r != '\n' && r != '\t' && r != '\r' {
				out = append(out, '?')
			} else {
				out = append(out, encoded[i:i+size]...)
			}
		case unruly(r) && r != '\n': // the one behind a line of JSON
			out = append(out, '?')
		default:
			out = append(out, encoded[i:i+size]...)
		}
		i += size
	}
	return out
}

// escaped reads the escape that a text begins with, and its length.
func escaped(text []byte) (r rune, size int) {
	switch text[1] {
	case 'u':
		if len(text) >= 6 {
			if code, err := strconv.ParseUint(string(text[2:6]), 16, 16); err == nil {
				return rune(code), 6
			}
		}
	case 'b':
		return '\b', 2
	case 'f':
		return '\f', 2
	case 'n':
		return '\n', 2
	case 'r':
		return '\r', 2
	case 't':
		return '\t', 2
	}
	return rune(text[1]), 2
}
