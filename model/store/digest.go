package store

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
)

// rowDigest is a function of SQL for changes of shape: 32 hexadecimal digits
// that follow from the values and are the same in every copy of a file.
func rowDigest(values ...any) string {
	sum := sha256.New()
	for _, value := range values {
		text, isBytes := value.([]byte)
		if !isBytes {
			text = fmt.Append(nil, value)
		}
		var length [8]byte // so that the end of one value can't be the start of the next
		binary.BigEndian.PutUint64(length[:], uint64(len(text)))
		sum.Write(length[:]) // a hash takes every write
		sum.Write(text)
	}
	return hex.EncodeToString(sum.Sum(nil)[:16])
}
