package tables

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"runtime"
	"testing"
	"time"
)

// A file of 100 MB is read as it is, in memory of the order of its size: the
// rows themselves, no second copy of the text.
func TestFileOfAHundredMegabytes(t *testing.T) {
	if testing.Short() {
		t.Skip("a long read")
	}
	const rows, size = 1_300_000, 100_000_000
	text, write := io.Pipe()
	written := make(chan int64, 1)
	go func() {
		out := bufio.NewWriterSize(write, 1<<20)
		count, _ := fmt.Fprintln(out, "at,red,black,mode,value,drift,conditions,note,meter,struck")
		total := int64(count)
		for i := range rows {
			count, _ = fmt.Fprintf(out, "2026-05-09T10:%02d:%02d+02:00,X%d:%d,J%d:A%d,ohms,%d.%d,steady,unplugged J%d,,hand meter,\n",
				i/60%60, i%60, i%97, i%40, i%89, i%64, i%900, i%10, i%20)
			total += int64(count)
		}
		write.CloseWithError(out.Flush())
		written <- total
	}()
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	started := time.Now()
	content := &Content{}
	if err := content.ReadCSV(context.Background(), Tables[6], text); err != nil {
		t.Fatal(err)
	}
	elapsed := time.Since(started)
	runtime.GC()
	runtime.ReadMemStats(&after)
	total := <-written
	if count, _ := Tables[6].Count(content); count != rows || total < size {
		t.Fatalf("%d rows of %d, %d bytes", count, rows, total)
	}
	held := int64(after.HeapAlloc) - int64(before.HeapAlloc)
	if limit := 8 * total; held > limit {
		t.Errorf("%d bytes are held for a file of %d", held, total)
	}
	t.Logf("%d MB in %v: %.0f rows/s, %d MB held, %d MB taken from the system in all",
		total/1e6, elapsed.Round(time.Millisecond), rows/elapsed.Seconds(), held/1e6, after.HeapSys/1e6)
	runtime.KeepAlive(content)
}
